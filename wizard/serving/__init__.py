"""The app in a browser: who is let in, the page, and a process of the app for each window.

`door` decides on every request, `page` holds the files that a browser loads (the terminal
itself comes with textual-serve), `child` is one process of the app, `windows` binds each
to the window that shows it, and `server` listens. Knows nothing of builds; what needs
packages of the `serve` extra is imported by `wizard.commands.serve` alone.
"""

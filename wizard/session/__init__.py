"""One open build: its answers in time, kept on the disk while the maker goes on.

What the app and the plain mode share. Knows no screen and no terminal: may import
steps, store, report and below. `opening` makes a `Session`; a session holds the
`timeline` of edits, which is pure, and a `Keeper`, the one thread that saves.
"""

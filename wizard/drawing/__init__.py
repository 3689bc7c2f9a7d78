"""What a maker looks at and cuts along: marking-out sheet, picture, template, solid.

Pure functions from a build to data, text lines or bytes; nothing here opens a file
or a screen. May import `wizard.plug`, `wizard.physics` and `wizard.quantity`, numpy,
and fpdf2 (late, in `pdf`); never Textual or Rich.

`views` draws a body in its own axes; `scene` puts the picture together, tilted as
the plug will lie; `terminal` turns a scene into text. `marking` is the sheet for
the pencil. `figures`, `pages` and the writers `pdf` and `svg` make the paper
template, `solid` the STL file; `template` is the door to all three files.
"""

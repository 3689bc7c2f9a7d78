"""What a maker looks at and cuts along: marking-out sheet, picture, template, solid.

Pure functions from a build to data, text lines or bytes; nothing here opens a file
or a screen. May import `wizard.plug`, `wizard.physics` and `wizard.quantity`, numpy,
and fpdf2 (late, in `pdf`); never Textual or Rich.

`bores` and `views` draw a body in its own axes; `scene` puts the picture together,
tilted as the plug will lie; `terminal` turns a scene into text (`panel` one view,
`canvas` its dots). `marking` is the sheet for the pencil, `marking_text` its lines.
`figures` and `pages` (with `tiles` and `frame`) make the paper template, written by
`pdf` and `svg`; `solid` makes the STL file. `template` is the door to all three files.
"""

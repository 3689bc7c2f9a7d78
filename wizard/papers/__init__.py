"""What is handed on: the sheet of a build with its picture, as a file of any kind.

Pages come from `wizard.report`, pictures from `wizard.drawing`; here the two meet. Pure:
bytes come out, nobody's file is touched.
"""

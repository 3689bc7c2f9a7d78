"""Files: the profile format, saving that survives, and where builds live."""

"""Starting tables: woods, metals, fillers, hardware, coats, drills, cautions.

TOML files with a source for every row, read on first use.
"""

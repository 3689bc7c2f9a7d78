"""One build: what the maker answered, and the numbers that follow from it.

`record` holds the answers, `derive` turns them into numbers and findings.
Imports physics, certainty, quantity and tables; never a file or a screen.
"""

"""What the maker types and reads: text to SI and back, with honest digits.

A leaf: imports nothing else of the project. Nothing in here knows what a
quantity is for.
"""

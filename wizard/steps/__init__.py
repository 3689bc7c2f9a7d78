"""The ten steps in bench order: prompts as data, and pure functions beside them.

To add a step, write its module and its line in `walk.STEPS`.
"""

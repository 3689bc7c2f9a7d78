"""The ten steps in bench order: prompts as data, and pure functions beside them."""

"""The terminal app: the only place that imports Textual."""

"""Plugwright: a weight account, hydrostatics and a proof test for a hand-carved plug."""

__version__ = "0.1.0"

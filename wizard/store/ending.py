"""Whether a file is whole: TOML that is cut at the end of a line is TOML still.

A file that the program wrote says at its top that a last line ends it. One that says so
and lacks that line is cut short; one written by hand need not say so.
"""

from __future__ import annotations

PROMISE = '# Its last line, "# end", shows that nothing is missing.'
END = "# end"


def is_cut_short(text: str) -> bool:
    """Whether the promised last line is missing."""
    lines = [line.strip() for line in text.split("\n")]
    return PROMISE in lines and END not in lines

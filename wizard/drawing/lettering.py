"""Text on paper: nothing in it acts, nothing in it runs off the sheet or stops a writer."""

from __future__ import annotations

import re

from wizard.quantity.showing import literal

_TYPOGRAPHIC = str.maketrans(
    {"–": "-", "—": "-", "−": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "…": "...", "″": '"'}
)
_EM, _WIDE = 0.55, 1.0  # width of a letter as a share of the font's size, roughly


def width(text: str, size: float) -> float:
    """Roughly how wide a text runs [mm] in a font of a size [mm]."""
    from unicodedata import east_asian_width

    return size * sum(_WIDE if east_asian_width(letter) in "WF" else _EM for letter in text)


def fitted(text: str, room: float, size: float) -> str:
    """Text from anyone made safe, and cut to a room [mm] at a font's size [mm]."""
    safe = literal(text)
    if width(safe, size) <= room:
        return safe
    while safe and width(safe, size) > room - size:
        safe = safe[:-1]
    return safe + "…"


def latin(text: str) -> str:
    """The nearest text in the signs that every PDF reader has (ISO 8859-1).

    Accents that are missing fall away; a letter that has no likeness becomes "?".
    """
    from unicodedata import normalize

    composed = normalize("NFC", text.translate(_TYPOGRAPHIC))
    return "".join(letter if _encodes(letter) else _likeness(letter) for letter in composed)


def _likeness(letter: str) -> str:
    from unicodedata import name, normalize

    plain = normalize("NFKD", letter).encode("ascii", "ignore").decode("ascii")
    if plain:
        return plain
    stroked = re.match(r"LATIN (CAPITAL|SMALL) LETTER ([A-Z]) WITH ", name(letter, ""))
    if stroked is None:
        return "?"
    return stroked[2] if stroked[1] == "CAPITAL" else stroked[2].lower()


def _encodes(text: str) -> bool:
    try:
        text.encode("latin-1")
    except UnicodeEncodeError:
        return False
    return True

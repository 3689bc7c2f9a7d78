"""Texts that would act, if anything let them: in a terminal, in markup, in a page, in a table.

Sources of the codes: ECMA-48 (C0, C1, CSI, OSC), XTerm Control Sequences (OSC 8, 52),
Unicode UAX #9 (direction) and UAX #44 (general categories).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import fields, replace
from itertools import cycle, islice
from typing import Any

from wizard.plug.fields import specs
from wizard.plug.paths import get, put
from wizard.plug.record import Build
from wizard.store.profile import ProfileError, read, write

CONTROLS = "".join(chr(n) for n in (*range(0x20), *range(0x7F, 0xA0)))
"""All 65 controls of C0 and C1, with DEL."""

DIRECTION = "\u200e\u200f\u061c\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"

TEXTS: dict[str, str] = {
    "controls": CONTROLS,
    "clipboard": "\x1b]52;c;aGVsbG8=\x07",
    "clipboard, C1": "\x9d52;c;aGVsbG8=\x9c",
    "link": "\x1b]8;;http://example.invalid\x1b\\here\x1b]8;;\x1b\\",
    "title": "\x1b]0;another title\x07",
    "clear and colour": "\x1b[2J\x1b[H\x1b[31mred\x9b31m",
    "device report": "\x1b[6n\x1b[c\x1bP+q544e\x1b\\",
    "direction": f"a{DIRECTION}gnp.exe",
    "no width": "\u200b\u200c\u200d\u2060\ufeff\u00adx",
    "lines": "one\r\ntwo\u2028three\u2029four\x85five\x0bsix\ttab",
    "closing markup": "[/",
    "markup": "[/b][red]x[/][@click=app.quit]y[/][link=file:///etc]z[/link]$primary",
    "page": '<script>alert(1)</script><img src=x onerror="alert(1)">&lt;]]>--><!--',
    "table": "=HYPERLINK(\"http://example.invalid\")|' /C x'!A0",
    "also a table": "@SUM(1+1)\t-1+1",
    "markdown": "# [x](javascript:alert(1)) | `a` ![i](file:///etc/passwd) <b>",
    "printf": "%s%n{0}{x!r}%(x)s\\N{DEL}$HOME`id`$(id);&&",
    "path": "../../../etc/passwd",
    "device": "CON",
    "toml": "\"\"\"\n[ballast]\nmetal = '''",
    "right to left": "שלום مرحبا ‮abc",
    "emoji": "🎣👨‍👩‍👧🏳️‍🌈é́́́́ 鮎",
    "stacked": "Z" + "\u0301\u0336\u20dd" * 200,
    "private and unassigned": "\ue000\U0010ffff\ufffe\uffff\U000e0041",
    "long": "n" * 10_000,
    "long of one sign": "\u202e" * 3_000,
    "blank": " \u3000\u00a0 ",
    "empty": "",
}


def evil_build(build: Build, turn: int = 0) -> tuple[Build, tuple[str, ...]]:
    """The build with a hostile text for every text that it may hold, and hostile keys.

    Args:
        build: a good one.
        turn: with which text to begin, so that each comes to each place in turn.

    Returns:
        The build as far as it can be read, and what was said where a text was refused;
        there the good answer stands again.
    """
    texts = islice(cycle(TEXTS.values()), turn, None)
    changed: Build = _evil(build, texts)
    refused: list[str] = []
    while True:
        try:
            read(write(changed), "it.toml")
        except ProfileError as error:
            refused += map(str, error.problems)
            for problem in error.problems:
                changed = put(changed, problem.path, get(build, problem.path))
        else:
            return changed, tuple(refused)


def _evil(record: Any, texts: Iterator[str]) -> Any:
    changes: dict[str, Any] = {}
    known = specs(type(record))
    for declared in fields(record):
        spec, held = known[declared.name], getattr(record, declared.name)
        if spec.form == "text" and declared.name == "form" and held:
            continue  # else nothing is drawn, and nothing shown of the rest
        if spec.form == "text":
            changes[declared.name] = next(texts)
        elif spec.form == "texts":
            changes[declared.name] = (next(texts), next(texts))
        elif spec.form == "table" and held is not None:
            changes[declared.name] = _evil(held, texts)
        elif spec.form == "tables" and held is not None:
            changes[declared.name] = tuple(_evil(row, texts) for row in held)
        elif declared.name == "other":
            changes[declared.name] = {f"? {next(texts)}": next(texts)}
    return replace(record, **changes)


def acting(text: str) -> list[str]:
    """The signs in a text that could act on a terminal, or are none: categories C of UAX #44."""
    return [c for c in text if unicodedata.category(c)[0] == "C" and c != "\n"]

"""Words on screens: every prompt says why and how, no barred word, nothing unexplained."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from wizard.plug.numbers import CATALOGUE
from wizard.plug.paths import parse, spec_at
from wizard.steps.glossary import GLOSSARY
from wizard.steps.prompts import Group, Prompt
from wizard.steps.sketches import SKETCHES
from wizard.steps.walk import STEPS

WIZARD = Path(__file__).parents[2] / "wizard"
BARRED = ("please", "sorry", "oops", "invalid", "illegal", "whoops", "error code", "unfortunately")
"""Words that blame or stall; what is wrong is said instead."""


def prompts() -> Iterator[tuple[str, Prompt]]:
    """Every prompt with the path that it fills, a row of its group taken as the first."""
    for step in STEPS:
        for item in step.items:
            if isinstance(item, Group):
                yield from ((f"{item.key}.0.{prompt.key}", prompt) for prompt in item.prompts)
            else:
                yield item.key, item


def choices(key: str) -> tuple[str, ...]:
    """The words that an answer may be; empty where it is typed."""
    path = tuple(int(part) if part == "0" else part for part in parse(key))
    spec = spec_at(path)
    return spec.choices if spec.form == "choice" else ()


def test_every_prompt_says_why_it_is_asked_and_how_it_is_found() -> None:
    for key, prompt in prompts():
        assert len(prompt.why.split()) >= 3, key
        assert prompt.why[-1] in ".?", key
        if choices(key):
            assert set(dict(prompt.words)) == set(choices(key)), key
            assert all(dict(prompt.words).values()), key
        elif not prompt.listed:
            assert len(prompt.how.split()) >= 2, key
            assert prompt.how != prompt.why, key


def test_no_reason_is_boilerplate() -> None:
    """The same words stand at most where the same thing is asked again of other rows."""
    said = Counter((prompt.why, prompt.how) for _, prompt in prompts())
    again = {words: count for words, count in said.items() if count > 2}
    assert not again


def test_every_measure_that_words_fail_is_drawn_and_every_drawing_is_used() -> None:
    used = {prompt.sketch for _, prompt in prompts() if prompt.sketch}
    assert used == set(SKETCHES)
    for name, lines in SKETCHES.items():
        assert len(lines) <= 10, name
        assert all(line.isascii() and line.isprintable() for line in lines), name
        # Two of indent, and the bar of the scroll, within a terminal of 60 columns.
        assert max(map(len, lines)) <= 54, name
    drawn = {key.split(".")[-1] for key, prompt in prompts() if prompt.sketch}
    assert {"gain", "half_breadth", "z", "reach", "height", "depth", "pitch"} <= drawn


def _texts() -> Iterator[tuple[str, str]]:
    """Every text of the program that is no docstring, with the file that it stands in."""
    for path in WIZARD.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {
            id(node.body[0].value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
            and node.body
            and isinstance(node.body[0], ast.Expr)
        }
        docs |= {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
            if is_text and id(node) not in docs:
                yield path.name, str(node.value)  # type: ignore[attr-defined]


def test_no_text_of_the_program_has_a_barred_word() -> None:
    pattern = re.compile(rf"\b({'|'.join(BARRED)})\b", re.IGNORECASE)
    seen = [(name, text) for name, text in _texts() if " " in text]
    assert len(seen) > 1000
    assert [(name, text) for name, text in seen if pattern.search(text)] == []


TRADE = (
    "backfill", "ballast", "baseline", "draught", "dunk", "freeboard", "margin", "neutral",
    "recoat", "sealer", "split ring", "station", "through-wire", "topcoat", "treble", "hanger",
    "line tie", "half-breadth", "gain", "pitch", "blank", "accuracy", "cure",
    "girth factor", "righting arm", "metacentric height", "centre of gravity", "heel", "tare",
    "centre of buoyancy", "bench sum", "pot life", "dry film", "hydrometer", "scuff",
    "check weight", "solids by volume",
)  # fmt: skip


def test_a_word_of_the_trade_that_a_prompt_uses_stands_in_the_glossary() -> None:
    words = [f"{p.ask} {p.why} {p.how}" for _, p in prompts()]
    words += [" ".join((step.title, *step.hands)) for step in STEPS]
    words += [item.one for step in STEPS for item in step.items if isinstance(item, Group)]
    asked = " ".join((*words, *(name.meaning for name in CATALOGUE.values()))).casefold()
    explained = " ".join(GLOSSARY).casefold()
    for word in TRADE:
        assert word in asked, word  # else the list above is stale
        assert word in explained, word
    for word, meaning in GLOSSARY.items():
        assert 3 <= len(meaning.split()) <= 20, word

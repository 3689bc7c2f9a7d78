"""Large letters: legible, told apart, never beyond their room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.drawing.block_font import GLYPHS, ROWS, SPELLED
from wizard.drawing.blocks import LARGEST, lettered
from wizard.quantity import units
from wizard.session.card import Big, Card
from wizard.session.card_lines import card_lines
from wizard.steps.prompts import Group
from wizard.steps.walk import STEPS

ASCII = [
    " ##   #        ",
    "#  # ##     ###",
    "####  #    #  #",
    "#  #  #     ###",
    "#  # ###      #",
    "            ## ",
]


def test_letters_look_as_drawn_by_hand() -> None:
    found = lettered("A1 g", 1, 40, plain=False)
    assert found is not None
    assert [line.rstrip() for line in found] == [
        "▄▀▀▄ ▄█     ▄▄▄",
        "█▀▀█  █    ▀▄▄█",
        "▀  ▀ ▀▀▀    ▄▄▀",
    ]
    plain = lettered("A1 g", 1, 40, plain=True)
    assert plain is not None
    assert [line.rstrip() for line in plain] == [line.rstrip() for line in ASCII]


def test_no_two_signs_look_alike() -> None:
    """Only O and 0 may, which are told apart by the words around them."""
    drawn: dict[str, str] = {}
    for sign, rows in GLYPHS.items():
        assert len({len(row) for row in rows.split(" ")}) == 1, sign
        assert len(rows.split(" ")) <= ROWS
        assert drawn.setdefault(rows, sign) in (sign, "O"), sign


def test_every_question_and_unit_has_its_letters() -> None:
    prompts = [
        prompt
        for step in STEPS
        for item in step.items
        for prompt in (item.prompts if isinstance(item, Group) else (item,))
    ]
    texts = [prompt.ask.upper() for prompt in prompts]
    texts += [f"1,5-2/3 {unit.label}" for unit in units.UNITS]
    assert [text for text in texts if lettered(text, 1, 78, plain=False) is None] == []


@pytest.mark.parametrize("plain", [False, True])
@given(
    text=st.text(st.sampled_from([*GLYPHS, *SPELLED, "ж"]), max_size=30),
    scale=st.integers(1, LARGEST),
    room=st.integers(1, 120),
)
def test_letters_stay_in_their_room(plain: bool, text: str, scale: int, room: int) -> None:
    found = lettered(text, scale, room, plain=plain)
    if found is not None:
        assert all(len(line) <= room for line in found)
        assert all(line.isascii() or not plain for line in found)
    if "ж" in text:
        assert found is None


@given(
    texts=st.lists(st.text(max_size=40), min_size=1, max_size=4),
    width=st.integers(1, 130),
    height=st.integers(1, 45),
    plain=st.booleans(),
)
def test_a_card_is_never_larger_than_its_screen(
    texts: list[str], width: int, height: int, plain: bool
) -> None:
    bigs = tuple(Big(text, over="what it is", rank=n % 4) for n, text in enumerate(texts))
    lines = card_lines(Card(bigs, "! Do not drill.", ("a note",)), width, height, plain=plain)
    assert len(lines) <= height
    assert all(len(line.text) <= max(width - 2, 1) for line in lines)


def test_the_answer_grows_before_all_else() -> None:
    card = Card((Big("MASS"), Big("13.6 g", rank=0), Big("31.7 mL", over="volume", rank=2)))
    heights = []
    for height in (4, 8, 14, 24, 40):
        lines = card_lines(card, 120, height, plain=False)
        assert len(lines) <= height
        heights.append(sum(line.kind == "block" for line in lines))
    assert heights == sorted(heights)
    assert heights[0] < heights[-1]
    small = card_lines(card, 120, 7, plain=False)
    assert "MASS" in [line.text for line in small]
    assert any(line.kind == "block" for line in small)

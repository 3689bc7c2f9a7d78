"""The line of every key, in texts of which it is known where each key was written."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.paths import Path
from wizard.store.lines import Scan, line_of, scan

TRICKY = (
    '"plain"', '"a # b"', '"[not]"', '"k = 1"', '"say \\"x\\" # ["', "'c:\\dir\\'", "'# [\"'",
    "1", "-0.5", "2026-04-02T18:30:00+01:00", "true", '"""one line"""', "'''one'''",
    '"\\u0022 ]"', '""', "''", '"}"', '"{ a = 1 }"',
)  # fmt: skip
NAMES = ("a", "b-1", "mass", '"q q"', "'#x'", '"[y]"', '"a.b"', '"\\u0041"', "7", '"="')
MEANT = dict(
    zip(NAMES, ("a", "b-1", "mass", "q q", "#x", "[y]", "a.b", "A", "7", "="), strict=True)
)


@dataclass
class Text:
    """A text as it is written, and the line on which each path was begun."""

    lines: list[str] = field(default_factory=lambda: [""])
    known: dict[Path, int] = field(default_factory=dict)

    def write(self, text: str) -> None:
        """Go on with the text; it may run over several lines."""
        first, *more = text.split("\n")
        self.lines[-1] += first
        self.lines.extend(more)

    def mark(self, path: Path) -> None:
        """Note that a path begins here."""
        self.known.setdefault(path, len(self.lines))


@st.composite
def texts(draw: st.DrawFn) -> Text:
    """TOML with headers, arrays of tables, dotted keys, strings and brackets over several lines."""
    out = Text()
    filler = st.sampled_from(["", "# comment = 1\n", "\n", "  # [table]\n", "\t\n", "#\n"])

    def value(path: Path, deep: int) -> None:
        kind = draw(st.sampled_from(["plain", "long", "array", "table"])) if deep < 3 else "plain"
        if kind == "plain":
            out.write(draw(st.sampled_from(TRICKY)))
        elif kind == "long":
            mark = draw(st.sampled_from(['"""', "'''"]))
            inner = draw(st.sampled_from(["\n[x]\ny = 1\n", "a\n# b", "\n= [ {\n", '\n"\' "\n']))
            out.write(f"{mark}{inner}{mark}")
        elif kind == "array":
            out.write("[")
            for i in range(draw(st.integers(0, 3))):
                out.write(draw(st.sampled_from(["", " ", "\n", "\n  # ] comment\n  "])))
                out.mark((*path, i))
                value((*path, i), deep + 1)
                out.write(draw(st.sampled_from([",", " ,", "\n,", ", # [\n"])))
            out.write(draw(st.sampled_from(["]", "\n]", " # x\n]"])))
        else:
            out.write("{")
            for i, name in enumerate(
                draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=3))
            ):
                out.write(", " if i else " ")
                assign(path, name, deep + 1)
            out.write(" }")

    def assign(table: Path, name: str, deep: int) -> None:
        path: Path = (*table, MEANT[name])
        out.mark(path)
        out.write(name)
        if draw(st.integers(0, 4)) == 0:
            out.write(draw(st.sampled_from([".inner", " . inner", '."inner"'])))
            path = (*path, "inner")
            out.mark(path)
        out.write(draw(st.sampled_from([" = ", "=", "  =  "])))
        value(path, deep)

    def keys(table: Path) -> None:
        for name in draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=4)):
            out.write(draw(filler))
            assign(table, name, 0)
            out.write(draw(st.sampled_from(["\n", " # [end]\n", "\t\n"])))

    keys(())
    rows: dict[str, int] = {}
    for i in range(draw(st.integers(0, 4))):
        out.write(draw(filler))
        if draw(st.booleans()):
            head: Path = (f"table{i}", "under it")
            out.mark(head[:1])
            out.mark(head)
            out.write(f'[table{i}."under it"]' if i % 2 else f"[ table{i} . 'under it' ]")
        else:
            name = draw(st.sampled_from(["row", "line"]))
            rows[name] = rows.get(name, -1) + 1
            out.mark((name,))
            head = (name, rows[name])
            out.mark(head)
            out.write(f"[[{name}]]" if i % 2 else f"[[ {name} ]]  # x")
        out.write("\n")
        keys(head)
        if head[0] in rows and draw(st.booleans()):
            out.mark((*head, "sub"))
            out.write(f"[{head[0]}.sub]\n")
            keys((*head, "sub"))
    return out


def paths(value: Any, path: Path = ()) -> set[Path]:
    """Every path of parsed tables."""
    inner = list(value.items() if isinstance(value, dict) else enumerate(value))
    nested = [(key, v) for key, v in inner if isinstance(v, dict | list)]
    return {(*path, key) for key, _ in inner}.union(*(paths(v, (*path, k)) for k, v in nested))


@settings(max_examples=100, deadline=None)
@given(texts())
def test_every_key_is_found_on_its_line(made: Text) -> None:
    text = "\n".join(made.lines)
    parsed = tomllib.loads(text)
    found = Scan(text).found
    assert found == made.known
    assert set(found) == paths(parsed)
    with_returns = text.replace("\n", "\r\n")
    assert tomllib.loads(with_returns) is not None
    assert Scan(with_returns).found == found


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet="ab.=[]{}\"'#\\\n, 1-", max_size=60))
def test_a_text_that_is_no_toml_is_followed_as_far_as_it_goes(text: str) -> None:
    for line in Scan(text).found.values():
        assert 1 <= line <= text.count("\n") + 1
    for statement in Scan(text).statements:
        assert statement.first <= statement.last <= text.count("\n") + 1


def test_a_missing_key_is_looked_for_at_the_table_that_should_hold_it() -> None:
    text = '\n[aim]\nmargin = "5 %"\n\n[[hardware]]\nname = "x"\n'
    assert line_of(text, ("aim", "behaviour")) == 2
    assert line_of(text, ("hardware", 0, "mass")) == 5
    assert line_of(text, ("hardware", 1, "mass")) == 5
    assert line_of(text, ("water", "salinity")) is None


def test_the_statement_on_a_line_inside_a_long_value_is_the_one_that_began_before() -> None:
    text = 'a = 1\nb = [\n  1,\n  2\n]\nc = """\nx\n'
    seen = scan(text)
    for line, path in ((1, ("a",)), (2, ("b",)), (4, ("b",)), (5, ("b",)), (7, ("c",))):
        statement = seen.at(line)
        assert statement is not None
        assert statement.path == path

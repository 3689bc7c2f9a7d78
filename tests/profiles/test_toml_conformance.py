"""What TOML forbids, given as a profile: status 2 and one line that says where and what.

The categories are those of the published conformance corpus `toml-lang/toml-test`
(invalid files of its version for TOML 1.0); the texts here were written anew from the
rules of TOML v1.0.0, since a suite must not need a network. Where the corpus itself is at
hand, PLUGWRIGHT_TOML_TEST names its folder of invalid files and every one of them is
tried, and every valid one beside it is read and written again; and the files that CPython
carries for its own parser, where they are installed.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
import unicodedata
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest

from wizard.__main__ import main
from wizard.store import profile
from wizard.store.problems import ProfileError

VALUES: dict[str, list[str]] = {
    "bool": ["True", "FALSE", "t", "f", "tru", "truee", "true1", "falsely", "tRue", "false false"],
    "integer": [
        "_1", "1_", "1__0", "+_1", "01", "00", "-01", "+0_1", "0x", "0b", "0o", "0xg", "0b2",
        "0o8", "0x_1", "0x1_", "0b_1", "0o_7", "+0x1", "-0b1", "+0o1", "0X1", "0B1", "0O1", "1a",
        "1 2", "++1", "--1", "+-1", "+", "-", "_", "0_0", "1,000", "0x1.0", "0b1__0",
    ],
    "float": [
        "1.", ".1", "+.1", "-.1", "1.e1", ".e1", "1e", "1e+", "1e1.0", "1e_1", "1_e1", "1e1_",
        "1._0", "1_.0", "1.0_", "1.0__0", "01.0", "00.1", "+01.0", "1.0e01.1", "Inf", "INF", "NaN",
        "infinity", "+Nan", "in", "na", "1.2.3", "1..2", "1e1e1", "0x1p3", "1.0f", "1,5", "e1",
        "1.0 e1", "_1.0", "1e__1",
    ],
    "datetime": [
        "2026-13-01T00:00:00Z", "2026-00-01T00:00:00Z", "2026-02-30T00:00:00Z",
        "2025-02-29T00:00:00Z", "2026-01-32T00:00:00Z", "2026-01-00T00:00:00Z",
        "2026-01-01T24:00:00Z", "2026-01-01T00:60:00Z", "2026-01-01T00:00:61Z",
        "2026-01-01T00:00:00+25:00", "2026-01-01T00:00:00+00:60", "2026-01-01T00:00:00+1:00",
        "2026-01-01T00:00:00-0000", "2026-1-01T00:00:00Z", "2026-01-1T00:00:00Z",
        "26-01-01T00:00:00Z", "2026-01-01T0:00:00Z", "2026-01-01 T00:00:00Z",
        "2026-01-01T00:00:00.Z", "2026-01-01T00:00:00ZZ", "2026-01-01_00:00:00Z",
        "2026/01/01T00:00:00Z", "20260101T000000Z", "2026-01-01T",
    ],
    "local-datetime": [
        "2026-02-30T00:00:00", "2026-01-01T25:00:00", "2026-01-01T00:61:00", "2026-01-01T00:00:",
        "2026-01-01T00:00:00.", "2026-13-01 00:00:00", "2026-01-01T1:00:00", "2026-01-01t",
    ],
    "local-date": [
        "2026-02-30", "2026-13-01", "2026-00-10", "2026-01-00", "2026-1-01", "2026-01-1",
        "26-01-01", "02026-01-01", "2026-01-01x", "2026-0101", "2026-01",
    ],
    "local-time": ["24:00:00", "00:60:00", "00:00:61", "1:00:00", "00:0:00", "00:00:00.", "00:00:"],
    "string": [
        '"', '"a', 'a"', "'", "'a", "a'", '"a\nb"', "'a\nb'", '"\\q"', '"\\ "', '"\\u12"',
        '"\\u123g"', '"\\uD800"', '"\\uDFFF"', '"\\U00110000"', '"\\U0000"', '"\\Uffffffff"',
        '"a" "b"', "'a' 'b'", '"a"b', "'a'b", '"\\', '"\\"', '"""a', '"""a"', '"""a""', "'''a",
        "'''a'", "'''a''", '"""\\q"""', '"""\\uD800"""', '"""a\\ b"""', '"""""""""', "'''''''''",
        '"a\'', "'a\"", '"""a\'\'\'', "a", "“a”", '""a"', '"\\/"', '["a]', '["a\', "b"]',
    ],
    "array": [
        "[", "[1", "[1,", "[,]", "[1,,2]", "[,1]", "[1 2]", '["a" "b"]', "[1, 2", "[[1]", "[1]]",
        "[1], 2", "[1] 2", "[1;2]", "[a]", "[1, [2, 3]", "[{}", "[{ a = 1 ]", "[= 1]", "[#]",
    ],
    "inline-table": [
        "{", "{a", "{a=", "{a=1", "{a=1,", "{,}", "{a=1,,b=2}", "{a=1 b=2}", "{a=1}}", "{a=1} b=2",
        "{a}", "{=1}", "{a=1, a=2}", "{a={b=1}, a.b=2}", "{a.b=1, a.b=2}", "{a=1, a.b=2}",
        "{[a]=1}", "{a=1;b=2}", '{"a=1}', "{a=1]", "{a = }",
    ],
}  # fmt: skip
"""Texts that stand behind a key and a sign of equality."""

TEXTS: dict[str, list[str]] = {
    "key": [
        "a", "a =", "= 1", "a b = 1", "a = = 1", "a == 1", ".a = 1", "a. = 1", "a..b = 1", ". = 1",
        "a\n= 1", "a =\n1", "a = 1 b = 2", "a = 1, b = 2", "[a = 1", "a] = 1", "a# = 1", "é = 1",
        "a! = 1", "@ = 1", '"a = 1', "'a = 1", '"a"b = 1', '"""a""" = 1', "'''a''' = 1",
        '"\\q" = 1',
        '"a\nb" = 1', "a = 1\na = 2", "a.b = 1\na.b = 2", '"a" = 1\na = 2', "a = 1\na.b = 2",
        "a.b = 1\na = 2", "a = []\na.b = 1", '"" = 1\n"" = 2', "1.1 = 1\n1.1 = 2", "1", "true",
        '"a"', "[a]b = 1", "a=1]", "μ = 1", "a\\u0041 = 1", "-.- = ", "a = 1 #\nb",
    ],
    "table": [
        "[]", "[ ]", "[.]", "[..]", "[a.]", "[.a]", "[a..b]", "[a", "[a]]", "[[a]", "[[a] ]",
        "[ [a]]", "[a b]", "[a]b", "[a] b = 1", "[a#b]", "[a]\n[a]", "[a.b]\n[a.b]",
        "[a]\nb = 1\n[a]", "[a]\nb = 1\n[a.b]", "a = 1\n[a]", "a = 1\n[a.b]", "a = {}\n[a.b]",
        "a = {b = 1}\n[a]", "[[a]]\n[a]", "[a]\n[[a]]", "a = []\n[[a]]", "[[a.b]]\n[a.b]",
        "[a.b]\n[[a]]", "[a]\nb.c = 1\n[a.b]", "[a]\nb.c = 1\n[a.b.c]", "a.b = 1\n[a]", "[a\n]",
        "[a.\nb]", "[[a\n]]", "[\na]", "[=]", '["a]', "['a]", "[a]]\n", "[[]]", "[[.]]", "[[a]\n]",
        "[a]\n[b]\n[a]", "[a.b.c]\nd.e = 1\n[a.b.c.d]", "[[a]]\n[[a.b]]\n[a.b]", "[{}]", "[(a)]",
        "[a]\n\"b\nc\" = 1", "[ébène]", "[a]\u3000", "[a.b]\nc = 1\n[a]\nb.d = 2",
    ],
    "control": [
        *(f"a = 1 # {chr(n)}" for n in (0, 1, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        *(f'a = "{chr(n)}"' for n in (0, 1, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        *(f"a = '{chr(n)}'" for n in (0, 1, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        *(f'a = """{chr(n)}"""' for n in (0, 1, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        *(f"a = '''{chr(n)}'''" for n in (0, 1, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        *(chr(n) for n in (0, 8, 0x0B, 0x0C, 0x1F, 0x7F)),
        "a = 1\rb = 2", "a\x0b= 1", "[a]\x0c", "a = \x00", "a = [1,\x0b2]", 'a = "\r"', "# \r x",
    ],
    "spec": [
        "a = 1 b", "a = 1\n2", "key = # unspecified", "first = 1 last = 2", "{a = 1}", "a.b.c",
        "a = [1]\na.b = 2", "a.b = 1\n[[a]]", "[f]\na.b = 1\n[f.a]", "# ok\n= no", "a = 0x0x",
        "[[f.v]]\n[f.v]\nn = 1", "[f]\nv = []\n[[f.v]]", "x = { }\n[x.y]",
    ],
}  # fmt: skip
"""Texts that stand as they are."""

ENCODINGS: dict[str, bytes] = {
    "a byte that begins nothing": b'a = "\x80"',
    "a sign cut at the end": b'a = "x"\n# \xe2\x82',
    "a sign cut in a text": b'a = "\xe2\x82"',
    "a sign cut in a literal": b"a = '\xf0\x9f'",
    "a sign cut in a comment": b"# \xc3\na = 1",
    "too long a form": b'a = "\xc0\xaf"',
    "half a pair": b'a = "\xed\xa0\x80"',
    "beyond Unicode": b'a = "\xf4\x90\x80\x80"',
    "five bytes": b'a = "\xf8\x88\x80\x80\x80"',
    "UTF-16 with a mark": "a = 1\n".encode("utf-16"),
    "UTF-16": "a = 1\n".encode("utf-16-le"),
    "UTF-32": "a = 1\n".encode("utf-32"),
    "Latin-1": "a = 'é'\n".encode("latin-1"),
    "a mark in the middle": b"a = 1\n\xef\xbb\xbfb = 2\n",
    "a mark behind a blank": b" \xef\xbb\xbfa = 1\n",
    "a wide blank": "a\u3000= 1\n".encode(),
}
FORMAT = b"format = 1\n"


def cases() -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every text, with what makes it a profile before it."""
    for category, texts in VALUES.items():
        for number, text in enumerate(texts):
            yield f"{category}-{number}", FORMAT + f"a = {text}\n".encode()
    for category, texts in TEXTS.items():
        for number, text in enumerate(texts):
            yield f"{category}-{number}", FORMAT + f"{text}\n".encode()
    for name, data in ENCODINGS.items():
        yield f"encoding, {name}", FORMAT + data


def installed() -> Iterator[tuple[str, bytes]]:
    """Invalid files that CPython carries for its own parser, where they are installed."""
    folder = Path(tomllib.__file__).parents[1] / "test" / "test_tomllib" / "data" / "invalid"
    for path in sorted(folder.rglob("*.toml")):
        yield f"CPython, {path.relative_to(folder)}", path.read_bytes()


def at_hand() -> Iterator[tuple[str, bytes]]:
    """The invalid files of the corpus, where its folder is named."""
    folder = Path(os.environ.get("PLUGWRIGHT_TOML_TEST", os.devnull))
    for path in sorted(folder.rglob("*.toml")) if folder.is_dir() else []:
        yield f"corpus, {path.relative_to(folder)}", path.read_bytes()


CASES = dict(chain(cases(), installed(), at_hand()))


def test_there_are_as_many_as_claimed() -> None:
    assert len(dict(cases())) >= 380
    categories = {name.split("-")[0].split(",")[0] for name in dict(cases())}
    assert categories == {
        "array", "bool", "control", "datetime", "encoding", "float", "inline", "integer", "key",
        "local", "spec", "string", "table",
    }  # fmt: skip


@pytest.mark.parametrize("name", dict(cases()))
def test_each_is_forbidden_by_the_standard_parser_too(name: str) -> None:
    """So that a text that is good TOML after all can't pass for a bad one."""
    with pytest.raises((tomllib.TOMLDecodeError, UnicodeDecodeError)):
        tomllib.loads(CASES[name].decode("utf-8-sig"))


@pytest.mark.parametrize("name", CASES)
def test_as_a_profile_each_gives_status_2_and_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("it.toml").write_bytes(CASES[name])
    with pytest.raises(SystemExit) as ended:
        main(["review", "it.toml"])
    out, err = capsys.readouterr()
    assert ended.value.code == 2
    assert out == ""
    assert err.startswith("plugwright: it.toml: ")
    assert err.endswith("\n")
    assert [c for c in err[:-1] if unicodedata.category(c)[0] in "C"] == []
    if name in dict(cases()):
        assert "names no format" not in err
        assert "line " in err or "UTF-8" in err


def allowed() -> Iterator[tuple[str, bytes]]:
    """Files of good TOML 1.0: CPython's own, and the corpus's where its folder is named."""
    folder = Path(tomllib.__file__).parents[1] / "test" / "test_tomllib" / "data" / "valid"
    for path in sorted(folder.rglob("*.toml")):
        yield f"CPython, {path.relative_to(folder)}", path.read_bytes()
    corpus = Path(os.environ.get("PLUGWRIGHT_TOML_TEST", os.devnull)).parent
    listed = corpus / "files-toml-1.0.0"
    for line in listed.read_text().splitlines() if listed.is_file() else []:
        if line.startswith("valid/") and line.endswith(".toml"):
            yield f"corpus, {line}", (corpus / line).read_bytes()


ALLOWED = {"none installed": b"a = 1\n", **dict(allowed())}


@pytest.mark.parametrize("name", ALLOWED)
def test_what_toml_allows_is_kept_whole_and_only_nan_and_inf_are_refused(name: str) -> None:
    data = b"format = 1\n" + ALLOWED[name].removeprefix(b"\xef\xbb\xbf")
    tables = tomllib.loads(data.decode())
    if re.search(r"= *[+-]?(nan|inf)\b", data.decode()):
        with pytest.raises(ProfileError, match="nan and inf are no numbers"):
            profile.read(data, "it.toml")
        return
    build, _ = profile.read(data, "it.toml")
    assert tomllib.loads(profile.write(build).decode()) == tables


@pytest.mark.parametrize("name", list(dict(cases()))[::60])
def test_the_same_from_the_shell(tmp_path: Path, name: str) -> None:
    path = tmp_path / "it.toml"
    path.write_bytes(CASES[name])
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "review", str(path)],
        capture_output=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1
    assert b"Traceback" not in done.stderr

"""The walk line by line: same steps, same checks, same profile, nothing but lines."""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.app.test_journey import STEPS
from tests.process.windows import Window
from wizard.plain.talk import Gone, Talk
from wizard.plain.walk import Walk
from wizard.session.opening import begin
from wizard.store.opening import open_profile

ROOT = Path(__file__).parents[2]


class Hands(io.StringIO):
    """Answers each question by its label, as the steps of the journey have it."""

    def __init__(self, spoken: io.StringIO) -> None:
        super().__init__()
        self.spoken = spoken
        self.left = {
            step: {label: list(a) if isinstance(a, list) else [a] for label, a in answers.items()}
            for step, answers in STEPS.items()
        }
        self.asked = 0

    def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]
        """The answer to what was asked last."""
        self.asked += 1
        said = self.spoken.getvalue().split("\n")
        step = re.findall(r"^Step \d+ of 10: (.*?)\. Phase", self.spoken.getvalue(), re.MULTILINE)
        if self.asked > 400 or "Finish: keep" in "".join(said[-2:]):
            return ""
        answers = self.left[step[-1]] if step else {}
        if said[-1].strip() == "Number:":
            return self._of_list(said[:-1], answers)
        label = re.split(r" \[| \(|:", said[-1])[0].strip()
        return f"{self._next(answers, label)}\n"

    def _of_list(self, said: list[str], answers: dict[str, list[str]]) -> str:
        options: list[str] = []
        while re.match(r"  \d+ ", said[-1]):
            options.insert(0, said.pop())
        wanted = self._next(answers, said[-1].split(":")[0])
        numbered = [option.split(maxsplit=1) for option in options]
        found = [number for number, text in numbered if wanted and text.startswith(wanted)]
        return f"{found[0] if found else ''}\n"

    def _next(self, answers: dict[str, list[str]], label: str) -> str:
        left = answers.get(label, [])
        return left.pop(0) if len(left) > 1 else left[0] if left else ""


def test_ten_steps_line_by_line(tmp_path: Path) -> None:
    spoken = io.StringIO()
    session = begin(tmp_path, "Pier herring 95", lambda kept: None)
    with pytest.raises(Gone):
        Walk(session, Talk(Hands(spoken), spoken)).go_through()
    assert session.close()
    said = spoken.getvalue()
    build = open_profile(session.path).build
    assert build.build.step == "review"
    assert build.weighing.mass
    assert build.weighing.mass.text == "13,62 g"
    assert len(build.density.sample) == 2
    assert build.ballast
    assert [h.diameter.text for h in build.ballast.hole if h.diameter] == ["3/8 in"]
    assert build.hardware
    assert build.coat
    assert "Provisional: waits for the hardware and the coats. Do not drill." in said
    assert "Lay out the holes, then drill" not in said  # laid out before hardware and coats
    assert "Do not drill yet: look at the holes and pieces first." in said  # too small a hole
    assert "! Lead: hands and mouth" in said
    assert re.search(r"ballast, the full answer: [\d.]+ ± [\d.]+ g -> [\d.]+ ± [\d.]+ g", said)
    assert "not known any more" not in said  # a half-answered row is no news
    assert max(map(len, said.split("\n"))) < 120


def talked(*lines: str, arguments: tuple[str, ...], env: dict[str, str] | None = None) -> str:
    """What the program says to lines that are piped in."""
    done = subprocess.run(
        [sys.executable, "-m", "wizard", *arguments],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        timeout=60,
        cwd=ROOT,
        env={**os.environ, **(env or {})},
        check=True,
    )
    assert done.stderr == ""
    return done.stdout


def test_refusals_commands_and_undo(tmp_path: Path) -> None:
    path = tmp_path / "it.toml"
    said = talked(
        "It", "/help", "abc", "60 degC", "/undo", "/step 4", "13.62 in", "1,500 g", "1", "/back",
        "/next", "/nothing", "/words", "/numbers", "/quit",
        arguments=("--plain", str(path)),
    )  # fmt: skip
    assert "Error: “abc” does not begin with a number." in said
    assert "Undone: Temperature of the fishing water: 60 degC." in said
    assert "Step 4 of 10: Weighing. Phase: measure." in said
    assert "Error: “in” measures length, and mass is asked here." in said
    assert "1 1.500 g" in said
    assert "Error: /nothing is not known." in said
    assert "resolution: the smallest step that an instrument shows" in said
    build = open_profile(path).build
    assert build.water.temperature is None
    assert build.weighing.mass
    assert build.weighing.mass.text == "1.500 g"
    assert build.build.step == "weighing"


def test_a_terminal_that_can_do_no_more_gets_lines(tmp_path: Path) -> None:
    environment = {**os.environ, "TERM": "dumb", "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "wizard", str(tmp_path / "it.toml")]
    with Window(lambda: os.execve(command[0], command, environment)) as window:
        window.until("Name of the build")
        assert "Step 1 of 10: Plan." in window.text
        window.send("/quit\n")
        window.wait()
        assert window.status == 0
        said = bytes(window.raw).decode().split()
        assert said[-3:] == ["plugwright", "--plain", str(tmp_path / "it.toml")]
        assert b"\x1b" not in window.raw


def test_without_a_terminal_nobody_is_asked(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "wizard", str(tmp_path / "it.toml")],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        timeout=60,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "--plain reads answers from the input" in done.stderr
    assert not (tmp_path / "it.toml").exists()


def test_the_line_mode_loads_no_textual(tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "from wizard.plain.start import run\n"
        f"run({str(tmp_path / 'it.toml')!r}, None)\n"
        "print(sorted({'textual', 'rich'} & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], input="", capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.rstrip().endswith("[]")


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGTERM to catch")
def test_a_signal_saves(tmp_path: Path) -> None:
    path = tmp_path / "it.toml"
    with subprocess.Popen(
        [sys.executable, "-m", "wizard", "--plain", str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as process:
        assert process.stdin
        assert process.stdout
        process.stdin.write("Pier herring\n9 degC\n")
        process.stdin.flush()
        while "9 degC" not in process.stdout.readline():
            time.sleep(0.01)
        process.send_signal(signal.SIGTERM)
        assert process.wait(20) == 128 + signal.SIGTERM
    assert 'temperature = "9 degC"' in path.read_text()


def test_a_file_that_can_t_be_read_is_one_line_and_status_2(tmp_path: Path) -> None:
    path = tmp_path / "it.toml"
    path.write_text("format = 1\n[weighing]\nmass = 3\n")
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "--plain", str(path)],
        input="",
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "line 3: weighing.mass" in done.stderr

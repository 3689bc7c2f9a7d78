"""Work in a process of its own: done there, dropped, done over here, and left without a trace."""

from __future__ import annotations

import asyncio
import signal
import sys
from collections.abc import AsyncGenerator
from contextlib import aclosing
from os import getpid, kill
from pathlib import Path

import pytest

from tests.process.slow_work import counted, dying, faulty, printing, unsendable, who
from wizard.apart import elsewhere
from wizard.apart.elsewhere import Elsewhere
from wizard.apart.here import Here

PATIENCE = 30.0


async def all_of(parts: AsyncGenerator[int, None]) -> list[int]:
    return [part async for part in parts]


async def gone(process: int) -> None:
    async with asyncio.timeout(PATIENCE):
        while True:
            try:
                kill(process, 0)
            except ProcessLookupError:
                return
            await asyncio.sleep(0.01)


async def test_it_is_done_in_one_other_process_that_goes_at_the_end() -> None:
    apart = Elsewhere()
    first = await all_of(apart.ask(who, 3))
    again = await all_of(apart.ask(who, 1))
    assert first == [first[0]] * 3
    assert again == first[:1] != [getpid()]
    await apart.close()
    await gone(first[0])


async def test_what_nobody_wants_any_more_is_dropped(tmp_path: Path) -> None:
    apart, place = Elsewhere(), tmp_path / "reached"
    async with aclosing(apart.ask(counted, place, 100_000)) as parts:
        async for number in parts:
            if number == 3:
                break
    (worker,) = await asyncio.wait_for(all_of(apart.ask(who, 1)), PATIENCE)
    assert worker != getpid()
    assert int(place.read_text()) < 1000
    await apart.close()


async def test_who_turns_away_at_the_moment_of_an_answer_has_turned_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class TurningAway(asyncio.Queue[tuple[str, int]]):
        def put_nowait(self, item: tuple[str, int]) -> None:
            super().put_nowait(item)
            asker.cancel()

    monkeypatch.setattr(elsewhere, "Queue", TurningAway)
    apart = Elsewhere()
    asker = asyncio.create_task(all_of(apart.ask(who, 1)))
    await asyncio.wait({asker}, timeout=PATIENCE)
    assert asker.cancelled()
    await apart.close()


async def test_a_process_that_ends_says_nothing_on_the_terminal(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(elsewhere, "REST", 0.02)
    monkeypatch.setattr(elsewhere, "PATIENCE", PATIENCE)  # none has to be killed
    for _ in range(20):
        apart = Elsewhere()
        (worker,) = await all_of(apart.ask(who, 1))
        await gone(worker)
        await all_of(apart.ask(who, 1))
        await apart.close()
    assert caplog.messages == []


async def test_two_who_ask_at_once_get_their_own(tmp_path: Path) -> None:
    apart = Elsewhere()
    one, other = await asyncio.gather(
        all_of(apart.ask(counted, tmp_path / "one", 5)), all_of(apart.ask(who, 2))
    )
    assert one == [0, 1, 2, 3, 4]
    assert len(set(other)) == 1
    await apart.close()


async def test_a_lost_process_is_made_good_here_and_another_started(tmp_path: Path) -> None:
    apart = Elsewhere()
    assert await all_of(apart.ask(dying, tmp_path / "died")) == [1, 1, 2]
    (worker,) = await all_of(apart.ask(who, 1))
    assert worker != getpid()
    await apart.close()


async def test_a_stopped_process_keeps_nobody_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    apart = Elsewhere()
    (worker,) = await all_of(apart.ask(who, 1))
    assert worker != getpid()
    kill(worker, signal.SIGSTOP)
    monkeypatch.setattr(elsewhere, "SILENCE", 0.1)
    assert await all_of(apart.ask(who, 1)) == [getpid()]
    await gone(worker)
    monkeypatch.undo()
    (next_one,) = await all_of(apart.ask(who, 1))
    assert next_one not in (worker, getpid())
    kill(next_one, signal.SIGSTOP)
    await apart.close()
    await gone(next_one)
    assert await all_of(apart.ask(who, 1)) == [getpid()]  # closed is closed


async def test_what_no_pipe_takes_is_done_here() -> None:
    apart = Elsewhere()
    (part,) = [part async for part in apart.ask(unsendable)]
    assert part() == 1
    (worker,) = await all_of(apart.ask(who, 1))
    assert worker != getpid()
    await apart.close()


async def test_where_no_process_can_be_had_it_is_done_here(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "nothing"))
    apart = Elsewhere()
    assert await all_of(apart.ask(who, 2)) == [getpid()] * 2
    await apart.close()


async def test_a_process_of_another_version_does_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(elsewhere, "__version__", "another")
    apart = Elsewhere()
    assert await all_of(apart.ask(who, 1)) == [getpid()]
    await apart.close()


@pytest.mark.parametrize("apart", [Here(), Elsewhere()], ids=["here", "elsewhere"])
async def test_a_fault_is_told_to_whoever_asked(apart: Here | Elsewhere) -> None:
    with pytest.raises(ArithmeticError, match="no such number"):
        await all_of(apart.ask(faulty))
    assert await all_of(apart.ask(who, 1))
    await apart.close()


async def test_what_is_printed_is_no_reply() -> None:
    apart = Elsewhere()
    assert await all_of(apart.ask(printing)) == [1]
    await apart.close()


async def test_it_is_let_go_when_nobody_asks_and_comes_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(elsewhere, "REST", 0.05)
    apart = Elsewhere()
    (worker,) = await all_of(apart.ask(who, 1))
    await gone(worker)
    (next_one,) = await all_of(apart.ask(who, 1))
    assert next_one not in (worker, getpid())
    await apart.close()

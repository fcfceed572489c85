"""Processes that do the page's work, two at once at most; what nobody waits for any more is ended.

The latest request of a window wins, and a newer text of a window ends all that is done for an older one. What is overtaken has a
moment to end by itself, for most answers take less than it takes to begin a process; then its process is ended, whatever it is
at. Room, which may take long, has a process of its own, so that no answer waits behind it, in this window or in another.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

PATIENCE = 0.3  # seconds that overtaken work may still take
MOST_LINE = 1 << 24
SLOW = ("rooms",)


class Overtaken(Exception):
    """A later request of the same window took the place of this one."""


class Mine(NamedTuple):
    """A request: the window, its kind, which text of the window it is of, and which of its kind."""

    window: str
    kind: str
    text: int
    number: int


class Lane:
    """A process, and whose turn it is with it; `at_work`: whose it is now."""

    def __init__(self) -> None:
        self.turn = asyncio.Lock()
        self.at_work: tuple[Mine, Process] | None = None
        self.hand: Process | None = None


class Crew:
    """The processes, and whose turn it is."""

    def __init__(self) -> None:
        self._lanes = {True: Lane(), False: Lane()}  # by whether it is slow work
        self._latest: dict[tuple[str, str], int] = {}
        self._texts: dict[str, tuple[int, int]] = {}
        self._ending: set[asyncio.Task[None]] = set()
        self._spare: asyncio.Task[Process] | None = None
        self._begun: list[Process] = []
        self._killed: set[int] = set()
        self._is_over = False

    def begin(self) -> None:
        """Make the first process ready."""
        if self._spare is None:
            self._spare = asyncio.create_task(self._started())

    async def ask(self, window: str, job: Mapping[str, Any]) -> bytes:
        """The answer to a piece of work.

        Raises:
            Overtaken: a later text of the same window came, or another request of that kind.
        """
        mine = self._announced(window, job)
        lane = self._lanes[mine.kind in SLOW]
        for other in self._lanes.values():
            if other.at_work is not None and self._is_overtaken(other.at_work[0]):
                task = asyncio.create_task(self._patience(other, other.at_work[1]))
                self._ending.add(task)
                task.add_done_callback(self._ending.discard)
        async with lane.turn:
            if self._is_overtaken(mine):
                raise Overtaken
            hand = await self._ready(lane)
            if self._is_overtaken(mine):  # while it was begun
                raise Overtaken
            lane.at_work = mine, hand
            try:
                return await self._told(lane, hand, job)
            finally:
                lane.at_work = None

    def _announced(self, window: str, job: Mapping[str, Any]) -> Mine:
        kind, content = str(job["kind"]), hash(json.dumps(job["texts"], sort_keys=True))
        number, before = self._texts.get(window, (0, 0))
        text = number if before == content else number + 1
        self._texts[window] = text, content
        self._latest[window, kind] = self._latest.get((window, kind), 0) + 1
        return Mine(window, kind, text, self._latest[window, kind])

    def _is_overtaken(self, one: Mine) -> bool:
        return (
            self._is_over or self._texts[one.window][0] != one.text or self._latest[one.window, one.kind] != one.number
        )

    async def _patience(self, lane: Lane, overtaken: Process) -> None:
        before = lane.at_work
        await asyncio.sleep(PATIENCE)
        if lane.at_work is not None and lane.at_work is before:
            self._end(lane, overtaken)

    async def _told(self, lane: Lane, hand: Process, job: Mapping[str, Any]) -> bytes:
        assert hand.stdin is not None
        assert hand.stdout is not None
        try:
            hand.stdin.write(json.dumps(job).encode() + b"\n")
            await hand.stdin.drain()
            line = await hand.stdout.readline()
        except (ConnectionError, ValueError):
            line = b""
        if not line.endswith(b"\n"):
            was_ended = lane.hand is not hand or self._is_over
            self._end(lane, hand)
            if was_ended:
                raise Overtaken
            raise RuntimeError("the process that does the work ended by itself: try again")
        return line

    async def _ready(self, lane: Lane) -> Process:
        if lane.hand is not None and lane.hand.returncode is None:
            return lane.hand
        self.begin()
        assert self._spare is not None
        spare, self._spare = self._spare, None  # taken before it is waited for: the other lane may ask, too
        lane.hand = await spare
        self.begin()
        return lane.hand

    async def _started(self) -> Process:
        above = str(Path(__file__).parents[2])
        before = os.environ.get("PYTHONPATH")
        env = {**os.environ, "PYTHONPATH": above if not before else os.pathsep.join((above, before))}
        made = await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "optimiser.web.jobs"),
            stdin=PIPE,
            stdout=PIPE,
            limit=MOST_LINE,
            env={**env, "OPENBLAS_NUM_THREADS": "1", "PYDANTIC_DISABLE_PLUGINS": "__all__"},
            start_new_session=True,
        )
        self._killed.discard(made.pid)
        self._begun = [*(one for one in self._begun if one.returncode is None), made]
        assert made.stdout is not None
        await made.stdout.readline()
        return made

    def _end(self, lane: Lane, hand: Process) -> None:
        self._kill(hand)
        if lane.hand is hand:
            lane.hand = None

    def stop(self) -> None:
        """Let go of all work at once: who waits for it is told that it was overtaken, and nothing is begun any more."""
        self._is_over = True
        for hand in self._begun:
            self._kill(hand)

    async def end(self) -> None:
        """End all of them, and wait until they are gone."""
        if self._spare is not None:
            self._spare.cancel()
            with suppress(asyncio.CancelledError):
                await self._spare
        self.stop()
        for task in tuple(self._ending):
            task.cancel()
        for hand in tuple(self._begun):
            await hand.communicate()
        self._begun.clear()

    def _kill(self, hand: Process) -> None:
        if hand.pid in self._killed:
            return  # told once: asked again it would be waited for in two places, of which one would complain
        self._killed.add(hand.pid)
        with suppress(ProcessLookupError):
            hand.kill()

"""Processes that do the page's work: one at it, one waiting its turn; what nobody waits for any more is ended.

The latest request of a window wins. One that is overtaken has a moment to end by itself, for most answers take less than it takes
to begin a process; then its process is ended, whatever it is at, and the one that waits takes over.
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
from typing import Any

PATIENCE = 0.3  # seconds that overtaken work may still take
MOST_LINE = 1 << 24


class Overtaken(Exception):
    """A later request of the same window took the place of this one."""


class Crew:
    """The processes, and whose turn it is."""

    def __init__(self) -> None:
        self._turn = asyncio.Lock()
        self._latest: dict[str, int] = {}
        self._at_work: tuple[str, Process] | None = None
        self._spare: asyncio.Task[Process] | None = None
        self._hand: Process | None = None
        self._begun: list[Process] = []

    def begin(self) -> None:
        """Make the first process ready."""
        if self._spare is None:
            self._spare = asyncio.create_task(self._started())

    async def ask(self, window: str, job: Mapping[str, Any]) -> bytes:
        """The answer to a piece of work.

        Raises:
            Overtaken: another one of the same window came.
        """
        mine = self._latest[window] = self._latest.get(window, 0) + 1
        if self._at_work is not None and self._at_work[0] == window:
            overtaken = self._at_work[1]
            with suppress(TimeoutError):
                await asyncio.wait_for(self._turn.acquire(), PATIENCE)
                self._turn.release()
            if self._at_work is not None and self._at_work[1] is overtaken and self._at_work[0] == window:
                self._end(overtaken)
        async with self._turn:
            if self._latest[window] != mine:
                raise Overtaken
            hand = await self._ready()
            self._at_work = window, hand
            try:
                return await self._told(hand, job)
            finally:
                self._at_work = None

    async def _told(self, hand: Process, job: Mapping[str, Any]) -> bytes:
        assert hand.stdin is not None
        assert hand.stdout is not None
        try:
            hand.stdin.write(json.dumps(job).encode() + b"\n")
            await hand.stdin.drain()
            line = await hand.stdout.readline()
        except (ConnectionError, ValueError):
            line = b""
        if not line.endswith(b"\n"):
            was_ended = self._hand is not hand
            self._end(hand)
            if was_ended:
                raise Overtaken
            raise RuntimeError("the process that does the work ended by itself: try again")
        return line

    async def _ready(self) -> Process:
        if self._hand is not None and self._hand.returncode is None:
            return self._hand
        self.begin()
        assert self._spare is not None
        self._hand, self._spare = await self._spare, None
        self.begin()
        return self._hand

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
        self._begun = [*(one for one in self._begun if one.returncode is None), made]
        assert made.stdout is not None
        await made.stdout.readline()
        return made

    def _end(self, hand: Process) -> None:
        with suppress(ProcessLookupError):
            hand.kill()
        if self._hand is hand:
            self._hand = None

    async def end(self) -> None:
        """End all of them, and wait until they are gone."""
        if self._spare is not None:
            self._spare.cancel()
            with suppress(asyncio.CancelledError):
                await self._spare
        for hand in tuple(self._begun):
            self._end(hand)
            await hand.communicate()
        self._begun.clear()

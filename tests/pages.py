"""The local page for tests: begun as a maker begins it, in a workspace of its own, and opened in the browser."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from urllib.request import Request, urlopen

import browsing

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parents[1]
SETTLED = "document.body.dataset.settled"
LOOK_EVERY = 2000  # milliseconds between two looks of the page at the disk
POLL = 25  # milliseconds between two looks of a test at the page; at every frame the browser would draw all the while


class Served(NamedTuple):
    """A program that serves, and the address that it told."""

    process: subprocess.Popen[str]
    address: str

    @property
    def base(self) -> str:
        """The address without its token."""
        return self.address.split("#", maxsplit=1)[0]


@contextmanager
def served(folder: Path, *arguments: str) -> Iterator[Served]:
    """`barwright page` in a folder; ended by an interrupt, as Ctrl-C ends it."""
    process = subprocess.Popen(
        [sys.executable, "-m", "optimiser", "page", "--no-open", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        found = re.search(r"http:\S+", line)
        assert found is not None, (line, process.stderr.read() if process.stderr else "")
        yield Served(process, found.group())
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        process.communicate()


class Standing(NamedTuple):
    """A program that many tests use one after another, since its start takes longer than most of them."""

    server: Served
    folder: Path
    first: Mapping[Path, bytes]
    token: str

    @property
    def goals(self) -> Path:
        """The goal file; in an empty workspace there is none."""
        return next(path for path in self.first if path.parent.name == "goals")

    def lay_anew(self) -> None:
        """Make the workspace what it was at first: the program reads it anew for every window."""
        for path in [path for path in self.folder.rglob("*") if path.is_file() and path not in self.first]:
            path.unlink()
        for path, content in self.first.items():
            if path.read_bytes() != content:
                path.write_bytes(content)

    def way_in(self) -> str:
        """An address that lets one window in, asked for as an open window asks for another."""
        once = _asked(self.server.base, "window", {}, self.token)["once"]
        return f"{self.server.base}#{once}"


def _asked(base: str, call: str, body: Mapping[str, str], token: str = "") -> Mapping[str, str]:
    heads = {"content-type": "application/json", "origin": base.rstrip("/"), "x-barwright-token": token}
    request = Request(f"{base}api/{call}", json.dumps(body).encode(), heads)  # noqa: S310  our own
    with urlopen(request) as reply:  # noqa: S310  the same
        found: dict[str, str] = json.loads(reply.read())
        return found


@contextmanager
def standing(workspace: Path, folder: Path, *arguments: str) -> Iterator[Standing]:
    """`barwright page` in a folder of a workspace, for many tests."""
    first = {path: path.read_bytes() for path in workspace.rglob("*") if path.is_file()}
    with served(folder, *arguments) as server:
        token = _asked(server.base, "begin", {"once": server.address.split("#")[1]})["token"]
        yield Standing(server, workspace, first, token)


def workshop(folder: Path, goal_file: str = "palm-free-vegetable.yaml") -> Path:
    """A workspace with one goal file of ours and the invented shelf; where the goal file lies."""
    for name in ("goals", "inventory"):
        (folder / name).mkdir()
    shutil.copy(ROOT / "inventory" / "kittiwake.yaml", folder / "inventory")
    shutil.copy(ROOT / "goals" / goal_file, folder / "goals")
    return folder / "goals" / goal_file


@contextmanager
def page_of(
    browser: Browser, address: str, width: int = 1280, height: int = 900, *, clock: bool = False
) -> Iterator[browsing.Tab]:
    """The page in a tab, once it has answered; with a clock that `look` puts on, or without."""
    base = address.split("#", maxsplit=1)[0]
    with browsing.opened(browser, address, own=base, width=width, height=height, clock=clock) as tab:
        settle(tab.page)
        yield tab


def comes(page: Page, condition: str, argument: object = None) -> None:
    """Wait until a condition, in the page's own language, is so."""
    page.wait_for_function(condition, arg=argument, polling=POLL)


def settle(page: Page, after: str | None = None) -> str:
    """Wait until all is answered, later than a mark that this gave before; the mark of now."""
    comes(page, f"before => {SETTLED} && {SETTLED} !== before", after)
    mark: str = page.evaluate(SETTLED)
    return mark


def mark_of(page: Page) -> str | None:
    """The mark of the last answer."""
    found: str | None = page.evaluate(SETTLED)
    return found


def text_of(page: Page) -> str:
    """The text of the goal file as the page has it."""
    return page.locator("#text").input_value()


def look(page: Page) -> None:
    """Let the page look at the disk, and for the program, now: its clock is put on to the next time that it does."""
    page.clock.fast_forward(LOOK_EVERY)


def shows(page: Page, text: str) -> None:
    """Wait until the page has a text in its box."""
    comes(page, "text => document.getElementById('text').value.includes(text)", text)


def until(page: Page, is_so: Callable[[], object]) -> None:
    """Wait until something is so that only this process sees, such as a request that it keeps back.

    Raises:
        TimeoutError: it never is.
    """
    end = time.monotonic() + browsing.PATIENCE / 1000
    while not is_so():
        if time.monotonic() > end:
            raise TimeoutError("it never came to be")
        page.wait_for_timeout(10)  # in which the browser tells what happened

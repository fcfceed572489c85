"""The local page for tests: begun as a maker begins it, in a workspace of its own, and opened in the browser."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import browsing

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parents[1]
SETTLED = "document.body.dataset.settled"


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


def workshop(folder: Path, goal_file: str = "palm-free-vegetable.yaml") -> Path:
    """A workspace with one goal file of ours and the invented shelf; where the goal file lies."""
    for name in ("goals", "inventory"):
        (folder / name).mkdir()
    shutil.copy(ROOT / "inventory" / "kittiwake.yaml", folder / "inventory")
    shutil.copy(ROOT / "goals" / goal_file, folder / "goals")
    return folder / "goals" / goal_file


@contextmanager
def page_of(browser: Browser, address: str, width: int = 1280, height: int = 900) -> Iterator[browsing.Tab]:
    """The page in a tab, once it has answered."""
    base = address.split("#", maxsplit=1)[0]
    with browsing.opened(browser, address, own=base, width=width, height=height) as tab:
        settle(tab.page)
        yield tab


def settle(page: Page, after: str | None = None) -> str:
    """Wait until all is answered, later than a mark that this gave before; the mark of now."""
    page.wait_for_function(f"before => {SETTLED} && {SETTLED} !== before", arg=after)
    mark: str = page.evaluate(SETTLED)
    return mark


def mark_of(page: Page) -> str | None:
    """The mark of the last answer."""
    found: str | None = page.evaluate(SETTLED)
    return found


def text_of(page: Page) -> str:
    """The text of the goal file as the page has it."""
    return page.locator("#text").input_value()

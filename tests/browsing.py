"""A real browser for tests: found on this machine, started without a network, its pages watched, printed and looked over.

Debian's `chromium` serves (`apt-get install chromium`); `BARWRIGHT_BROWSER` names another. Tests that ask for one are
left out, and say so, where there is none; with `BARWRIGHT_BROWSER_TESTS=required` that is a failure.
"""

from __future__ import annotations

import io
import os
import shutil
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ConsoleMessage, Page, Route

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")
CLOSED = (  # as root in a box that has no network: no sandbox, and nothing that calls home by itself
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"),
)
RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
"""The rules of axe-core that are asked: those of WCAG 2.2, level AA, and its good practice."""
BRIEF = ("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-Xss4m")
"""How java runs a checker that is done in seconds: little time goes into making it fast."""
NO_BROWSER = "no browser here: apt-get install chromium, or name one in BARWRIGHT_BROWSER"
PATIENCE = 120_000
"""Milliseconds that anything is waited for: a busy machine is no fault of a page, and one that is right never takes them."""
Paper = Literal["A4", "Letter"]


class Tab(NamedTuple):
    """A page, what it asked for from elsewhere (all refused), and what its console complained of."""

    page: Page
    refused: list[str]
    complaints: list[str]


def found() -> str | None:
    """Where a browser is; None where there is none."""
    named = os.environ.get("BARWRIGHT_BROWSER", "")
    return shutil.which(named) if named else next(filter(None, map(shutil.which, NAMES)), None)


def is_required() -> bool:
    """Whether a missing browser is a failure."""
    return os.environ.get("BARWRIGHT_BROWSER_TESTS") == "required"


@contextmanager
def started() -> Iterator[Browser]:
    """The browser, with a folder of its own that is gone afterwards.

    Raises:
        LookupError: there is none.
    """
    from playwright.sync_api import sync_playwright

    path = found()
    if path is None:
        raise LookupError(NO_BROWSER)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=list(CLOSED))
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def opened(  # one argument per way in which a tab may differ
    browser: Browser,
    address: str,
    *,
    own: str = "",
    width: int = 1280,
    height: int = 900,
    scripts: bool = True,
    clock: bool = False,
) -> Iterator[Tab]:
    """A page in a tab of its own, in which everything that is not from `own` is refused.

    Args:
        browser: the browser.
        address: what to open.
        own: how addresses begin that are let through; the page's own address alone where it is left out.
        width: of the window in pixels.
        height: the same.
        scripts: whether the page may run any.
        clock: whether `page.clock` may put its clock on.
    """
    refused: list[str] = []
    complaints: list[str] = []

    def watch(route: Route) -> None:
        url = route.request.url
        if url == address or (own and url.startswith(own)):
            route.continue_()
        else:
            refused.append(url)
            route.abort()

    def listen(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            complaints.append(message.text)

    context = browser.new_context(
        viewport={"width": width, "height": height}, java_script_enabled=scripts, service_workers="block"
    )
    try:
        context.set_default_timeout(PATIENCE)
        if clock:
            context.clock.install()
        context.route("**/*", watch)
        page = context.new_page()
        page.on("console", listen)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(address)
        yield Tab(page, refused, complaints)
    finally:
        context.close()


@cache
def _axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")


def violations(page: Page, rules: tuple[str, ...] = RULES, *, again: bool = False) -> list[str]:
    """What axe-core finds wrong with a page that may run scripts: each rule with the elements that break it.

    Args:
        page: the page.
        rules: which of its rules are asked, by their tags.
        again: it was asked of this page before, so that it is there already.

    Raises:
        RuntimeError: hardly a rule applied, so that nothing was looked at.
    """
    if not again:
        page.evaluate(_axe())
    # of what passes one element of each rule is told, so that hardly any time goes into telling them
    found: dict[str, Any] = page.evaluate(
        "rules => axe.run(document, {runOnly: {type: 'tag', values: rules}, resultTypes: ['violations']})",
        list(rules),
    )
    if len(found["passes"]) < 5:
        raise RuntimeError(f"only {len(found['passes'])} rules applied")
    return [
        f"{item['id']}: {item['help']}: {node['target']} {node.get('failureSummary', '')}"
        for item in found["violations"]
        for node in item["nodes"]
    ]


def runs_over(page: Page) -> bool:
    """Whether a reader must scroll sideways."""
    wide: bool = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return wide


def printed(page: Page, paper: Paper = "A4") -> bytes:
    """The page as the browser prints it, on a paper that the page itself may not choose."""
    return page.pdf(format=paper, prefer_css_page_size=False, print_background=False, margin=None)


def pages_of(pdf: bytes) -> list[str]:
    """The words of each page of a PDF, each run of blanks as one, and letters that are joined apart again."""
    from pypdf import PdfReader

    pages = PdfReader(io.BytesIO(pdf)).pages
    return [" ".join(unicodedata.normalize("NFKC", page.extract_text()).split()) for page in pages]

"""One browser for all tests of this folder, and two programs that serve pages; left out, and told so, where there is no browser."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import browsing
import pages
import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The browser of this machine."""
    if browsing.found() is None:
        if browsing.is_required():
            pytest.fail(browsing.NO_BROWSER)
        pytest.skip(browsing.NO_BROWSER)
    with browsing.started() as started:
        yield started


@pytest.fixture(scope="session")
def _workshop(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[pages.Standing]:
    """The browser is asked for first, so that no program is started in vain."""
    assert browser.is_connected()
    goals = pages.workshop(tmp_path_factory.mktemp("workshop"))
    with pages.standing(goals.parents[1], goals.parent, goals.name) as found:
        yield found


@pytest.fixture(scope="session")
def _empty(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[pages.Standing]:
    """The same."""
    assert browser.is_connected()
    folder = tmp_path_factory.mktemp("empty")
    with pages.standing(folder, folder) as found:
        yield found


@pytest.fixture
def workshop(_workshop: pages.Standing) -> pages.Standing:
    """The page of a goal file of ours in a workshop with the invented shelf, as if it had just been begun there."""
    _workshop.lay_anew()
    return _workshop


@pytest.fixture
def empty(_empty: pages.Standing) -> pages.Standing:
    """The page in a folder in which nothing lies, as if it had just been begun there."""
    _empty.lay_anew()
    return _empty

"""One browser for all tests of this folder; they are left out, and say so, where there is none."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import browsing
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

"""What watches a page sees what it is there to see."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import browsing

if TYPE_CHECKING:
    from playwright.sync_api import Browser

BAD = """<!doctype html><html><head><title></title></head><body><img src="https://www.w3.org/a.png">
<p style="color:#ccc">pale</p><div style="width:3000px">wide</div><script>console.error("loud"); undefinedThing()</script></body></html>"""


def test_a_bad_page_is_found_out(browser: Browser, tmp_path: Path) -> None:
    """A page that calls elsewhere, complains, runs over and cannot be read is seen to do so, each by its own check."""
    (tmp_path / "bad.html").write_text(BAD, encoding="utf-8")
    with browsing.opened(browser, (tmp_path / "bad.html").as_uri(), width=360) as tab:
        assert tab.refused == ["https://www.w3.org/a.png"]
        assert any("loud" in one for one in tab.complaints)
        assert any("undefinedThing" in one for one in tab.complaints)
        assert browsing.runs_over(tab.page)
        wrong = {one.split(":")[0] for one in browsing.violations(tab.page)}
        assert {"color-contrast", "image-alt", "document-title", "html-has-lang"} <= wrong
        assert "pale" in browsing.pages_of(browsing.printed(tab.page))[0]


def test_a_page_may_be_kept_from_running_scripts(browser: Browser, tmp_path: Path) -> None:
    """In a tab that runs no scripts none of the page's own runs, and the page is still seen and printed."""
    (tmp_path / "bad.html").write_text(BAD, encoding="utf-8")
    with browsing.opened(browser, (tmp_path / "bad.html").as_uri(), scripts=False) as tab:
        assert not any("loud" in one for one in tab.complaints)
        assert tab.page.get_by_text("pale").is_visible()
        assert "wide" in browsing.pages_of(browsing.printed(tab.page))[0]

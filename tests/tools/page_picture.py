"""Takes the README's picture of the local page: a workspace of the invented shelf, one goal file, the browser of this machine.

python tests/tools/page_picture.py
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import browsing
import pages

TARGET = pages.ROOT / "examples" / "page.png"
WIDTH, HEIGHT = 1180, 800
MOST_BYTES = 200_000


def main() -> None:
    """Take it, with a stop pulled up a little from where the file has it."""
    with (
        tempfile.TemporaryDirectory() as folder,
        pages.served((goals := pages.workshop(Path(folder))).parent, goals.name) as server,
        browsing.started() as browser,
        pages.page_of(browser, server.address, WIDTH, HEIGHT) as tab,
    ):
        before = pages.mark_of(tab.page)
        box = tab.page.get_by_label("hardness at least, as a number")
        box.fill("62")
        box.press("Enter")
        pages.settle(tab.page, before)
        tab.page.locator("#wall-h").click()
        TARGET.write_bytes(tab.page.screenshot())
    size = TARGET.stat().st_size
    print(f"{TARGET.relative_to(pages.ROOT)}: {size / 1000:.0f} kB")  # noqa: T201
    if size > MOST_BYTES:
        sys.exit("the picture is too heavy")


if __name__ == "__main__":
    main()

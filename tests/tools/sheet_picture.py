"""The first printed page of a making sheet as a picture for the README: `examples/sheet.png`.

    python tests/tools/sheet_picture.py

Asks for a browser (`tests/browsing.py`). Run it after the sheet looks otherwise, and look at it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

import browsing  # noqa: E402

from optimiser.answers.results import NoBlend  # noqa: E402
from optimiser.answers.sheet import making_sheet  # noqa: E402
from optimiser.report.page.html import sheet_html  # noqa: E402

WIDTH, HEIGHT = 790, 862  # CSS pixels: A4 across, as far down as the first page's weights and cautions go
MARGIN = 36


def main() -> None:
    """Write the picture."""
    sheet = making_sheet(Path("goals/everyday.yaml"))
    if isinstance(sheet, NoBlend):
        raise SystemExit("goals/everyday.yaml has no blend")
    with tempfile.TemporaryDirectory() as folder, browsing.started() as browser:
        page = Path(folder) / "sheet.html"
        page.write_text(sheet_html(sheet), encoding="utf-8")
        with browsing.opened(browser, page.as_uri(), width=WIDTH, height=HEIGHT) as tab:
            tab.page.emulate_media(media="print")
            tab.page.add_style_tag(content=f"body {{ padding: {MARGIN}px; filter: grayscale(1); }}")
            tab.page.screenshot(
                path=ROOT / "examples" / "sheet.png", clip={"x": 0, "y": 0, "width": WIDTH, "height": HEIGHT}
            )


if __name__ == "__main__":
    main()

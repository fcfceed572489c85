"""`sheet` from the command line: exit codes, streams, what is written and when nothing is."""

from __future__ import annotations

import gc
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from sheets import read

from optimiser.cli.main import main
from optimiser.report.page import pdf as page_pdf

ROOT = Path(__file__).parents[2]
GOALS = str(ROOT / "goals" / "budget.yaml")
CANNOT = str(ROOT / "goals" / "cannot-be.yaml")
HOUSE = "title: House bar\nfats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"
HEAVY = "fats: {olive oil: 700 g, coconut oil: 300 g}\nalkali: {sodium hydroxide: 190 g}\nwater: 400 g\n"


@pytest.fixture(autouse=True)
def collected() -> Iterator[None]:
    """The command switches the collector of garbage off for its short life; tests live longer."""
    yield
    gc.enable()


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A recipe in hand."""
    path = tmp_path / "house.yaml"
    path.write_text(HOUSE, encoding="utf-8")
    return path


def test_a_page_is_written_and_said_to_be(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Exit code 0, the page beside, and a word on what to do with it; no figure of alkali on the terminal."""
    out = tmp_path / "sheet.html"
    assert main(["sheet", GOALS, "-o", str(out)]) == 0
    told, said = capfd.readouterr()
    assert f"Written: {out}" in said
    assert (
        told == f"Budget production bar: open {out} and print it, on A4 or Letter, without the browser's own headers.\n"
    )
    assert "Budget production bar" in read(out.read_text(encoding="utf-8")).text


def test_a_recipe_has_a_sheet_too(house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A recipe, in ounces and grams, made on a day and under a number."""
    out = tmp_path / "sheet.html"
    options = ["--units", "oz", "--both", "--made", "2026-11-28", "--number", "2026-118"]
    assert main(["sheet", str(house), "-o", str(out), *options]) == 0
    assert "House bar: open" in capfd.readouterr().out
    text = read(out.read_text(encoding="utf-8")).text
    for word in ("28 Nov 2026", "2026-118", "24.7", "700.2", "from 6 Dec 2026"):
        assert word in text


def test_data_are_those_of_the_answer(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """With --json stdout is the document of `blend --json`, from which the page was made."""
    assert main(["sheet", GOALS, "-o", str(tmp_path / "a.html"), "--json"]) == 0
    sheet = json.loads(capfd.readouterr().out)
    assert main(["blend", GOALS, "--json"]) == 0
    assert sheet == json.loads(capfd.readouterr().out)


def test_where_there_is_no_blend_nothing_is_written(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Exit code 1, the clash in words or as data, and no file."""
    out, pdf = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    assert main(["sheet", CANNOT, "-o", str(out), "--pdf", str(pdf)]) == 1
    assert "cannot" in capfd.readouterr().out
    assert main(["sheet", CANNOT, "-o", str(out), "--json"]) == 1
    assert json.loads(capfd.readouterr().out)["status"] == "infeasible"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("as_json", [False, True])
def test_what_must_not_be_made_has_no_sheet(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], *, as_json: bool
) -> None:
    """Exit code 1, the caution first, and no file."""
    path, out = tmp_path / "heavy.yaml", tmp_path / "sheet.html"
    path.write_text(HEAVY, encoding="utf-8")
    assert main(["sheet", str(path), "-o", str(out), *(["--json"] if as_json else [])]) == 1
    told, said = capfd.readouterr()
    assert "LYE-HEAVY" in told
    assert "No sheet is written" in said
    assert not out.exists()


def test_a_file_that_is_there_stays(house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Neither page writes over a file unless told to, and never over what it is worked out from."""
    out, pdf = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    out.write_text("mine", encoding="utf-8")
    assert main(["sheet", str(house), "-o", str(out)]) == 2
    assert main(["sheet", str(house), "-o", str(pdf), "--pdf", str(out)]) == 2
    assert out.read_text(encoding="utf-8") == "mine"
    assert not pdf.exists()
    assert main(["sheet", str(house), "-o", str(house), "--force"]) == 2
    assert house.read_text(encoding="utf-8") == HOUSE
    capfd.readouterr()
    assert main(["sheet", str(house), "-o", str(out), "--force"]) == 0
    assert "House bar" in out.read_text(encoding="utf-8")


def test_a_pdf_is_written_by_either_name(house: Path, tmp_path: Path) -> None:
    """-o with a name that ends in .pdf is a PDF, and --pdf goes beside a page."""
    out, pdf, own = tmp_path / "a.html", tmp_path / "b.pdf", tmp_path / "c.PDF"
    assert main(["sheet", str(house), "-o", str(out), "--pdf", str(pdf), "--paper", "letter"]) == 0
    assert main(["sheet", str(house), "-o", str(own)]) == 0
    assert out.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert pdf.read_bytes()[:5] == own.read_bytes()[:5] == b"%PDF-"
    assert b"612" in pdf.read_bytes()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ([], "sheet needs a file to write"),
        (["-o", "-"], "is no name of a file"),
        (["-o", "a.html", "--paper", "a4"], "--paper is of the PDF alone"),
        (["-o", "a.html", "--pdf", "a.html"], "both name a.html"),
        (["-o", "a.pdf", "--pdf", "b.pdf"], "-o and --pdf both name a PDF"),
        (["-o", "a.html", "--made", "28.11.2026"], "--made takes a day"),
        (["-o", "a.html", "--made", "2026-02-30"], "--made takes a day"),
        (["-o", "a.html", "--made", "9999-12-31"], "--made takes a day"),
        (["-o", "a.html", "--number", "9" * 41], "--number takes at most 40 letters"),
        (["-o", "nowhere/a.html"], "there is no folder nowhere"),
    ],
)
def test_what_makes_no_sense_is_said(
    options: list[str], says: str, house: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Exit code 2 with what is wrong, and nothing is written."""
    monkeypatch.chdir(house.parent)
    assert main(["sheet", str(house), *options]) == 2
    assert says in " ".join(capfd.readouterr().err.split())
    assert [path.name for path in house.parent.iterdir()] == ["house.yaml"]


def test_without_the_extra_nothing_is_worked_out(
    house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """A PDF without the extra is refused before any work, with what to install and the way without it."""
    monkeypatch.setattr(page_pdf, "find_spec", lambda _: None)
    assert main(["sheet", str(house), "-o", str(tmp_path / "a.html"), "--pdf", str(tmp_path / "a.pdf")]) == 2
    assert "pip install 'barwright[pdf]'" in " ".join(capfd.readouterr().err.split())
    assert not (tmp_path / "a.html").exists()

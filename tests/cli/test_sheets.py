"""`sheet` from the command line: exit codes, streams, what is written and when nothing is."""

from __future__ import annotations

import json
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


def test_a_pdf_is_written_by_either_name(house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """-o with a name that ends in .pdf is a PDF, and --pdf goes beside a page."""
    out, pdf, own = tmp_path / "a.html", tmp_path / "b.pdf", tmp_path / "c.PDF"
    assert main(["sheet", str(house), "-o", str(out), "--pdf", str(pdf), "--paper", "letter"]) == 0
    capfd.readouterr()
    assert main(["sheet", str(house), "-o", str(own)]) == 0
    assert capfd.readouterr().out == f"House bar: open {own} and print it.\n"
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


DATED = """currency: EUR
fats:
  - fat: olive oil
    lots:
      - {number: OL-1, price: 6 / kg, best_before: 2040-03-01}
      - {number: OL-2, price: 7 / kg, best_before: 2041-03-01}
  - {fat: coconut oil, price: 3 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg}}
"""


@pytest.fixture
def dated(tmp_path: Path) -> Path:
    """A shelf of lots with days, and goals over it."""
    (tmp_path / "shelf.yaml").write_text(DATED, encoding="utf-8")
    path = tmp_path / "goals.yaml"
    path.write_text("title: Dated bar\nshelf: shelf.yaml\nshares: {olive oil: 70 %}\n", encoding="utf-8")
    return path


def test_the_day_it_is_made_is_the_day_that_lots_are_judged_by(
    dated: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A lot past its day on --made is left out with a warning, as `blend --on` has it, and is on no sheet."""
    out = tmp_path / "sheet.html"
    assert main(["sheet", str(dated), "-o", str(out), "--made", "2040-06-01"]) == 0
    assert "was best before 2040-03-01" in " ".join(capfd.readouterr().err.split())
    text = read(out.read_text(encoding="utf-8")).text
    assert "OL-2" in text
    assert "OL-1" not in text


def test_a_day_in_the_goal_file_is_the_day_of_the_sheet(dated: Path, tmp_path: Path) -> None:
    """`made:` fills in the day and the calendar; --made goes before it."""
    out = tmp_path / "sheet.html"
    dated.write_text(dated.read_text(encoding="utf-8") + "made: 2040-06-01\n", encoding="utf-8")
    assert main(["sheet", str(dated), "-o", str(out)]) == 0
    text = read(out.read_text(encoding="utf-8")).text
    assert "1 Jun 2040" in text
    assert "Jul 2040" in text
    assert "OL-1" not in text
    assert main(["sheet", str(dated), "-o", str(out), "--force", "--made", "2039-06-01"]) == 0
    text = read(out.read_text(encoding="utf-8")).text
    assert "1 Jun 2039" in text
    assert "OL-1" in text


@pytest.mark.parametrize("fat", ["olive oil (lot OL-1)", "coconut oil"])
def test_a_recipe_of_a_lot_past_its_day_is_warned_of(
    dated: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str], fat: str
) -> None:
    """`sheet --made`, `weigh --on` and `label --on` warn of it; on a day on which it is good, and of what has no day, nobody does."""
    recipe = dated.with_name("recipe.yaml")
    recipe.write_text(f"shelf: shelf.yaml\nfats: {{{fat}: 700 g}}\nsuperfat: 5 %\n", encoding="utf-8")
    asked = (["sheet", str(recipe), "-o", str(tmp_path / "s.html"), "--force", "--made"],)
    for words in (*asked, ["weigh", str(recipe), "--on"], ["label", str(recipe), "--on"]):
        for day, past in (("2040-06-01", "OL-1" in fat), ("2039-06-01", False)):
            assert main([*words, day]) == 0
            assert ("was best before 2040-03-01" in " ".join(capfd.readouterr().err.split())) == past


def test_a_plan_is_of_the_day_that_is_told(dated: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """`plan --on` leaves out what is past its day."""
    plan = tmp_path / "plan.yaml"
    plan.write_text("shelf: shelf.yaml\nbars: [{goals: goals.yaml, batch: {bars: 20}}]\n", encoding="utf-8")
    assert dated.is_file()
    assert main(["plan", str(plan), "--on", "2040-06-01"]) == 0
    assert "was best before 2040-03-01" in " ".join(capfd.readouterr().err.split())

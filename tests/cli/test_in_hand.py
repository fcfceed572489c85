"""`compare` and `resize` from the command line: exit codes, streams, widths, and nothing written for bad input."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from optimiser.cli.main import main
from optimiser.text.signs import columns

ROOT = Path(__file__).parents[2]
GOALS, SHELF = ROOT / "goals", ROOT / "inventory" / "kittiwake.yaml"
HOUSE = """\
title: House bar
fats: {olive oil: 700 g, coconut oil: 250 g, castor oil: 50 g}
alkali: {sodium hydroxide: 135 g}
water: 280 g
additives: {sodium lactate: 20 g, citric acid: 5 g}
"""
TALLOW = "title: Tallow\nfats: {beef tallow: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"
HEAVY = HOUSE.replace("135 g", "190 g")
SOME_GRAMS = re.compile(r"\d ?g\b")


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A recipe of a kilo of fats."""
    return kept(tmp_path, "house", HOUSE)


@pytest.fixture
def tallow(tmp_path: Path) -> Path:
    """A harder one."""
    return kept(tmp_path, "tallow", TALLOW)


def kept(folder: Path, name: str, text: str) -> Path:
    """A file with this text."""
    path = folder / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def data(capfd: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """The one document on stdout."""
    found: dict[str, Any] = json.loads(capfd.readouterr().out)
    return found


@pytest.mark.long
@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("units", ["g", "lb oz"])
def test_five_bars_fit_the_page(
    house: Path,
    tallow: Path,
    width: int,
    units: str,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    """Two recipes and three goal files, one of them without a blend: each table in columns, no line wider than the page."""
    monkeypatch.setenv("COLUMNS", str(width))
    names = ("budget", "cannot-be", "salt-water")
    files = [house, tallow, *(GOALS / f"{name}.yaml" for name in names)]
    assert main(["compare", *map(str, files), "--shelf", str(SHELF), "--units", units]) == 0
    answer = capfd.readouterr().out
    assert max(map(columns, answer.splitlines())) <= width
    assert re.search(r"^ +A +B +C +D +E +each$", answer, re.MULTILINE)
    assert re.search(r"^  wear life +\d+\.\d +\d+\.\d \+ .* ± 4$", answer, re.MULTILINE)
    assert re.search(r"Lasts longer, .* EUR / kg cheaper than A\.", " ".join(answer.split()))
    assert "D: no blend: cost at most 3.00 / kg and olive oil at least 50 %" in answer
    assert "! Sodium hydroxide burns and blinds" in answer
    assert "safety data sheet" in answer


def test_a_pipe_gets_plain_text(house: Path, tallow: Path) -> None:
    """Through a pipe without UTF-8: ASCII alone, no colour, exit 0."""
    command = [sys.executable, "-m", "optimiser"]
    environment = {"PATH": "/usr/bin:/bin", "PYTHONIOENCODING": "ascii", "LC_ALL": "C", "COLUMNS": "80"}
    for asked in (["compare", str(house), str(tallow)], ["resize", str(house), "--to", "5 lb fats", "--units", "oz"]):
        done = subprocess.run([*command, *asked], capture_output=True, cwd=ROOT, env=environment, check=False)
        assert done.returncode == 0, done.stderr
        assert done.stdout.isascii()
        assert b"\x1b" not in done.stdout


def test_compared_as_data(house: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Every bar in the shape of a blend, with what differs, what is dearer, and its tags."""
    assert main(["compare", str(house), str(GOALS / "budget.yaml"), "--shelf", str(SHELF), "--json"]) == 0
    found = data(capfd)
    assert (found["format"], found["status"], found["complete"]) == ("barwright/1", "compared", True)
    first, second = found["recipes"]
    for bar in (first, second):
        assert {"fats", "alkali", "water", "measures", "cost", "cautions"} <= set(bar["blend"])
        assert any("burns skin" in caution for caution in bar["blend"]["cautions"])
    assert (first["differs"], first["dearer_per_kg"], first["contains"]["palm"]) == ({}, None, [])
    assert second["differs"]["wear_life"]["felt"]
    assert second["dearer_per_kg"] < 0
    assert "palm oil" in second["contains"]["palm"]
    alkali, grams = (
        first["grams_per_kilo_of_fats"]["sodium_hydroxide_g"],
        first["blend"]["alkali"]["sodium_hydroxide_g"],
    )
    assert alkali == pytest.approx(grams, abs=0.01)


def test_a_lye_heavy_bar_is_told_at_the_top(house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Beside others too: which it is, before anything else; and resized it is still refused."""
    heavy = kept(tmp_path, "heavy", HEAVY)
    assert main(["compare", str(house), str(heavy)]) == 0
    assert capfd.readouterr().out.startswith("! B: LYE-HEAVY")
    assert main(["resize", str(heavy), "--to", "2 kg fats"]) == 1
    assert capfd.readouterr().out.startswith("! LYE-HEAVY")


@pytest.mark.parametrize(
    "files",
    [
        ("house",),
        ("house", "house"),
        ("house", "tallow", "a", "b", "c", "d"),
        ("house", "not-there"),
        ("house", "shelf"),
        ("house", "wrong"),
    ],
)
def test_what_cannot_be_compared_is_told(
    files: tuple[str, ...], house: Path, tallow: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """One file, one twice, six, none such, a shelf, a faulty one: exit 2, nothing on stdout, a way out on stderr."""
    kept(tmp_path, "wrong", "fats: {olive oil: 700 g, unicorn oil: 1 kg}\nsuperfat: 5 %\n")
    known = {"shelf": SHELF, "house": house, "tallow": tallow}
    assert main(["compare", *(str(known.get(name, tmp_path / f"{name}.yaml")) for name in files)]) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert re.search(r"\[(usage|no-such-file|wrong-file|unknown-fat)\]", err)
    assert "Traceback" not in err


@pytest.mark.parametrize(
    "to", ["24 bar", "0 kg", "-3 kg", "1e9 kg", "mould 30 x 9", "2.5 kg", "", "3 g fats", "24 bars of 110 parsec"]
)
def test_a_size_that_is_none_writes_nothing(
    to: str, house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Exit 2, a fault with a way out, and no file."""
    target = tmp_path / "new.yaml"
    assert main(["resize", str(house), f"--to={to}", "--save", str(target)]) == 2
    out, err = capfd.readouterr()
    assert (out, target.exists()) == ("", False)
    assert "help: " in err


@pytest.mark.parametrize("command", ["blend", "weigh", "resize", "compare"])
def test_units_that_are_none_are_refused(command: str, house: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Stones are no unit of a balance; as data the fault is a document."""
    goals = str(GOALS / "budget.yaml")
    asked = {
        "blend": [goals],
        "weigh": [str(house)],
        "resize": [str(house), "--to", "2 kg fats"],
        "compare": [str(house), goals],
    }
    assert main([command, *asked[command], "--units", "stone", "--json"]) == 2
    out, err = capfd.readouterr()
    assert json.loads(out)["faults"][0]["code"] == "wrong-unit"
    assert "g, kg, oz, lb, lb oz" in err


def test_resized_is_saved_once_and_never_over_its_source(
    house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Saved it can be weighed; a file that is there stays without --force, and the recipe itself always."""
    target = tmp_path / "larger.yaml"
    asked = ["resize", str(house), "--to", "24 bars of 110 g", "--save", str(target)]
    assert main(asked) == 0
    assert f"barwright weigh {target}" in capfd.readouterr().out
    assert main(asked) == 2
    assert main([*asked, "--force", "--json"]) == 0
    capfd.readouterr()
    assert main(["weigh", str(target), "--json"]) == 0
    assert data(capfd)["cured_g"] == pytest.approx(2640.0, abs=2.0)
    assert main(["resize", str(house), "--to", "2 kg fats", "--save", str(house), "--force"]) == 2
    assert house.read_text(encoding="utf-8") == HOUSE


def test_resized_as_data(house: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The keys of a recipe in hand in grams, whatever the units, and what it was brought to."""
    assert main(["resize", str(house), "--to", "mould 12 x 3.5 x 2.75 in", "--units", "lb oz", "--json"]) == 0
    found = data(capfd)
    assert (found["status"], found["to"]) == ("resized", "mould 12 x 3.5 x 2.75 in")
    assert found["batter_litres"] == pytest.approx(1.8927, abs=0.005)
    assert (
        0.02 < found["batter_litres_within"] / found["batter_litres"] < 0.022
    )  # lye and fats, and a little for additives
    assert found["times"] == pytest.approx(sum(line["grams"] for line in found["fats"]) / 1000.0, abs=0.005)
    assert found["before"]["fats_g"] == pytest.approx(1000.0, abs=4.3)  # a kilo on a balance of 0.1 oz


@pytest.mark.long
@pytest.mark.parametrize("units", ["oz", "lb", "lb oz"])
@pytest.mark.parametrize("command", ["blend", "weigh", "resize"])
def test_every_weight_on_the_page_is_in_the_units_asked(
    command: str, units: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """With steps and in full there is no gram left, and every temperature is told in both degrees."""
    house = kept(tmp_path, "milk", HOUSE + "liquids: {goat milk: 50 %}\ncure: 8 weeks\nwater_hardness: 250 mg/L\n")
    asked = {
        "blend": [str(GOALS / "salt-water.yaml")],
        "weigh": [str(house), "--shelf", str(SHELF)],
        "resize": [str(house), "--to", "5 lb fats", "--shelf", str(SHELF)],
    }
    assert main([command, *asked[command], "--units", units, "--steps", "--full"]) == 0
    answer = capfd.readouterr().out
    left = [line for line in answer.splitlines() if SOME_GRAMS.search(line)]
    assert [line for line in left if not re.search(r"mg KOH/g|g I2|g / kg|mg/L|: \d+ g", line)] == []
    assert len(re.findall(r"\d (?:oz|lb)\b", answer)) >= 4
    flat = " ".join(answer.split())
    assert "°F)" in flat
    assert re.findall(r"\d °C(?! \(-?\d+(?:-\d+)? °F\))", flat) == []


def test_a_shelf_says_its_units_and_the_option_comes_first(
    house: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """`units: oz` on the shelf; --units g beside it."""
    shelf = kept(tmp_path, "shelf", "units: ounces\n" + "fats:\n  - {fat: olive oil, price: 6 / kg}\n")
    assert main(["weigh", str(house), "--shelf", str(shelf)]) == 0
    assert re.search(r"sodium hydroxide +4\.76 ", capfd.readouterr().out)
    assert main(["weigh", str(house), "--shelf", str(shelf), "--units", "g"]) == 0
    assert re.search(r"sodium hydroxide +135 ", capfd.readouterr().out)
    wrong = kept(tmp_path, "wrong", "units: stone\n" + "fats:\n  - {fat: olive oil, price: 6 / kg}\n")
    assert main(["weigh", str(house), "--shelf", str(wrong)]) == 2
    assert "wrong.yaml:1:8" in capfd.readouterr().err

"""`label` from the command line: exit codes, streams, widths, data and units."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.text.signs import columns

ROOT = Path(__file__).parents[2]
RECIPE = """\
title: House bar
shelf: {shelf}
fats: {{olive oil: 700 g, coconut oil: 250 g, castor oil: 50 g}}
superfat: 5 %
additives: {{lavender scent: 30 g, citric acid: 10 g}}
"""


@pytest.fixture
def house(tmp_path: Path) -> str:
    """A scented recipe on the demonstration shelf."""
    path = tmp_path / "house.yaml"
    path.write_text(RECIPE.format(shelf=ROOT / "inventory" / "kittiwake.yaml"), encoding="utf-8")
    return str(path)


def test_a_recipe_as_words(house: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Both lists, the Union's words, the allergens and the laws; nothing on stderr, no line over 80 columns."""
    assert main(["label", house]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert max(map(columns, out.splitlines())) <= 80
    flat = " ".join(out.split())
    assert "Olea Europaea (Olive) Fruit Oil, Water, Cocos Nucifera (Coconut) Oil, Sodium Hydroxide" in flat
    assert "Sodium Olivate, Sodium Cocoate, Water, Glycerin" in flat
    assert "Sodium Citrate" in flat
    assert "Fragrance is Parfum" in flat
    assert "Linalool 0.7" in flat
    assert "21 CFR 701.20" in flat


@pytest.mark.parametrize("width", ["40", "60", "80", "120"])
def test_any_width_holds_it(
    house: str, width: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """No line is wider than the page, in full neither."""
    monkeypatch.setenv("COLUMNS", width)
    assert main(["label", house, "--full"]) == 0
    assert max(map(columns, capsys.readouterr().out.splitlines())) <= int(width)


def test_a_recipe_as_data(house: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Names in two lists, what each weighs, allergens with their shares, and the cautions that alkali calls for."""
    assert main(["label", house, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["format"] == "barwright/1"
    assert data["status"] == "labelled"
    assert data["as_charged"][0] == "Olea Europaea (Olive) Fruit Oil"
    assert data["as_saponified"][0] == "Sodium Olivate"
    assert data["in_eu"]["as_charged"][0] == "Olea Europaea Fruit Oil"
    for key in ("as_charged", "as_saponified"):
        assert [one["name"] for one in data["ingredients"][key]] == data[key]
        assert sum(one["share"] for one in data["ingredients"][key] if one["group"] != "allergen") == pytest.approx(
            100.0
        )
    named = {one["allergen"]: one["share"] for one in data["allergens"] if one["named"]}
    batch = data["net_weight"]["batch_g"]
    assert named["Linalool"] == pytest.approx(100.0 * 30.0 * 0.32 / batch, rel=1e-5)
    assert data["cautions"]
    assert any("1223/2009" in note["says"] for note in data["notes"])


def test_units_say_which_weight_comes_first(house: str, capsys: pytest.CaptureFixture[str]) -> None:
    """100 g are 3.5 oz avoirdupois (3.527, cut off so that no label says more than there is)."""
    assert main(["label", house]) == 0
    assert "100 g (3.5 oz)" in capsys.readouterr().out
    assert main(["label", house, "--units", "oz"]) == 0
    assert "3.5 oz (100 g)" in capsys.readouterr().out


def test_goals_without_a_blend_say_why(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1, and the answer of `blend`."""
    assert main(["label", str(ROOT / "goals" / "cannot-be.yaml"), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["status"] == "infeasible"


def test_a_bar_that_must_not_be_made_is_no_success(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A lye-heavy recipe: the caution stands at the very top, and the exit code is 1."""
    path = tmp_path / "heavy.yaml"
    path.write_text("fats: {olive oil: 1000 g}\nalkali: {sodium hydroxide: 190 g}\nwater: 300 g\n", encoding="utf-8")
    assert main(["label", str(path)]) == 1
    assert capsys.readouterr().out.startswith("! LYE-HEAVY")


def test_bad_files_are_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is neither a recipe nor goals, and what is not there."""
    assert main(["label", str(ROOT / "inventory" / "kittiwake.yaml")]) == 2
    assert main(["label", str(tmp_path / "none.yaml")]) == 2
    assert capsys.readouterr().out == ""


def test_what_others_wrote_reaches_no_terminal_as_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A name on the shelf that would act on a terminal is made visible."""
    (tmp_path / "shelf.yaml").write_text(
        'fats: [{fat: olive oil, price: 3 / kg, inci: "Evil\\e[31m Oil"}]\nalkalis: {sodium hydroxide: {price: 2 / kg}}\n',
        encoding="utf-8",
    )
    path = tmp_path / "bar.yaml"
    path.write_text("shelf: shelf.yaml\nfats: {olive oil: 1000 g}\nsuperfat: 5 %\n", encoding="utf-8")
    main(["label", str(path)])
    assert "\x1b" not in capsys.readouterr().out


def test_a_recipe_needs_no_solver(house: str) -> None:
    """The label of a recipe in hand is arithmetic: nothing that solves is loaded for it."""
    code = (
        "import sys\nfrom optimiser.cli.main import main\n"
        f"code = main(['label', {house!r}, '--json'])\n"
        "assert code == 0\nassert not {'highspy', 'pulp', 'rich'} & set(sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["status"] == "labelled"

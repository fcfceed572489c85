"""Wherever an alkali figure stands, the cautions stand beside it."""

from __future__ import annotations

import gc
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from benches import answer_as_data

from optimiser.cli.main import main
from optimiser.recipe.cautions import LYE

ROOT = Path(__file__).parents[2]
MET = sorted(path for path in (ROOT / "goals").glob("*.yaml") if not path.name.startswith("cannot"))


@pytest.fixture(autouse=True)
def collected() -> Iterator[None]:
    """The command switches the collector of garbage off for its short life; tests live longer."""
    yield
    gc.enable()


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """A recipe whose alkali the program works out."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 1 %\nwater: 280 g\n", encoding="utf-8")
    return path


def flat(text: str) -> str:
    """Words without line breaks, marks and indents."""
    return re.sub(r"\s+", " ", text.replace("! ", " "))


def test_the_cautions_say_what_matters() -> None:
    """Burns and eyes, goggles and gloves, alkali into water, the safety data sheet, local rules, licensed practice."""
    words = " ".join(LYE).lower()
    for needed in (
        *("burn", "blind", "goggles", "gloves", "alkali into water", "never water onto alkali"),
        *("safety data sheet", "rules where you live", "licensed practice"),
    ):
        assert needed in words


@pytest.mark.parametrize("path", MET, ids=lambda path: path.stem)
def test_every_blend_carries_the_cautions(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Text and data of an answer hold every standing caution in full."""
    assert main(["blend", str(path)]) == 0
    text = flat(capfd.readouterr().out)
    code, words = answer_as_data(path)
    assert code == 0
    for caution in LYE:
        assert caution in text
        assert caution in json.loads(words)["cautions"]


def test_a_weighed_recipe_carries_the_cautions(recipe: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """So do text and data of a recipe in hand, and one likely to be lye-heavy says so before anything else."""
    assert main(["weigh", str(recipe)]) == 0
    text = flat(capfd.readouterr().out)
    assert main(["weigh", str(recipe), "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    for caution in LYE:
        assert caution in text
        assert caution in data["cautions"]
    assert "LIKELY LYE-HEAVY" in data["cautions"][0]
    assert 0 < text.index("LIKELY LYE-HEAVY") < text.index("odium hydroxide")


def test_a_saved_recipe_carries_a_caution(tmp_path: Path) -> None:
    """The file that goes to the bench has the warning at its head."""
    path = tmp_path / "saved.yaml"
    assert main(["blend", str(ROOT / "goals" / "budget.yaml"), "--save", str(path)]) == 0
    head = "".join(line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("#"))
    for needed in ("burn", "blind", "goggles", "safety data sheet", "rules where you live"):
        assert needed in head.replace("# ", " ").replace("  ", " ")


@pytest.mark.parametrize("file", ["budget", "cannot-be"])
def test_a_programme_for_other_solvers_carries_a_caution(file: str, tmp_path: Path) -> None:
    """The LP file, whose columns are alkali too, warns before its first row, with a blend or none."""
    path = tmp_path / "bar.lp"
    assert main(["blend", str(ROOT / "goals" / f"{file}.yaml"), "--lp", str(path)]) in (0, 1)
    head = " ".join(path.read_text(encoding="utf-8").partition("Minimize")[0].replace("\\", "").split())
    for needed in ("burn", "blind", "no recipe", "safety data sheet", "rules where you live", "licensed practice"):
        assert needed in head


GRAMS = re.compile(r"hydroxide +\d|\d g (sodium|potassium) hydroxide|hydroxide(_pure)?_g\W+[1-9]")


@pytest.mark.parametrize(
    ("arguments", "file", "named"),
    [
        (["blend"], "budget", True),
        (["blend", "--json"], "budget", True),
        (["blend", "--steps"], "budget", True),
        (["weigh"], "", True),
        (["weigh", "--json"], "", True),
        (["weigh", "--steps"], "", True),
        (["feasible"], "budget", False),
        (["reach"], "budget", False),
        (["blend"], "cannot-be", False),
        (["feasible", "--json"], "cannot-be", False),
        (["reach", "--json"], "cannot-be", False),
    ],
)
def test_grams_of_hydroxide_never_stand_alone(
    arguments: list[str],
    file: str,
    named: bool,  # noqa: FBT001
    recipe: Path,
    capfd: pytest.CaptureFixture[str],
) -> None:
    """Whatever names grams of hydroxide has the cautions in full, and what has none names no grams."""
    path = ROOT / "goals" / f"{file}.yaml" if file else recipe
    main([arguments[0], str(path), *arguments[1:]])
    text = flat(capfd.readouterr().out)
    assert bool(GRAMS.search(text)) is named
    assert all(caution in text for caution in LYE) is named

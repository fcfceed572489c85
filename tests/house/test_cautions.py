"""Wherever an alkali figure stands, the cautions stand beside it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from benches import answer_as_data

from optimiser.cli.main import main
from optimiser.materials.lye import POTASSIUM, SODIUM
from optimiser.recipe.handling import BOTH, in_brief, in_full
from optimiser.report.terminal.page import Line, Paper, printed

ROOT = Path(__file__).parents[2]
MET = sorted(path for path in (ROOT / "goals").glob("*.yaml") if not path.name.startswith("cannot"))


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """A recipe whose alkali the program works out."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 0 %\nwater: 280 g\n", encoding="utf-8")
    return path


def flat(text: str) -> str:
    """Words without line breaks, marks and indents."""
    return re.sub(r"\s+", " ", text.replace("! ", " "))


@pytest.mark.parametrize("alkalis", [(SODIUM,), (POTASSIUM,), BOTH])
def test_the_cautions_say_what_matters(alkalis: tuple[str, ...]) -> None:
    """Burns and eyes, goggles and gloves, alkali into water, vessels, the safety data sheet, local rules, licensed practice."""
    words = " ".join(in_full(alkalis)).lower()
    for needed in (
        *("burn", "blind", "goggles", "gloves", "alkali into water", "never water onto alkali", "hydrogen"),
        *("stainless steel", "polypropylene", "aluminium", "zinc", "tin", "glass"),
        *("safety data sheet", "rules where you live", "licensed practice"),
    ):
        assert needed in words
    for needed in ("burn", "blind", "goggles", "gloves", "alkali into water, never the reverse", "first aid"):
        assert needed in " ".join(in_brief(alkalis)).lower()
    for needed in (
        "supplier's safety data sheet",
        "local rules",
        "licensed practice",
        "--steps",
    ):
        assert needed in in_brief(alkalis)[1]


def test_the_cautions_give_first_aid() -> None:
    """By the precautionary statements of Regulation (EC) No 1272/2008, annex IV, that go with H314.

    P303+P361+P353 clothing off and rinse; P305+P351+P338 rinse eyes for minutes, contact lenses out; P301+P330+P331 rinse
    the mouth, no vomiting; P310 call a poison centre or a doctor. Vinegar and 15 minutes: common practice, no source.
    """
    skin, eyes, swallowed = (text for text in in_full() if text.startswith("First aid"))
    for text, told in (
        (skin, ("P303+P361+P353", "clothing", "rinse", "plenty of running water", "15 minutes", "No vinegar")),
        (
            eyes,
            ("P305+P351+P338", "P310", "rinse", "15 minutes", "contact lenses", "medical help at once", "No vinegar"),
        ),
        (swallowed, ("P301+P330+P331", "P310", "rinse the mouth", "do not make anyone vomit", "poison centre")),
    ):
        assert [words for words in told if words not in text] == []


def test_each_alkali_is_told_for_what_it_does() -> None:
    """H290 and H314 for both, H302 (harmful if swallowed) for potassium hydroxide (CLP, annex VI); none that is not in use."""
    for told in (in_full, in_brief):
        sodium, potassium, both = (" ".join(told(alkalis)) for alkalis in ((SODIUM,), (POTASSIUM,), BOTH))
        assert all("H314" in words for words in (sodium, potassium, both))
        assert "H302" not in sodium
        assert "H302" in potassium
        assert "H302" in both
        assert "otassium" not in sodium
        assert "odium" not in potassium
    assert all("H290" in " ".join(in_full(alkalis)) for alkalis in ((SODIUM,), (POTASSIUM,), BOTH))


@pytest.mark.parametrize("alkalis", [(SODIUM,), (POTASSIUM,), BOTH])
def test_two_cautions_of_two_lines(alkalis: tuple[str, ...]) -> None:
    """The standing cautions are two, of one line each at 100 columns for sodium hydroxide, none longer than two at 80."""
    for caution in in_brief(alkalis):
        assert printed(Paper(80), [Line(f"! {caution}", hang=2)]).rstrip("\n").count("\n") <= 1
        wide = printed(Paper(100), [Line(f"! {caution}", hang=2)]).rstrip("\n").count("\n")
        assert wide == 0 or alkalis != (SODIUM,)


def in_use(data: dict[str, Any]) -> tuple[str, ...]:
    """The alkalis of an answer as data."""
    keys = {SODIUM: "sodium_hydroxide_g", POTASSIUM: "potassium_hydroxide_g"}
    return tuple(name for name, key in keys.items() if data["alkali"][key] > 0)


@pytest.mark.long
@pytest.mark.parametrize("path", MET, ids=lambda path: path.stem)
def test_every_blend_carries_the_cautions(path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Text holds the standing cautions of its alkalis in two lines, and with the steps in full, as data does always."""
    code, words = answer_as_data(path)
    data = json.loads(words)
    assert code == main(["blend", str(path)]) == 0
    text = flat(capfd.readouterr().out)
    assert all(caution in text for caution in in_brief(in_use(data)))
    assert main(["blend", str(path), "--steps"]) == 0
    text = flat(capfd.readouterr().out)
    for caution in in_full(in_use(data)):
        assert caution in text
        assert caution in data["cautions"]


def test_a_weighed_recipe_carries_the_cautions(recipe: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """So do text and data of a recipe in hand, and one likely to be lye-heavy says so before anything else."""
    assert main(["weigh", str(recipe)]) == 0
    text = flat(capfd.readouterr().out)
    assert main(["weigh", str(recipe), "--json"]) == 0
    data = json.loads(capfd.readouterr().out)
    assert all(caution in text for caution in in_brief((SODIUM,)))
    assert all(caution in data["cautions"] for caution in in_full((SODIUM,)))
    assert "LIKELY LYE-HEAVY" in data["cautions"][0]
    assert 0 < text.index("LIKELY LYE-HEAVY") < text.index("odium hydroxide")


def test_what_must_not_be_made_has_first_aid_too(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A lye-heavy recipe has no steps, yet --steps tells how alkali is handled."""
    path = tmp_path / "heavy.yaml"
    path.write_text("fats: {olive oil: 1 kg}\nalkali: {KOH: 250 g}\nwater: 400 g\n", encoding="utf-8")
    main(["weigh", str(path), "--steps"])
    text = flat(capfd.readouterr().out)
    assert "Do not make this recipe" in text
    assert all(caution in text for caution in in_full((POTASSIUM,)))


def test_first_aid_can_be_asked_for(capfd: pytest.CaptureFixture[str]) -> None:
    """`barwright explain lye`, by whatever word, tells all of it, as text and as data."""
    for asked in (["lye"], ["Lye"], ["first", "aid"], ["alkali"], ["potassium-hydroxide"]):
        assert main(["explain", *asked]) == 0
        text = flat(capfd.readouterr().out)
        assert all(caution in text for caution in in_full())
    assert main(["explain", "lye", "--json"]) == 0
    assert json.loads(capfd.readouterr().out)["cautions"] == list(in_full())
    assert main(["explain"]) == 0
    assert "barwright explain lye" in flat(capfd.readouterr().out)


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
    """Whatever names grams of hydroxide has the cautions, in full with the steps and as data; what has none names no grams."""
    path = ROOT / "goals" / f"{file}.yaml" if file else recipe
    main([arguments[0], str(path), *arguments[1:]])
    text = flat(capfd.readouterr().out)
    assert bool(GRAMS.search(text)) is named
    full = "--json" in arguments or "--steps" in arguments
    assert all(caution in text for caution in (in_full if full else in_brief)((SODIUM,))) is named

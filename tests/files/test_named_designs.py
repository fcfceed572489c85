"""Recipes name their design, whom they are for and the water; what a blend saves says so, and the steps follow it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.files.designs import own_designs
from optimiser.files.question import read_question
from optimiser.files.recipe_file import read_recipe
from optimiser.files.schema import schema
from optimiser.problem.designs import Step
from optimiser.report.json.documents import weighed
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.text.diagnostics import BadInput, Diagnostic

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
RECIPE = """\
title: in hand
design: {design}
fats: {{olive oil: 600 g, coconut oil: 250 g, shea butter: 150 g}}
superfat: 5 %
{more}
"""
OWN = """\
designs:
  - name: our veil
    about: Two colours, one poured through the other.
    pour_to: thin
    parts: yes
    knock: no
    touch_top: no
    steps:
      - ready: Lay out two jugs.
      - Split the batter and colour one half.
      - {apart: Keep a spoonful back., after: Cut it lying on its side.}
      - top: Draw a hair through the top.
    goals: {hardness: {at_least: 40, why: It must not dent.}}
"""


def written(folder: Path, text: str, name: str = "recipe.yaml") -> Path:
    """A file in a folder."""
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def recipe(folder: Path, design: str, more: str = "") -> Path:
    """A recipe that names a design."""
    return written(folder, RECIPE.format(design=design, more=more))


def faults(path: Path) -> tuple[Diagnostic, ...]:
    """What is wrong with a recipe."""
    with pytest.raises(BadInput) as caught:
        read_recipe(path)
    return caught.value.diagnostics


# -- in a recipe ---------------------------------------------------------------------------------------------------


def test_a_recipe_has_the_steps_of_its_design(tmp_path: Path) -> None:
    """The steps of a recipe in hand are those of the designs that it names, by any of their names."""
    found = weigh(recipe(tmp_path, "[Hanger Swirl, stamped]", "for: mature skin"))
    text = " ".join(found.steps)
    assert "For the fine swirl: split the batter into the jugs" in text
    assert "For the stamped bar: cut the loaf into bars" in text
    assert "Do not knock the mould" in text
    assert [design.name for design in read_recipe(tmp_path / "recipe.yaml").techniques] == [
        *("fine swirl", "stamped bar", "mature skin"),
    ]


@pytest.mark.parametrize(
    ("more", "batter", "gel", "given"),
    [
        ("", 38.0, True, set()),
        ("gel: no", 38.0, False, {"gel"}),
        ("batter_temperature: 33 degC", 33.0, True, {"batter_temperature"}),
    ],
)
def test_a_design_chooses_where_the_recipe_does_not(
    tmp_path: Path,
    more: str,
    batter: float,
    gel: bool,  # noqa: FBT001
    given: set[str],
) -> None:
    """Warmth and gel are those of the recipe, else those of its design, as in a goal file."""
    sheet = read_recipe(recipe(tmp_path, "chequer", more))
    assert (sheet.batter_temperature, sheet.gel, set(sheet.given)) == (batter, gel, given)


def test_an_unknown_design_is_told_with_its_place_and_near_names(tmp_path: Path) -> None:
    """A slip in the name is a fault of the recipe, with the place and the nearest name."""
    (found,) = faults(recipe(tmp_path, "fine swril"))
    assert (found.code, found.span.line if found.span else 0, found.span.column if found.span else 0) == (
        *("unknown-design", 2, 9),
    )
    assert "'fine swirl'" in found.help
    (whom,) = faults(recipe(tmp_path, "fine swirl", "for: mature skinn"))
    assert (whom.code, whom.span.line if whom.span else 0) == ("unknown-user", 5)


def test_a_design_of_the_makers_own_is_found_from_the_recipe(tmp_path: Path) -> None:
    """A designs folder beside or above the recipe is read, and its steps are told."""
    written(tmp_path / "designs", OWN, "ours.yaml")
    found = weigh(recipe(tmp_path / "recipes", "our veil"))
    order = [
        next(place for place, step in enumerate(found.steps) if words in step)
        for words in (
            "two jugs",
            "Keep a spoonful back",
            "colour one half",
            "Draw a hair",
            "Unmould",
            "lying on its side",
        )
    ]
    assert order == sorted(order)


def test_water_is_told_of_a_recipe_in_hand(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """`water_hardness` takes the units of goal files; the answer and its data tell what the water takes, and at most what helps."""
    path = recipe(tmp_path, "single pour", "water_hardness: 14 dH")
    found = weigh(path)
    assert found.water_hardness is not None
    assert found.water_hardness.hardness == pytest.approx(14 * 17.848, rel=1e-3)  # 1 dH: 10 mg CaO in a litre
    assert weighed(found)["hard_water"]["class"] == "very hard"
    assert main(["weigh", str(path)]) == 0
    told = " ".join(capfd.readouterr().out.split())
    assert "Ash risk" in told
    assert "sodium citrate would spare at most" in told
    (fault,) = faults(recipe(tmp_path, "single pour", "water_hardness: 14"))
    assert (fault.code, fault.span.line if fault.span else 0) == ("no-unit", 5)


def test_a_recipe_in_hand_has_help_against_ash(tmp_path: Path) -> None:
    """Ash help keeps to the design and to what the recipe fixes, and the data have all of it, the best first."""
    path = recipe(tmp_path, "fine swirl", "lye_concentration: 28 %\nbatter_temperature: 31 degC")
    data = weighed(weigh(path))["ash"]
    free = [tip for tip in data["advice"] if tip["held_by"] is None]
    assert [tip["points_less"] for tip in free] == sorted((tip["points_less"] for tip in free), reverse=True)
    assert {"a lye of 29 %", "a lye of 30 %", "a lye of 31 %"} & {tip["do"] for tip in free}
    held = {tip["do"]: tip["held_by"] for tip in data["advice"] if tip["held_by"]}
    assert held["cover it and let it gel"] == "fine swirl is kept from gel"
    assert "lye concentration at most" in held["a lye of 35 %"] or "trace" in held["a lye of 35 %"]
    assert data["afterwards"] == [
        *("steam it", "rub it with a damp cloth or a nylon stocking", "plane it off", "wash it off with gloves on"),
        "or leave it to wash off in use",
    ]
    paste = recipe(tmp_path, "single pour", "potassium_share: 100 %")
    assert weighed(weigh(paste))["ash"] is None


def test_no_time_to_unmould_is_told_of_what_is_not_unmoulded_so(tmp_path: Path) -> None:
    """A paste has no times of a bar's, and a salt bar is cut within hours, as the steps of its design say."""
    paste = weigh(recipe(tmp_path, "single pour", "potassium_share: 100 %"))
    assert paste.times.told() == ()
    assert "jar" in " ".join(paste.steps)
    assert "Unmould" not in " ".join(paste.steps)
    salted = weigh(recipe(tmp_path, "salt bar", "additives: {salt: 20 %}"))
    assert salted.times.unmould is not None
    assert salted.times.unmould.said() in " ".join(salted.steps)
    assert "within hours" in " ".join(salted.steps)


@pytest.mark.parametrize(
    ("design", "salt", "asked"), [("salt bar", 70, False), ("salt bar", 170, True), ("single pour", 70, True)]
)
def test_a_salt_bar_is_not_asked_whether_its_salt_is_meant(tmp_path: Path, design: str, salt: int, asked: bool) -> None:  # noqa: FBT001
    """Much salt is what a salt bar is made of, up to as much as there is of fats; elsewhere it is asked after."""
    more = f"additives: {{salt: {salt} %}}"
    assert ["above-usual"] * asked == [item.code for item in weigh(recipe(tmp_path, design, more)).warnings]


@pytest.mark.parametrize(("design", "asked"), [("salt bar", 0), ("single pour", 1)])
def test_nor_is_it_in_a_goal_file(tmp_path: Path, design: str, asked: int) -> None:
    """The same of a goal file that begins with the design."""
    odd = read_question(written(tmp_path, f"design: {design}\nadditives: {{salt: 70 %}}\n", "bar.yaml"), SHELF).warnings
    assert [item.code for item in odd].count("above-usual") == asked  # type: ignore[arg-type]


def test_the_schema_of_recipes_has_the_names() -> None:
    """Editors complete designs, people and the water in a recipe."""
    told = schema("recipe")["properties"]
    assert "salt bar" in json.dumps(told["design"])
    assert "mature skin" in json.dumps(told["for"])
    assert "water_hardness" in told


# -- saved ---------------------------------------------------------------------------------------------------------


def blend(path: Path) -> Blend:
    """The answer to a goal file."""
    found = answer(path, SHELF)
    assert isinstance(found, Blend)
    return found


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("design: fine swirl\nfor: everyday\n", ["design: fine swirl", "for: everyday"]),
        ("design: stamped\nbatch: {gel: no}\n", ["design: stamped bar", "gel: no"]),
        (
            "design: [single pour, peaked top]\n",
            ["design: [single pour, peaked top]"],
        ),
        (
            "water_hardness: 250 mg/L\nbatch: {batter_temperature: 40 degC}\n",
            ["water_hardness: 250 mg/L", "batter_temperature: 40 degC"],
        ),
        ("design: fine swirl\nbatch: {batter_temperature: 35 degC}\n", ["batter_temperature: 35 degC"]),
    ],
)
def test_what_is_saved_makes_the_same_steps(tmp_path: Path, text: str, lines: list[str]) -> None:
    """A saved recipe names the design and all that the steps and the water need, and reads back to the same steps."""
    found = blend(written(tmp_path, text, "bar.yaml"))
    saved = recipe_yaml(found, tmp_path / "saved.yaml")
    for line in lines:
        assert [one for one in saved.splitlines() if one in (line, line.replace("gel: no", 'gel: "no"'))], line
    path = written(tmp_path, saved, "saved.yaml")
    again = weigh(path, shelf_file=SHELF)
    assert again.recipe.gel == found.recipe.gel
    assert again.recipe.batter_temperature == found.recipe.batter_temperature
    assert same(found.steps) == same(again.steps)


def same(steps: tuple[str, ...]) -> list[str]:
    """The steps without what only the blend tells: times by its exact figures, and the step of its balance with the noughts that go with it."""
    kept = [step.replace(", each to 0.1 g", "").replace(".0 g", " g") for step in steps]
    return [step for step in kept if "or so" not in step and "by the clock" not in step]


def test_a_design_that_is_not_found_from_the_file_is_left_to_a_remark(tmp_path: Path) -> None:
    """A recipe saved where the maker's own designs are not found says so and can be weighed."""
    home = tmp_path / "home"
    written(home, "design: our veil\nfor: everyday\n", "bar.yaml")
    written(home / "designs", OWN, "ours.yaml")
    found = blend(home / "bar.yaml")
    assert "design: our veil" in recipe_yaml(found, home / "saved.yaml").splitlines()
    away = tmp_path / "away"
    saved = recipe_yaml(found, written(away, "", "saved.yaml"))
    assert "# design: our veil is of your own, and its folder is not found from here." in saved.splitlines()
    assert "for: everyday" in saved.splitlines()
    assert weigh(written(away, saved, "saved.yaml"), shelf_file=SHELF).steps


# -- steps in a file of designs ------------------------------------------------------------------------------------


def test_steps_are_read_in_order_with_their_stages(tmp_path: Path) -> None:
    """A sentence fills the mould; a stage before it says when else; "thin" is taken for light."""
    written(tmp_path / "designs", OWN, "ours.yaml")
    (one,) = own_designs(tmp_path)
    assert one.steps == (
        Step("ready", "Lay out two jugs."),
        Step("pour", "Split the batter and colour one half."),
        Step("apart", "Keep a spoonful back."),
        Step("after", "Cut it lying on its side."),
        Step("top", "Draw a hair through the top."),
    )
    assert (one.pour_to, one.parts, one.knock, one.touch_top) == ("light", True, False, False)


@pytest.mark.parametrize(
    ("before", "after", "code", "place"),
    [
        ("top: Draw", "topp: Draw", "unknown-key", (12, 9)),
        ("top: Draw a hair through the top.", "top: [a, b]", "wrong-shape", (12, 14)),
        ("Split the batter and colour one half.", '""', "no-value", (10, 9)),
        ("knock: no", "knock: softly", "not-a-switch", (6, 12)),
        ("pour_to: thin", "pour_to: thinnish", "unknown-word", (4, 14)),
        ("Lay out two jugs.", "x" * 500, "too-long", (9, 16)),
    ],
)
def test_faults_in_steps_are_told_with_their_place(
    tmp_path: Path, before: str, after: str, code: str, place: tuple[int, int]
) -> None:
    """A slip in the steps of a design is told with file, line and column."""
    assert before in OWN
    written(tmp_path / "designs", OWN.replace(before, after), "ours.yaml")
    with pytest.raises(BadInput) as caught:
        own_designs(tmp_path)
    assert [(item.code, item.span.line, item.span.column) for item in caught.value.diagnostics if item.span] == [
        (code, *place)
    ]


def test_a_book_of_steps_is_refused(tmp_path: Path) -> None:
    """More steps than a page can hold are a fault."""
    many = OWN.replace("      - ready: Lay out two jugs.\n", "      - Stir it again.\n" * 30)
    written(tmp_path / "designs", many, "ours.yaml")
    with pytest.raises(BadInput) as caught:
        own_designs(tmp_path)
    assert [item.code for item in caught.value.diagnostics] == ["too-long"]

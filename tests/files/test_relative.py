"""Limits told from a recipe in hand: how they are written, what they come to, and what is said where they cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.asked import read_question
from optimiser.measures.cure import cured_water_at
from optimiser.measures.sides import Side
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
RECIPE = """title: House bar
fats: {olive oil: 450 g, coconut oil: 250 g, palm oil: 250 g, castor oil: 50 g}
superfat: 5 %
lye_concentration: 30 %
"""


def asked(folder: Path, text: str, recipe: str = RECIPE, near: Path | None = None) -> GoalSheet:
    """The goals of a file that is near to a recipe beside it."""
    (folder / "house.yaml").write_text(recipe, encoding="utf-8")
    (folder / "bar.yaml").write_text(text, encoding="utf-8")
    return read_question(folder / "bar.yaml", SHELF, near).goals


def faults(folder: Path, text: str, recipe: str = RECIPE) -> tuple[Diagnostic, ...]:
    """What is said of a file that cannot be taken."""
    with pytest.raises(BadInput) as bad:
        asked(folder, text, recipe)
    return bad.value.diagnostics


def only(sheet: GoalSheet, key: str) -> Limit:
    """The one limit on a figure."""
    (found,) = [limit for limit in (*sheet.goals, *sheet.shares, *sheet.additives) if limit.key == key]
    return found


def own(sheet: GoalSheet, key: str) -> float:
    """What the recipe has of it."""
    assert sheet.near is not None
    return sheet.near.values[key]


@pytest.mark.parametrize(
    ("key", "written", "side", "by"),
    [
        ("hardness", "+3", Side.AT_LEAST, 3.0),
        ("hardness", "'+3'", Side.AT_LEAST, 3.0),
        ("hardness", '"+3"', Side.AT_LEAST, 3.0),
        ("hardness", "+3 points", Side.AT_LEAST, 3.0),
        ("hardness", "-2", Side.AT_LEAST, -2.0),
        ("hardness", "\u22122", Side.AT_LEAST, -2.0),
        ("hardness", "{at_least: +3}", Side.AT_LEAST, 3.0),
        ("hardness", "{at_most: +3}", Side.AT_MOST, 3.0),
        ("hardness", "{at_most: -1.5}", Side.AT_MOST, -1.5),
        ("harshness", "-2", Side.AT_MOST, -2.0),
        ("harshness", "+1", Side.AT_MOST, 1.0),
        ("trace_speed", "-4", Side.AT_MOST, -4.0),
        ("trace_speed", "+4", Side.AT_LEAST, 4.0),
        ("iodine_value", "-5", Side.AT_MOST, -5.0),
        ("superfat", "+1 %", Side.AT_LEAST, 1.0),
        ("lye_concentration", "+2 %", Side.AT_LEAST, 2.0),
    ],
)
def test_a_sign_tells_a_difference(tmp_path: Path, key: str, written: str, side: Side, by: float) -> None:
    """Quoted or not, an index with a sign is told from the recipe and never taken for the figure itself."""
    sheet = asked(tmp_path, f"near: house.yaml\ngoals: {{{key}: {written}}}\n")
    found = only(sheet, key)
    assert found.side == side
    assert found.value == pytest.approx(own(sheet, key) + by)
    assert "in the recipe" in str(found.said)


def test_the_words_tell_both_figures(tmp_path: Path) -> None:
    """A limit says what it comes to, what the recipe has, and the difference that was written."""
    sheet = asked(tmp_path, "near: house.yaml\ngoals: {hardness: +3}\n")
    hard = own(sheet, "hardness")
    assert str(only(sheet, "hardness").said) == f"hardness at least {hard + 3:.1f} ({hard:.1f} in the recipe, +3)"


@pytest.mark.parametrize(
    ("written", "by", "per"),
    [
        ("no dearer", 0.0, "kg"),
        ('"+0.20 / kg"', 0.2, "kg"),
        ("-0.10 / kg", -0.1, "kg"),
        ("{at_most: +0.02 / bar}", 0.02, "bar"),
        ("+0.20 EUR / lb", 0.2, "lb"),
        ("as it is", 0.0, "kg"),
    ],
)
def test_costs_are_told_from_the_recipe(tmp_path: Path, written: str, by: float, per: str) -> None:
    """What a bar may cost beside the recipe: by the kilo, the pound or the bar, and never more than so much."""
    sheet = asked(tmp_path, f"near: house.yaml\nbatch: {{bars: 10, cured_weight: 110 g}}\ngoals: {{cost: {written}}}\n")
    assert sheet.near is not None
    assert sheet.near.cost_per_kg is not None
    each = {"kg": 1.0, "lb": 0.45359237, "bar": 0.11}[per]
    sides = [limit for limit in sheet.goals if limit.key == "cost" and limit.side == Side.AT_MOST]
    assert len(sides) == 1
    assert sides[0].per == per
    assert sides[0].value == pytest.approx(each * sheet.near.cost_per_kg + by)


def test_as_it_is_means_within_what_the_measure_is_sure_to(tmp_path: Path) -> None:
    """Of a measure both sides at its own plus or minus; superfat, lye and shares exactly."""
    sheet = asked(
        tmp_path,
        "near: house.yaml\ngoals: {hardness: as it is, superfat: as it is, lye concentration: as it is}\n"
        "shares: {castor oil: as it is, hard oils: as it is}\n",
    )
    low, high = [limit for limit in sheet.goals if limit.key == "hardness"]
    assert (low.side, high.side) == (Side.AT_LEAST, Side.AT_MOST)
    assert (low.value, high.value) == pytest.approx((own(sheet, "hardness") - 7.0, own(sheet, "hardness") + 7.0))
    assert (only(sheet, "superfat").side, only(sheet, "superfat").value) == (Side.EXACTLY, 5.0)
    assert (only(sheet, "lye_concentration").side, only(sheet, "lye_concentration").value) == (Side.EXACTLY, 30.0)
    assert only(sheet, "castor oil").value == pytest.approx(5.0)
    assert only(sheet, "hard oils").value == pytest.approx(50.0)


def test_both_ends_may_be_told_from_the_recipe(tmp_path: Path) -> None:
    """Between takes two differences, or one and a figure; at_least and at_most do so together."""
    sheet = asked(
        tmp_path, "near: house.yaml\ngoals: {hardness: {between: [-2, +3]}, mildness: {at_least: +1, at_most: 90}}\n"
    )
    low, high = [limit for limit in sheet.goals if limit.key == "hardness"]
    assert high.value - low.value == pytest.approx(5.0)
    low, high = [limit for limit in sheet.goals if limit.key == "mildness"]
    assert (low.value, high.value) == pytest.approx((own(sheet, "mildness") + 1.0, 90.0))


def test_preferences_may_be_told_from_the_recipe(tmp_path: Path) -> None:
    """A wish under prefer is told from the recipe as a goal is."""
    sheet = asked(tmp_path, "near: house.yaml\nprefer:\n  - mildness: +2\n")
    ((wish,),) = sheet.prefer
    assert wish.value == pytest.approx(own(sheet, "mildness") + 2.0)


@pytest.mark.parametrize(
    "text",
    [
        "goals: {hardness: +3}",
        "goals: {hardness: -3}",
        "goals: {mildness: as it is}",
        "goals: {cost: no dearer}",
        "goals: {cost: +0.20 / kg}",
        "shares: {olive oil: +5 %}",
        "prefer:\n  - hardness: {at_least: +2}",
        "near: house.yaml\npractice: {hardness: +3}",
    ],
)
def test_without_a_recipe_nothing_is_told_from_it(tmp_path: Path, text: str) -> None:
    """Where there is no recipe to tell it from, that is said at the very place, and what to write."""
    (found,) = faults(tmp_path, f"{text}\n")
    assert found.code == Code.NO_RECIPE
    assert found.span is not None
    assert "near" in found.help


def test_a_measure_may_be_below_nothing_without_a_recipe(tmp_path: Path) -> None:
    """Some measures go below 0: under a side a minus is the figure's own; alone nobody asks for a measure just so."""
    for figure in ("-2.5", "'-2.5'"):
        limit = only(asked(tmp_path, f"goals: {{wear_life: {{at_least: {figure}}}}}\n"), "wear_life")
        assert (limit.value, limit.relative) == (-2.5, "")
    (found,) = faults(tmp_path, "goals: {wear_life: -2.5}\n")
    assert found.code == Code.NO_RECIPE


def test_a_lye_heavy_figure_is_told_as_such_without_a_recipe(tmp_path: Path) -> None:
    """A superfat below nothing is no difference where there is no recipe."""
    (found,) = faults(tmp_path, "goals: {superfat: -2 %}\n")
    assert found.code == Code.LYE_HEAVY


def test_a_superfat_that_would_fall_below_nothing_is_refused(tmp_path: Path) -> None:
    """Eight per cent less than five is free alkali, however it is told."""
    (found,) = faults(tmp_path, "near: house.yaml\ngoals: {superfat: {at_least: -8 %}}\n")
    assert found.code == Code.LYE_HEAVY
    assert found.span is not None
    assert found.span.line == 2


def test_a_figure_that_may_lie_below_nothing_keeps_its_sign(tmp_path: Path) -> None:
    """The worst-case superfat may lie below nothing, so a sign there is its own, with a recipe or without."""
    for first in ("", "near: house.yaml\n"):
        sheet = asked(tmp_path, f"{first}goals: {{worst_case_superfat: {{at_least: -2 %}}}}\n")
        assert only(sheet, "worst_case_superfat").value == -2.0


def test_ends_that_cross_are_refused(tmp_path: Path) -> None:
    """A difference above a figure that stands as the other end leaves nothing between."""
    (found,) = faults(tmp_path, "near: house.yaml\ngoals: {hardness: {at_least: +30, at_most: 62}}\n")
    assert found.code == Code.CONTRADICTION
    (found,) = faults(tmp_path, "near: house.yaml\ngoals: {hardness: {between: [+3, -2]}}\n")
    assert found.code == Code.CONTRADICTION


def test_a_cost_that_is_not_known_is_told(tmp_path: Path) -> None:
    """A fat without a price leaves nothing to be dearer than."""
    recipe = RECIPE.replace("castor oil", "emu oil")
    (found,) = faults(tmp_path, "near: house.yaml\ngoals: {cost: no dearer}\n", recipe)
    assert found.code == Code.NO_RECIPE
    assert "price" in found.message


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("near: nowhere.yaml", Code.NO_SUCH_FILE),
        ("near: [house.yaml]", Code.WRONG_SHAPE),
        ("near: bar.yaml\ngoals: {hardness: 60}", Code.WRONG_FILE),
        ("near:", Code.NO_VALUE),
    ],
)
def test_a_recipe_that_cannot_be_taken_is_told_at_its_line(tmp_path: Path, text: str, code: Code) -> None:
    """No such file, no path, or no recipe: told where the goal file names it."""
    found = faults(tmp_path, f"title: A bar\n{text}\n")[0]
    assert found.code == code
    places = [found.span, *(span for _, span in found.notes)]
    assert any(span is not None and span.file.endswith("bar.yaml") and span.line == 2 for span in places)


@pytest.mark.parametrize(
    ("fats", "code"),
    [("{olive oil: 700 g, oilve oil: 300 g}", Code.UNKNOWN_FAT), ("{olive oil: 700}", Code.NO_UNIT)],
)
def test_faults_of_the_recipe_are_told_with_the_line_that_names_it(tmp_path: Path, fats: str, code: Code) -> None:
    """An unknown fat or a missing mass is told in the recipe, and that the goal file names it."""
    found = faults(tmp_path, "near: house.yaml\n", f"fats: {fats}\nsuperfat: 5 %\n")
    fault = next(item for item in found if item.code == code)
    assert fault.span is not None
    assert fault.span.file.endswith("house.yaml")
    assert any(span is not None and span.file.endswith("bar.yaml") for _, span in fault.notes)


def test_the_recipe_typed_goes_before_the_one_named(tmp_path: Path) -> None:
    """--near gives the recipe, whatever the file names."""
    other = tmp_path / "other.yaml"
    other.write_text("fats: {lard: 800 g, coconut oil: 200 g}\nsuperfat: 6 %\n", encoding="utf-8")
    sheet = asked(tmp_path, "near: house.yaml\n", near=other)
    assert sheet.near is not None
    assert set(sheet.near.shares) == {"lard", "coconut oil"}


def test_a_cure_told_from_the_recipe_is_longer_than_the_recipes(tmp_path: Path) -> None:
    """Two weeks more than a cure of eight weeks is a cure of ten, with the water that ten weeks leave."""
    sheet = asked(tmp_path, "near: house.yaml\ngoals: {cure: +2 weeks}\n", f"{RECIPE}cure: 8 weeks\n")
    assert sheet.batch.cure_weeks == pytest.approx(10.0)
    assert sheet.batch.cured_water == pytest.approx(cured_water_at(10.0))
    (limit,) = sheet.cure
    assert str(limit.said) == "cure at least 10 weeks (8 weeks in the recipe, +2 weeks)"
    assert asked(tmp_path, "near: house.yaml\ngoals: {cure: +2 weeks}\n").batch.cure_weeks == pytest.approx(8.0)
    shorter = asked(tmp_path, "near: house.yaml\ngoals: {cure: -1 weeks}\n", f"{RECIPE}cure: 8 weeks\n")
    assert shorter.batch.cure_weeks == pytest.approx(7.0)


@pytest.mark.parametrize(
    ("written", "side", "figure"),
    [
        ("at_most: +1", Side.AT_MOST, 5),
        ('at_most: "+1"', Side.AT_MOST, 5),
        ("at_least: +2", Side.AT_LEAST, 6),
        ("at_most: -1", Side.AT_MOST, 3),
        ("at_most: as it is", Side.AT_MOST, 4),
        ("exactly: +1", Side.EXACTLY, 5),
    ],
)
def test_a_count_told_from_the_recipe(tmp_path: Path, written: str, side: Side, figure: int) -> None:
    """A number of fats with a sign is so many more or fewer than the recipe's four."""
    (limit,) = asked(tmp_path, f"near: house.yaml\nfats: {{{written}}}\n").fat_count
    assert (limit.side, limit.value) == (side, figure)
    assert f"{figure} (4 in the recipe" in str(limit.said)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("near: house.yaml\nfats: {at_most: -4}\n", Code.OUT_OF_RANGE),
        ("near: house.yaml\nfats: {each_at_least: +1 %}\n", Code.NO_RECIPE),
        ("near: house.yaml\nfats: {at_least: +2, at_most: +1}\n", Code.CONTRADICTION),
        ("fats: {at_most: +1}\n", Code.NO_RECIPE),
        ("goals: {cure: +2 weeks}\n", Code.NO_RECIPE),
        ("near: house.yaml\ngoals: {cure: -7 weeks}\n", Code.OUT_OF_RANGE),
        ("near:\ngoals: {hardness: 60}\n", Code.NO_VALUE),
        ("near:\n", Code.NO_VALUE),
    ],
)
def test_a_sign_that_says_nothing_is_refused(tmp_path: Path, text: str, code: Code) -> None:
    """No recipe to tell it from, no such count or cure, or a line for a recipe that names none."""
    assert code in [item.code for item in faults(tmp_path, text)]


@pytest.mark.parametrize(
    ("written", "unit", "figure"), [("+5 g", "g", 25.0), ("+5 g / kg", "g/kg", 25.0), ("+1 %", "%", 3.0)]
)
def test_an_additive_told_from_the_recipe_in_grams(tmp_path: Path, written: str, unit: str, figure: float) -> None:
    """Five grams more than the twenty of the recipe, in grams, for a kilo and in per cent."""
    recipe = f"{RECIPE}additives: {{sodium lactate: 20 g}}\n"
    limit = only(
        asked(tmp_path, f'near: house.yaml\nadditives: {{sodium lactate: "{written}"}}\n', recipe), "sodium lactate"
    )
    assert limit.unit == unit
    assert limit.value == pytest.approx(figure)
    for_two = asked(
        tmp_path, f'near: house.yaml\nbatch: {{fats: 2 kg}}\nadditives: {{sodium lactate: "{written}"}}\n', recipe
    )
    assert only(for_two, "sodium lactate").value == pytest.approx(45.0 if unit == "g" else figure)


def test_nothing_is_told_from_a_recipe_that_is_lye_heavy(tmp_path: Path) -> None:
    """The cause is told, not that the hardness is not known."""
    recipe = RECIPE.replace("superfat: 5 %\n", "alkali: {sodium hydroxide: 190 g}\n")
    found = faults(tmp_path, "near: house.yaml\ngoals: {hardness: +3}\n", recipe)[0]
    assert "House bar is lye-heavy (superfat -" in found.message
    assert "weigh" in found.help

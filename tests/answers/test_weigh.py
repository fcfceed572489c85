"""A recipe in hand: completed, judged, held against goals."""

from __future__ import annotations

from pathlib import Path

import pytest
from strategies import wish_id

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.materials.fat_table import reference
from optimiser.measures.quantities import quantities
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.report.terminal import text
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    """Where a recipe may be written."""
    return tmp_path / "recipe.yaml"


def to_the_tenth(grams: float, exact: float) -> bool:
    """Whether grams of alkali are the exact ones cut to a tenth, and never more."""
    return exact - 0.1 < grams <= exact + 1e-7 and grams == round(grams, 1)


def test_alkali_is_worked_out_for_the_superfat_asked(recipe: Path) -> None:
    """Without alkali in the file the program works it out for the superfat there, and says so."""
    recipe.write_text(
        "fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 7 %\nlye_concentration: 30 %\n", encoding="utf-8"
    )
    told = weigh(recipe)
    demand = 700.0 * reference().get("olive oil").saponification.value / 56.106
    demand += 300.0 * reference().get("coconut oil").saponification.value / 56.106
    assert to_the_tenth(told.recipe.sodium_hydroxide, 0.93 * demand * 39.997 / 1000.0)
    assert 7.0 - 1e-7 <= told.judgement.superfat < 7.08
    assert told.judgement.lye_concentration == pytest.approx(30.0, abs=0.01)
    assert any("7 %" in note for note in told.notes)


def test_a_recipe_without_alkali_or_superfat_is_refused(recipe: Path) -> None:
    """How much alkali is never guessed."""
    recipe.write_text("fats: {olive oil: 1 kg}\n", encoding="utf-8")
    with pytest.raises(BadInput, match="superfat"):
        weigh(recipe)


def test_water_is_worked_out_for_an_ordinary_lye(recipe: Path) -> None:
    """A recipe without water is taken at a lye of 33 %, and the answer says that it was."""
    recipe.write_text("fats: {olive oil: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    told = weigh(recipe)
    assert told.judgement.lye_concentration == pytest.approx(33.0, abs=0.01)
    assert len(told.notes) >= 2
    assert told.cost is None
    assert told.meets_goals is None


def test_a_lye_heavy_recipe_is_called_so_at_the_top(recipe: Path) -> None:
    """More alkali than the fats can take is the first thing said, and no number is bent to hide it."""
    recipe.write_text("fats: {olive oil: 1 kg}\nalkali: {sodium hydroxide: 150 g}\nwater: 300 g\n", encoding="utf-8")
    told = weigh(recipe)
    assert told.judgement.superfat < 0
    assert told.cautions[0].startswith("LYE-HEAVY")


def test_the_shelf_brings_certificates_purity_and_prices(recipe: Path) -> None:
    """With a shelf the lot's saponification value counts, the alkali is 98 % pure, and the batch has a cost."""
    recipe.write_text("fats: {coconut oil: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    told = weigh(recipe, shelf_file=SHELF)
    assert to_the_tenth(told.recipe.sodium_hydroxide, 0.95 * 256.4 / 56.106 * 39.997 / 0.98)
    assert told.cost is not None
    money = 3.10 + told.recipe.sodium_hydroxide / 1000.0 * 2.40
    assert told.cost.batch == pytest.approx(money)


def test_a_fat_off_the_shelf_leaves_no_cost(recipe: Path) -> None:
    """Where one fat has no price there is no cost, and the note names it."""
    recipe.write_text("fats: {olive oil: 900 g, safflower oil: 100 g}\nsuperfat: 5 %\n", encoding="utf-8")
    told = weigh(recipe, shelf_file=SHELF)
    assert told.cost is None
    assert any("safflower" in note for note in told.notes)


@pytest.mark.long
@pytest.mark.parametrize("name", ["budget", "everyday", "chequer", "salt-water", "fine-swirl", "laundry"])
def test_what_blend_saves_weigh_finds_good(name: str, recipe: Path) -> None:
    """A recipe saved from an answer weighs to the figures of that answer and meets the goals it was made for."""
    goals = ROOT / "goals" / f"{name}.yaml"
    blend = answer(goals)
    assert isinstance(blend, Blend)
    recipe.write_text(recipe_yaml(blend, recipe), encoding="utf-8")
    told = weigh(recipe, goal_file=goals)
    assert told.judgement.superfat == pytest.approx(blend.weighed.superfat, abs=1e-6)
    assert told.judgement.cost_per_kg == pytest.approx(blend.weighed.cost_per_kg, rel=1e-9)
    for key, value in blend.weighed.values.items():
        assert told.judgement.values[key] == pytest.approx(value, abs=1e-6), key
    held = {line.id: line.holds_when_weighed for line in blend.goals}
    again = {line.id: line.holds_when_weighed for line in told.goals}
    bends = {line.id for line in told.goals if line.gives_way}
    mine = [name for name in held if name in again and name not in bends]
    assert {name: again[name] for name in mine} == {name: held[name] for name in mine}
    assert told.meets_goals is all(holds for name, holds in again.items() if name not in bends)


def test_goals_not_met_are_told_with_their_values(recipe: Path) -> None:
    """Olive oil alone is no hard bar: the verdict says which wishes fail and what was reached."""
    recipe.write_text("fats: {olive oil: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    told = weigh(recipe, goal_file=ROOT / "goals" / "everyday.yaml")
    assert told.meets_goals is False
    failed = {line.id: line for line in told.goals if not line.holds_when_weighed}
    assert failed[wish_id("goals.hardness.at_least")].value < 60.0
    assert wish_id("shares.olive oil.at_least") not in failed


def test_preferences_do_not_fail_a_recipe(recipe: Path, tmp_path: Path) -> None:
    """A preference that is missed is told, and the recipe still meets its goals."""
    goals = tmp_path / "goals.yaml"
    goals.write_text("practice: off\nprefer:\n  - hardness: {at_least: 90}\nshelf: none.yaml\n", encoding="utf-8")
    recipe.write_text("fats: {olive oil: 1 kg}\nsuperfat: 5 %\nlye_concentration: 33 %\n", encoding="utf-8")
    told = weigh(recipe, shelf_file=SHELF, goal_file=goals)
    (line,) = told.preferences
    assert not line.met
    assert line.short_by > 0
    assert told.meets_goals is True


def test_bars_divide_the_batch(recipe: Path) -> None:
    """Ten bars of a batch weigh a tenth of its cured weight each."""
    recipe.write_text("fats: {coconut oil: 1 kg}\nbars: 10\nsuperfat: 5 %\n", encoding="utf-8")
    told = weigh(recipe, shelf_file=SHELF)
    assert told.cost is not None
    assert told.cost.bar_grams == pytest.approx(told.judgement.cured_grams / 10.0)
    assert told.cost.per_bar == pytest.approx(told.cost.batch / 10.0)


def test_goals_in_another_currency_than_the_shelf_are_refused(recipe: Path, tmp_path: Path) -> None:
    """A cost in dollars against a shelf in euros is bad input when a recipe is weighed, too."""
    (tmp_path / "shelf.yaml").write_text(
        "currency: EUR\nfats:\n  - {fat: olive oil, price: 7 / kg}\n", encoding="utf-8"
    )
    goals = tmp_path / "goals.yaml"
    goals.write_text("goals: {cost: {at_most: 6 USD / kg}}\n", encoding="utf-8")
    recipe.write_text("fats: {olive oil: 1 kg}\nsuperfat: 5 %\n", encoding="utf-8")
    with pytest.raises(BadInput, match="USD"):
        weigh(recipe, shelf_file=tmp_path / "shelf.yaml", goal_file=goals)
    goals.write_text("goals: {cost: {at_most: 3 EUR / kg}}\n", encoding="utf-8")
    assert weigh(recipe, shelf_file=tmp_path / "shelf.yaml", goal_file=goals).meets_goals is False


def test_a_cost_is_told_in_the_money_of_the_shelf(recipe: Path, tmp_path: Path) -> None:
    """Goals and preferences on the cost carry the currency and the weight they were asked by, in weighing as in blending."""
    goals = tmp_path / "goals.yaml"
    wishes = "goals: {cost: {at_most: 9 / kg}}\nprefer: [{cost: {at_most: 0.1 / bar}}]\n"
    goals.write_text(f"shelf: {SHELF}\n{wishes}", encoding="utf-8")
    recipe.write_text("fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 7 %\n", encoding="utf-8")
    told = weigh(recipe, goal_file=goals, shelf_file=SHELF)
    assert [line.unit for line in told.goals if line.id.key == "cost"] == ["EUR / kg"]
    assert [line.unit for line in told.preferences] == ["EUR / bar"]


def test_a_potassium_share_is_said_to_be_of_moles(recipe: Path) -> None:
    """Half of the moles is 58.4 % of the mass (56.106 and 39.997 g/mol): the note, the figures and the caution say which."""
    recipe.write_text("fats: {olive oil: 1 kg}\nsuperfat: 5 %\npotassium_share: 50 %\n", encoding="utf-8")
    told = weigh(recipe)
    assert any("50 % of its moles (not of its mass)" in note for note in told.notes)
    assert any(
        "50 % of the alkali's moles as potassium hydroxide (58 % of its mass)" in caution for caution in told.cautions
    )
    recipe.write_text("fats: {olive oil: 100 kg}\nsuperfat: 5 %\npotassium_share: 10 %\n", encoding="utf-8")
    assert "Potassium hydroxide is 10.0 % of the alkali's moles, 13.5 % of its mass." in text.weighed(
        weigh(recipe), 120
    )
    assert "moles" in quantities()["potassium_share"].words
    assert "moles, not of its mass" in quantities()["potassium_share"].about


def test_alkali_for_a_pinch_is_a_fault_of_the_batch(recipe: Path) -> None:
    """Where the alkali comes to less than one step of the balance there is nothing to weigh, and that is said."""
    recipe.write_text("fats: {jojoba oil: 1 g}\nsuperfat: 5 %\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        weigh(recipe)
    assert caught.value.diagnostics[0].code == "coarse-balance"


def against(folder: Path, recipe_text: str, goals: str) -> str:
    """The page of a recipe held against goals."""
    (folder / "recipe.yaml").write_text(recipe_text, encoding="utf-8")
    (folder / "goals.yaml").write_text(goals, encoding="utf-8")
    return text.weighed(weigh(folder / "recipe.yaml", shelf_file=SHELF, goal_file=folder / "goals.yaml"), 100)


PAIR = "fats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 9.06 %\n"


def test_both_ends_of_a_figure_are_told_in_the_same_digits(tmp_path: Path) -> None:
    """A superfat that meets its upper end to within the balance is not 9.1 % in one row and 9 % in the next."""
    page = against(tmp_path, PAIR, "goals: {superfat: {between: [8 %, 9 %]}}\n")
    rows = [line.split() for line in page.splitlines() if "superfat at " in line]
    assert [row[row.index("met") - 2 : row.index("met")] for row in rows] == [["9", "%"], ["9", "%"]]


@pytest.mark.parametrize(("cure", "word"), [("2 weeks", "missed"), ("6 weeks", "met"), ("3 months", "met")])
def test_a_cure_is_held_against_the_one_asked_for(tmp_path: Path, cure: str, word: str) -> None:
    """A recipe that tells its cure is judged by the goal on it."""
    page = against(tmp_path, f"{PAIR}cure: {cure}\n", "goals: {cure: {at_least: 6 weeks}}\n")
    (row,) = [line for line in page.splitlines() if "cure at least 6 weeks" in line]
    assert f"  {word}" in row
    assert ("meets them all" in page) == (word == "met")


def test_a_cure_that_is_not_told_is_not_judged(tmp_path: Path) -> None:
    """A recipe that does not say how long it is cured is told so, and meets its other goals."""
    page = against(tmp_path, PAIR, "goals: {cure: {at_least: 6 weeks}}\n")
    assert "cure at least" not in page
    assert "meets them all" in page
    assert "How long it is cured is not judged" in page


def test_superfat_under_an_alkali_is_answered_with_what_to_write(recipe: Path) -> None:
    """Where a superfat stands in place of an alkali's mass, the fault says both ways to write it."""
    recipe.write_text("fats: {lard: 1 kg}\nalkali: {NaOH: {superfat: 5 %}}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        weigh(recipe)
    (fault,) = caught.value.diagnostics
    assert "alkali: {sodium hydroxide: 135 g}" in fault.help
    assert "superfat: 5 % in place of 'alkali'" in fault.help


def test_what_is_to_be_used_up_is_told_where_it_is_not(tmp_path: Path) -> None:
    """A recipe that takes 300 g of 4 kg to be used up says how much is short, and that no verdict hangs on it."""
    shelf = "fats: [{fat: olive oil, price: 6 / kg}, {fat: coconut oil, price: 3 / kg, stock: 9 kg}]\n"
    (tmp_path / "shelf.yaml").write_text(shelf + "alkalis: {sodium hydroxide: {price: 2 / kg}}\n", encoding="utf-8")
    recipe, goals = tmp_path / "bar.yaml", tmp_path / "goals.yaml"
    recipe.write_text(
        "shelf: shelf.yaml\nfats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n", encoding="utf-8"
    )
    for told, said in (("4 kg", "To be used up: 4000 g of coconut oil. This takes 300 g, 3700 g short"), ("200 g", "")):
        goals.write_text(f"shelf: shelf.yaml\nuse_up: {{coconut oil: {told}}}\n", encoding="utf-8")
        notes = " ".join(weigh(recipe, goal_file=goals).notes).replace("\u00a0", " ")
        assert ("To be used up" in notes) == bool(said)
        assert said in notes

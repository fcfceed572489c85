"""What to use in place of a fat: the labelled answers, what they keep, and what is said of them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.analysis.stand_ins import form_of
from optimiser.answers.swap import swap, swap_for
from optimiser.answers.swap_results import CHEAPEST, COMES_NEAREST, NEAREST, ONE_FOR_ONE, Swapped
from optimiser.answers.weigh import weigh
from optimiser.files.shelf.shelf import read_shelf
from optimiser.materials.fat_table import reference
from optimiser.materials.standing_in import kept_states
from optimiser.measures.differences import differences, functions, within
from optimiser.measures.measures import measures
from optimiser.problem.asking import shelf_of
from optimiser.problem.asking_near import recipe_of
from optimiser.problem.units import Units
from optimiser.problem.wishes import Section
from optimiser.report.recipe_yaml import kept_swapped, kept_yaml
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
RECIPE = ROOT / "examples" / "recipes" / "all-purpose.yaml"
HOUSE = {"olive oil": 450.0, "coconut oil": 250.0, "palm oil": 250.0, "castor oil": 50.0}
PRICES = {
    "olive oil": 6.9,
    "coconut oil": 3.1,
    "palm oil": 2.0,
    "castor oil": 4.8,
    "palm kernel oil": 2.8,
    "babassu oil": 8.4,
    "beef tallow": 2.3,
    "lard": 2.2,
    "shea butter": 7.6,
    "cocoa butter": 11.8,
    "rapeseed oil": 2.1,
    "high oleic sunflower oil": 2.6,
    "avocado oil": 10.5,
    "palm stearin": 2.1,
}


def over(out: str | list[str], *names: str, keep: list[str] | None = None) -> Swapped:
    """What to use over a shelf of some fats."""
    shelf = shelf_of({name: PRICES[name] for name in names or PRICES}, sodium_hydroxide=2.4)
    return swap_for(recipe_of(HOUSE), shelf, out, keep=keep or [])


def test_three_labels_each_with_its_promise() -> None:
    """One for one keeps shares, nearest keeps every window, cheapest costs no more than the others that keep the bar."""
    found = over("palm oil")
    by_label = {answer.label: answer for answer in reversed(found.answers)}
    assert set(by_label) == {ONE_FOR_ONE, NEAREST, CHEAPEST}
    single = by_label[ONE_FOR_ONE].story.judgement.shares
    assert {name: single[name] for name in HOUSE if name != "palm oil"} == pytest.approx(
        {"olive oil": 45.0, "coconut oil": 25.0, "castor oil": 5.0}
    )
    near = differences(found.old.judgement.values, by_label[NEAREST].story.judgement.values, functions())
    assert {item.measure.id for item in near} == set(functions())
    assert all(item.steps <= 1.02 for item in near)
    costs = [answer.story.cost.per_kg for answer in found.answers if answer.fits and answer.story.cost]
    cheapest = by_label[CHEAPEST]
    assert cheapest.story.cost is not None
    assert cheapest.story.cost.per_kg == min(costs)
    assert cheapest.cheapest_possible is not None
    assert cheapest.cheapest_possible <= cheapest.story.cost.per_kg + 1e-3
    worse = [
        item
        for item in differences(found.old.judgement.values, cheapest.story.judgement.values)
        if item.change.worse and item.steps > 1.02
    ]
    assert worse == []
    assert cheapest.moved <= 25.0 + 10.0 + 0.1


@settings(max_examples=examples(20))
@given(
    st.dictionaries(st.sampled_from(sorted(PRICES)), st.integers(5, 60), min_size=2, max_size=5),
    st.sets(st.sampled_from(sorted(PRICES)), min_size=4),
    st.integers(0, 12),
)
def test_promises_hold_of_recipes_drawn_at_random(parts: dict[str, int], others: set[str], superfat: int) -> None:
    """What is out is not there, what is kept keeps its share, alkali follows, and an answer that fits brings nothing shunned."""
    out, *rest = sorted(parts)
    keep = rest[:1] if len(rest) > 1 else []
    names = sorted({*parts, *others})
    shelf = shelf_of({name: PRICES[name] for name in names}, sodium_hydroxide=2.4)
    recipe = recipe_of({name: 100.0 * part for name, part in parts.items()}, superfat=superfat)
    assume({*names} - {out, *keep})  # else all that is left is kept
    found = swap_for(recipe, shelf, out, keep=keep)
    old = found.old.judgement.shares
    tags = frozenset[str]().union(*(fat.tags for fat, _ in found.old.recipe.fats))
    firm = {state.tag for state in kept_states() if state.holds == "firm"} - tags
    for answer in found.answers:
        shares = answer.story.judgement.shares
        assert out not in shares
        assert all(shares[name] == pytest.approx(old[name], abs=0.11) for name in keep)
        assert answer.story.judgement.superfat == pytest.approx(superfat, abs=0.15)
        assert answer.moved >= old[out] - 0.11
        if answer.label in (NEAREST, CHEAPEST):
            assert not firm & frozenset[str]().union(*(fat.tags for fat, _ in answer.story.recipe.fats))
    assert (
        found.fits or any(answer.label in (COMES_NEAREST, ONE_FOR_ONE) for answer in found.answers) or not found.answers
    )


def test_a_fat_that_is_kept_stays_at_its_very_share() -> None:
    """In every answer, though the cheapest would rather have less of it."""
    free, kept = over("palm oil"), over("palm oil", keep=["olive oil"])
    assert min(answer.story.judgement.shares["olive oil"] for answer in free.answers) < 44.0
    assert [answer.story.judgement.shares["olive oil"] for answer in kept.answers] == pytest.approx(
        [45.0] * len(kept.answers), abs=0.11
    )


def test_several_fats_out_at_once() -> None:
    """One answer takes the best in place of each; none of them comes back."""
    found = over(["palm oil", "coconut oil"])
    singles = [answer for answer in found.answers if answer.label == ONE_FOR_ONE]
    assert len(singles) == 1
    came = {item.fat: item.after for item in singles[0].changed if item.after > item.before}
    assert sum(came.values()) == pytest.approx(50.0)
    assert {"palm kernel oil", "babassu oil"} & came.keys()
    assert all({"palm oil", "coconut oil"}.isdisjoint(answer.story.judgement.shares) for answer in found.answers)


def test_what_is_out_may_be_asked_as_one_text() -> None:
    """A name alone is a name, and not its letters."""
    assert swap(RECIPE, "palm oil").out == swap(RECIPE, ["palm oil"]).out == ("palm oil",)


def test_a_stock_too_small_is_no_stand_in(tmp_path: Path) -> None:
    """Of a fat of which there is half of what is needed none is offered one for one, and no blend takes more than there is."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "fats:\n"
        + "".join(f"  - {{fat: {name}, price: {PRICES[name]} / kg}}\n" for name in HOUSE)
        + "  - {fat: shea butter, price: 7 / kg, stock: 120 g}\n  - {fat: cocoa butter, price: 11 / kg}\n",
        encoding="utf-8",
    )
    found = swap(RECIPE, "palm oil", shelf_file=shelf)
    assert len(found.answers) >= 2
    for answer in found.answers:
        weights = {fat.name: grams for fat, grams in answer.story.recipe.fats}
        assert weights.get("shea butter", 0.0) <= 120.5
        assert answer.label != ONE_FOR_ONE or "shea butter" not in weights


def test_a_fat_of_the_recipe_that_the_shelf_has_not_is_there_as_far_as_the_recipe_has_it(tmp_path: Path) -> None:
    """More of it cannot be had, its price is not known, and both are said."""
    shelf = tmp_path / "shelf.yaml"
    names = ("olive oil", "coconut oil", "shea butter", "cocoa butter", "palm oil")
    shelf.write_text(
        "fats:\n" + "".join(f"  - {{fat: {name}, price: {PRICES[name]} / kg}}\n" for name in names), encoding="utf-8"
    )
    found = swap(RECIPE, "palm oil", shelf_file=shelf)
    assert any("castor oil is not on the shelf" in note for note in found.notes)
    assert max(answer.story.judgement.shares.get("castor oil", 0.0) for answer in found.answers) <= 5.05
    assert all(answer.story.cost is None for answer in found.answers if "castor oil" in answer.story.judgement.shares)


def test_without_prices_there_is_no_cheapest() -> None:
    """Over the common fats two kinds of answers stand, and none names a cost."""
    found = swap_for(recipe_of(HOUSE), None, "palm oil")
    assert {answer.label for answer in found.answers} == {ONE_FOR_ONE, NEAREST}
    assert all(answer.story.cost is None for answer in found.answers)
    assert not any("dearer" in line or "cheaper" in line for answer in found.answers for line in answer.says)


def test_goals_in_place_of_the_old_bars_figures(tmp_path: Path) -> None:
    """With a goal file each answer is held against it, and the cheapest meets it."""
    goals = tmp_path / "goals.yaml"
    goals.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\nbatch: {{bars: 100}}\n"
        "goals: {hardness: {at_least: 58}, mildness: {at_least: 68}, superfat: 5 %}\n",
        encoding="utf-8",
    )
    found = swap(RECIPE, "palm oil", goal_file=goals)
    cheapest = found.answers[-1]
    assert cheapest.label == CHEAPEST
    assert cheapest.story.meets_goals
    assert cheapest.story.judgement.values["mildness"] >= 68 - 0.3
    assert sum(grams for _, grams in cheapest.story.recipe.fats) == pytest.approx(1000.0, abs=1.0)
    assert [answer.fits for answer in found.answers] == [bool(answer.story.meets_goals) for answer in found.answers]


def test_what_is_said_is_what_differs() -> None:
    """Every function that moves by half its own +/- or more is told with both figures, and no other is."""
    found = over("coconut oil", *HOUSE, "beef tallow")
    before = found.old.judgement.values
    for answer in found.answers:
        after = answer.story.judgement.values
        for name in functions():
            told = any(f"({measures()[name].words} " in line for line in answer.says)
            assert told == (abs(after[name] - before[name]) >= 0.5 * within(name) - 1e-9)


def test_the_same_recipe_is_told_once() -> None:
    """Where the nearest in function is a single stand-in, it names the answer that it is."""
    found = over("coconut oil", *HOUSE, "palm kernel oil")
    nearest = next(answer for answer in found.answers if answer.label == NEAREST)
    assert nearest.same_as == 1
    assert found.answers[0].same_as == 0


@pytest.mark.parametrize(("superfat", "alkali"), [("superfat: 5 %", ""), ("", "alkali: {sodium hydroxide: 143.6 g}")])
def test_a_recipe_told_by_its_alkali_is_swapped_at_its_own_superfat(tmp_path: Path, superfat: str, alkali: str) -> None:
    """Whether the file tells the superfat or grams of alkali, the stand-in is made with the same superfat."""
    recipe = tmp_path / "bar.yaml"
    recipe.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\nfats: {{olive oil: 450 g, coconut oil: 250 g, palm oil: 250 g, "
        f"castor oil: 50 g}}\n{superfat}{alkali}\nwater: 280 g\n",
        encoding="utf-8",
    )
    found = swap(recipe, "palm oil")
    assert found.answers
    for answer in found.answers:
        assert answer.story.judgement.superfat == pytest.approx(found.old.judgement.superfat, abs=0.12)
        assert answer.story.judgement.lye_concentration == pytest.approx(
            found.old.judgement.lye_concentration, abs=0.05
        )


def test_a_recipe_that_must_not_be_made_is_not_swapped(tmp_path: Path) -> None:
    """More alkali than fat is a fault of the recipe, told before anything is put in place of anything."""
    recipe = tmp_path / "bar.yaml"
    recipe.write_text(
        "fats: {olive oil: 700 g, coconut oil: 300 g}\nalkali: {sodium hydroxide: 190 g}\nwater: 300 g\n",
        encoding="utf-8",
    )
    with pytest.raises(BadInput) as bad:
        swap(recipe, "coconut oil")
    assert bad.value.diagnostics[0].code == Code.LYE_HEAVY


def test_a_fat_of_unknown_acids_cannot_be_swapped(tmp_path: Path) -> None:
    """With a saponification value alone nobody can say what the fat was there for; on the shelf it is only left aside."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(
        "fats:\n  - {fat: olive oil, price: 7 / kg}\n  - {fat: coconut oil, price: 3 / kg}\n  - {fat: lard, price: 2 / kg}\n"
        "  - {fat: mystery butter, price: 8 / kg, saponification_value: 186}\n",
        encoding="utf-8",
    )
    recipe = tmp_path / "bar.yaml"
    recipe.write_text(
        f"shelf: {shelf}\nfats: {{olive oil: 600 g, coconut oil: 200 g, mystery butter: 200 g}}\nsuperfat: 5 %\n",
        encoding="utf-8",
    )
    with pytest.raises(BadInput) as bad:
        swap(recipe, "olive oil")
    assert bad.value.diagnostics[0].code == Code.UNTOLD_FAT
    recipe.write_text(f"shelf: {shelf}\nfats: {{olive oil: 700 g, lard: 300 g}}\nsuperfat: 5 %\n", encoding="utf-8")
    found = swap(recipe, "lard")
    assert any("mystery butter is not looked at" in note for note in found.notes)
    assert all("mystery butter" not in answer.story.judgement.shares for answer in found.answers)


def test_nothing_left_to_stand_in_is_told() -> None:
    """All that the shelf has besides is kept: there is no question to answer."""
    with pytest.raises(BadInput) as bad:
        over("palm oil", *HOUSE, keep=["olive oil", "coconut oil", "castor oil"])
    assert bad.value.diagnostics[0].code == Code.NO_FATS


def test_milk_salt_and_acid_stay_as_they_are(tmp_path: Path) -> None:
    """Additives and liquids are weighed as before, and what they take of the alkali is counted again."""
    recipe = tmp_path / "bar.yaml"
    recipe.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\nfats: {{olive oil: 500 g, coconut oil: 250 g, lard: 250 g}}\n"
        "superfat: 6 %\nlye_concentration: 32 %\nadditives: {citric acid: 10 g, salt: 5 g}\nliquids: {goat milk: 60 g}\n",
        encoding="utf-8",
    )
    found = swap(recipe, "lard")
    assert found.fits
    for answer in found.answers:
        extras = {item.name: grams for item, grams in answer.story.recipe.additives}
        assert extras == pytest.approx({"citric acid": 10.0, "salt": 5.0, "goat milk": 60.0})
        assert answer.story.judgement.superfat == pytest.approx(6.0, abs=0.12)


def test_the_cheapest_is_the_cheapest_of_all_that_keep() -> None:
    """Of a salt bar, a tallow bar and others no answer that keeps the bar is cheaper than the one that is called the cheapest."""
    for name, out in (
        ("salt", "coconut oil"),
        ("tallow", "beef tallow"),
        ("laundry", "lard"),
        ("all-purpose", "palm oil"),
    ):
        found = swap(ROOT / "examples" / "recipes" / f"{name}.yaml", out)
        costs = {answer.label: answer.story.cost for answer in found.answers if answer.fits}
        least = min(answer.story.cost.per_kg for answer in found.answers if answer.fits and answer.story.cost)
        cheapest = costs[CHEAPEST]
        assert cheapest is not None
        assert cheapest.per_kg == least


def test_a_bar_free_from_palm_is_not_kept_by_palm() -> None:
    """Palm kernel oil in place of coconut is told, and named as what does not stay free from palm."""
    found = swap(ROOT / "examples" / "recipes" / "salt.yaml", "coconut oil")
    palm = [answer for answer in found.answers if any("palm" in item.fat for item in answer.changed)]
    assert palm
    assert all("free from palm" in answer.misses and not answer.fits for answer in palm)


def test_another_pressing_of_the_same_oil_is_told() -> None:
    """Olive pomace oil in place of olive, of a castile with a little coconut and of one of olive alone, which is no fault."""
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    for fats in ({"olive oil": 1000.0}, {"olive oil": 900.0, "coconut oil": 100.0}):
        recipe = recipe_of(fats, superfat=3)
        found = swap_for(recipe, read_shelf(shelf), "olive oil")
        assert any(item.fat == "olive pomace oil" for answer in found.answers for item in answer.changed)


BEE = """title: Bee bar
shelf: {shelf}
batch: {{fats: 3 kg}}
fats: {{olive oil: 46 %, coconut oil: 25 %, palm oil: 22 %, castor oil: 5.4 %, beeswax: 1.6 %}}
superfat: 5 %
lye_concentration: 33 %
"""


def test_a_bee_bar_is_no_meat_bar(tmp_path: Path) -> None:
    """In a bar with beeswax fat of meat comes after fats of plants, is no answer that holds, and is in no blend."""
    recipe = tmp_path / "bee.yaml"
    recipe.write_text(BEE.format(shelf=ROOT / "inventory" / "kittiwake.yaml"), encoding="utf-8")
    found = swap(recipe, "palm oil")
    meat = [bool({"lard", "beef tallow"} & answer.story.judgement.shares.keys()) for answer in found.answers]
    assert any(meat)
    for answer, is_meat in zip(found.answers, meat, strict=True):
        assert ("free from animal fat" in answer.misses) == is_meat
        assert any("brings animal fat" in line for line in answer.brings) == is_meat
        assert not is_meat or answer.label == ONE_FOR_ONE
    assert meat[0] is False


def test_a_little_of_a_wax_goes_to_the_finer_step(tmp_path: Path) -> None:
    """Beeswax of 0.96 oz is weighed as that, and the step that the page tells is one that all its fats lie on."""
    recipe = tmp_path / "bee.yaml"
    text = (
        BEE.format(shelf=ROOT / "inventory" / "kittiwake.yaml")
        .replace("3 kg", "3 lb")
        .replace("1.6", "2")
        .replace("5.4", "5")
    )
    recipe.write_text(text, encoding="utf-8")
    fats = {fat.name: grams / 28.349523125 for fat, grams in weigh(recipe, units=Units.OUNCES).recipe.fats}
    assert fats["beeswax"] == pytest.approx(0.96, abs=1e-3)
    assert fats["olive oil"] == pytest.approx(22.1, abs=1e-3)
    kilo = recipe.with_name("kilo.yaml")
    kilo.write_text(
        text.replace("3 lb", "1 kg").replace("beeswax: 2 %", "beeswax: 1.55 %").replace("5 %, bees", "5.45 %, bees"),
        encoding="utf-8",
    )
    grams = {fat.name: weight for fat, weight in weigh(kilo).recipe.fats}
    assert grams["beeswax"] == pytest.approx(15.5)
    assert grams["olive oil"] == 460.0


def test_jojoba_is_no_beeswax() -> None:
    """A liquid wax is as far from a solid one as an oil is; solid ones are like for like."""
    assert form_of(reference().get("beeswax"), reference().get("jojoba oil")) >= 2
    assert form_of(reference().get("jojoba oil"), reference().get("beeswax")) >= 2
    assert form_of(reference().get("beeswax"), reference().get("candelilla wax")) == 0


def test_less_castor_is_said() -> None:
    """No measure speaks of what castor oil does for the lather, so words do, and not where it stays."""
    told = [line for answer in over("castor oil").answers for line in answer.bar if "castor" in line]
    assert len(told) == len(over("castor oil").answers)
    assert not any("less castor" in line for answer in over("palm oil").answers for line in answer.bar)


def test_a_saved_answer_names_a_balance_that_reads_something(tmp_path: Path) -> None:
    """Also where goals set the alkali, so that it is given."""
    goals = tmp_path / "goals.yaml"
    goals.write_text("goals: {hardness: {at_least: 44}}\n", encoding="utf-8")
    found = swap(RECIPE, "palm oil", goal_file=goals)
    for answer in found.answers:
        text = kept_yaml(kept_swapped(found, answer), tmp_path / "kept.yaml")
        assert "reads 0 g" not in text
        assert ": 0 g)" not in text


def test_goals_told_from_another_recipe_are_those_that_weigh_holds_it_against() -> None:
    """Harder by 3 than the recipe that the goal file is near to: swap asks for that very figure, as weigh --against does."""
    goals = ROOT / "examples" / "harder.yaml"
    found = swap(RECIPE, "palm oil", goal_file=goals)
    asked = {line.said.wish for line in weigh(RECIPE, goal_file=goals).goals if line.id.section == Section.GOALS}
    assert any("63.5" in said for said in asked)
    assert found.answers
    assert all(asked <= {line.said.wish for line in answer.story.goals} for answer in found.answers)
    cheapest = next(answer for answer in found.answers if answer.label == CHEAPEST)
    assert cheapest.story.judgement.values["hardness"] >= 63.4


@pytest.mark.parametrize("told", ["superfat: 30 %", "superfat: 40 %"])
def test_a_stand_in_that_keeps_bounds_the_nearest(tmp_path: Path, told: str) -> None:
    """Where the house's rules leave the model no blend, a stand-in that keeps the bar is the nearest: none that misses it is."""
    recipe = tmp_path / "bar.yaml"
    fats = "fats: {olive oil: 500 g, coconut oil: 300 g, palm oil: 200 g}\n"
    recipe.write_text(f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n{fats}{told}\n", encoding="utf-8")
    found = swap(recipe, "coconut oil").answers
    keeping = [answer for answer in found if answer.label == ONE_FOR_ONE and answer.fits]
    assert keeping
    assert COMES_NEAREST not in {answer.label for answer in found}
    (near,) = [answer for answer in found if answer.label == NEAREST]
    assert near.fits
    assert near.moved <= min(answer.moved for answer in keeping) + 0.1


@pytest.mark.parametrize(("name", "out"), [("lard", "castor oil"), ("all-purpose", "palm oil"), ("lard", "lard")])
def test_no_answer_has_a_crumb_of_a_new_fat(name: str, out: str) -> None:
    """A gram of a fat in a kilo is nothing to buy: what comes in comes in by three parts in a hundred, or not at all."""
    found = swap(ROOT / "examples" / "recipes" / f"{name}.yaml", out).answers
    new = [item for answer in found for item in answer.changed if item.before == 0.0 and item.after > 0.0]
    assert new
    assert min(item.after for item in new) >= 2.9

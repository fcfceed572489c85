"""Ten recipes of the trade with one fat taken out, and the classics: answers that a teacher would accept, alkali by hand.

The recipes of examples/recipes/ are invented, and so is the shelf. What may stand in for what is common practice, no source; the
alkali is added up here from the saponification values that the shelf's certificates tell, or that `barwright fats` prints.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from optimiser.answers.swap import swap, swap_for
from optimiser.answers.swap_results import CHEAPEST, COMES_NEAREST, NEAREST, ONE_FOR_ONE, SwapAnswer, Swapped
from optimiser.answers.weigh import weigh
from optimiser.materials.fat_table import reference
from optimiser.problem.asking import shelf_of
from optimiser.problem.asking_near import recipe_of

ROOT = Path(__file__).parents[2]
RECIPES = ROOT / "examples" / "recipes"
NAOH, KOH = 39.997, 56.106  # g/mol
PURITY, POTASSIUM_PURITY = 0.98, 0.90  # of the invented shelf
CITRIC = 3 / 192.124  # mol of alkali per gram, without water of crystallisation
VALUES = {
    "coconut oil": 256.4,
    "palm oil": 198.2,
    "palm kernel oil": 246.1,
    "shea butter": 179.5,
    "olive oil": 190.8,
    "babassu oil": 244.24,
    "palm stearin": 201.04,
    "beef tallow": 196.41,
    "lard": 194.8,
    "cocoa butter": 193.67,
    "mango butter": 190.15,
    "kokum butter": 189.14,
    "illipe butter": 191.01,
    "murumuru butter": 240.72,
    "olive pomace oil": 190.07,
    "rapeseed oil": 188.65,
    "high oleic sunflower oil": 188.88,
    "castor oil": 180.62,
    "sunflower oil": 190.16,
    "rice bran oil": 187.49,
    "sweet almond oil": 190.74,
    "apricot kernel oil": 190.03,
    "avocado oil": 192.42,
    "peanut oil": 189.45,
    "hazelnut oil": 189.96,
    "grapeseed oil": 190.33,
    "soybean oil": 191.2,
    "camellia oil": 190.95,
    "macadamia oil": 192.39,
    "argan oil": 191.81,
    "sesame oil": 190.21,
    "hemp seed oil": 190.76,
    "calendula olive infusion": 190.8,
}
"""mg KOH/g: the first five off the shelf's certificates, the others as the cards of the fats tell them."""


class Case(NamedTuple):
    """A recipe, what is out, single stand-ins one of which must come first, and what must not be first."""

    recipe: str
    out: str
    first: tuple[str, ...]
    among: tuple[str, ...] = ()
    never_first: tuple[str, ...] = ()


CASES = (
    Case(
        "all-purpose",
        "palm oil",
        ("palm stearin", "shea butter", "mango butter"),
        ("lard",),
        ("beef tallow", "lard"),
    ),
    Case("lard", "lard", ("beef tallow",), ("palm oil",), ("palm oil",)),
    Case("tallow", "beef tallow", ("lard", "palm oil", "palm stearin"), ("lard",)),
    Case(
        "castile",
        "olive oil",
        ("high oleic sunflower oil", "camellia oil", "avocado oil"),
        ("high oleic sunflower oil",),
    ),
    Case(
        "butter",
        "shea butter",
        ("mango butter", "kokum butter", "cocoa butter"),
        ("mango butter",),
        ("lard", "beef tallow"),
    ),
    Case("salt", "coconut oil", ("babassu oil", "palm kernel oil"), ("babassu oil", "palm kernel oil")),
    Case(
        "shampoo",
        "avocado oil",
        ("olive oil", "camellia oil", "high oleic sunflower oil"),
        ("olive oil",),
        ("hazelnut oil",),
    ),
    Case("laundry", "lard", ("beef tallow", "palm oil"), ("beef tallow", "palm oil")),
    Case("shaving", "beef tallow", ("lard", "palm oil", "palm stearin"), ("lard", "palm oil")),
    Case("swirl", "rice bran oil", ("rapeseed oil", "apricot kernel oil", "olive oil", "peanut oil"), ()),
    Case("high-olive", "palm kernel oil", ("coconut oil", "babassu oil"), ("coconut oil", "babassu oil")),
)


def answers(case: Case) -> Swapped:
    """What to use in a case."""
    return swap(RECIPES / f"{case.recipe}.yaml", case.out)


def singles(found: Swapped) -> list[str]:
    """The single stand-ins, in their order."""
    return [
        next(item.fat for item in answer.changed if item.after > item.before)
        for answer in found.answers
        if answer.label == ONE_FOR_ONE
    ]


def alkali_by_hand(answer: SwapAnswer, superfat: float, potassium: float = 0.0) -> tuple[float, float]:
    """Grams of both alkalis to weigh: sum of grams x SV / 1000 / 56.106 moles, less the superfat, and what citric acid takes."""
    moles = sum(grams * VALUES[fat.name] / 1000.0 / KOH for fat, grams in answer.story.recipe.fats)
    acid = sum(grams * CITRIC for item, grams in answer.story.recipe.additives if item.name == "citric acid")
    needed = moles * (1.0 - superfat / 100.0) + acid
    return needed * (1.0 - potassium) * NAOH / PURITY, needed * potassium * KOH / POTASSIUM_PURITY


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.recipe)
def test_a_teacher_would_accept_the_answers(case: Case) -> None:
    """Form and function are kept: the first single stand-in is one of the trade's, and what must be among them is."""
    found = answers(case)
    named = singles(found)
    assert named[0] in case.first
    assert set(case.among) <= set(named)
    assert named[0] not in case.never_first
    labels = [answer.label for answer in found.answers]
    assert labels.count(ONE_FOR_ONE) >= 2
    assert NEAREST in labels
    assert CHEAPEST in labels
    assert found.fits
    old = {fat.name: grams for fat, grams in found.old.recipe.fats}
    for answer in found.answers:
        new = {fat.name: grams for fat, grams in answer.story.recipe.fats}
        assert case.out not in new
        assert sum(new.values()) == pytest.approx(sum(old.values()), abs=1.0)
        assert answer.says
        assert not answer.story.is_unfit
        if answer.label == ONE_FOR_ONE:
            assert {
                name: new[name] for name in old if name in new and name != named[labels.index(answer.label)]
            }.items() <= {
                **old,
                **new,
            }.items()
            assert answer.moved == pytest.approx(100.0 * old[case.out] / sum(old.values()), abs=0.01)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.recipe)
def test_the_alkali_is_what_hand_arithmetic_gives(case: Case) -> None:
    """Grams of alkali of every answer, and what it changed by, follow from grams and saponification values alone."""
    found = answers(case)
    superfat = {"butter": 6.0, "salt": 18.0, "laundry": 1.0, "shaving": 4.0}.get(case.recipe, 5.0)
    potassium = 0.4 if case.recipe == "shaving" else 0.0
    for answer in found.answers:
        sodium, potash = alkali_by_hand(answer, superfat, potassium)
        recipe = answer.story.recipe
        assert recipe.sodium_hydroxide == pytest.approx(sodium, abs=0.12)
        assert recipe.potassium_hydroxide == pytest.approx(potash, abs=0.12)
        assert recipe.sodium_hydroxide <= sodium + 0.02
        change = recipe.sodium_hydroxide + recipe.potassium_hydroxide
        change -= found.old.recipe.sodium_hydroxide + found.old.recipe.potassium_hydroxide
        assert answer.alkali_change == pytest.approx(change, abs=1e-6)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.recipe)
def test_nothing_is_a_pinch(case: Case) -> None:
    """No fat that comes in is less than 3 % of the fats, and no fat that stays is nudged by less than 1 %."""
    found = answers(case)
    assert len(found.answers) >= 4
    small = [
        (answer.label, item)
        for answer in found.answers
        for item in answer.changed
        if (item.before == 0.0 and item.after < 2.9)
        or (item.before and item.after and abs(item.after - item.before) < 0.9)
    ]
    assert small == []


def over(*fats: str) -> dict[str, float]:
    """A price list of these fats, all alike."""
    return dict.fromkeys(fats, 3.0)


HOUSE = {"olive oil": 450.0, "coconut oil": 250.0, "palm oil": 250.0, "castor oil": 50.0}


def test_coconut_gives_way_to_palm_kernel_or_babassu() -> None:
    """With both on the shelf they are the first two single stand-ins, and the bar does what it did."""
    shelf = shelf_of(over(*HOUSE, "palm kernel oil", "babassu oil", "lard", "shea butter"), sodium_hydroxide=2.4)
    found = swap_for(recipe_of(HOUSE), shelf, "coconut oil")
    assert set(singles(found)[:2]) == {"palm kernel oil", "babassu oil"}
    assert found.answers[0].fits


def test_without_any_lauric_oil_more_palm_tallow_or_shea_and_the_lather_goes() -> None:
    """With neither, the stand-ins are hard fats, every answer says that lather is slower, and clashes say why."""
    shelf = shelf_of(over(*HOUSE, "beef tallow", "shea butter"), sodium_hydroxide=2.4)
    found = swap_for(recipe_of(HOUSE), shelf, "coconut oil")
    assert singles(found)[0] in ("palm oil", "shea butter")
    assert {"palm oil", "beef tallow"} <= set(singles(found))
    assert not found.fits
    assert all(any("lather slower to start" in line for line in answer.says) for answer in found.answers)
    assert any(answer.label == COMES_NEAREST for answer in found.answers)
    assert any("coconut oil" in {member.id.key for member in clash} for clash in found.clashes)


def test_palm_gives_way_to_tallow_or_to_butters_with_coconut() -> None:
    """In a bar with lard tallow or lard is first; in a vegetable bar butters are, and tallow is told last for who does not mind."""
    names = (*HOUSE, "beef tallow", "lard", "shea butter", "cocoa butter")
    shelf = shelf_of(over(*names), sodium_hydroxide=2.4)
    with_lard = recipe_of({"olive oil": 450, "coconut oil": 250, "palm oil": 200, "lard": 100})
    assert singles(swap_for(with_lard, shelf, "palm oil"))[0] in ("beef tallow", "lard")
    found = swap_for(recipe_of(HOUSE), shelf, "palm oil")
    assert singles(found)[0] in ("shea butter", "cocoa butter")
    assert singles(found)[-1] in ("beef tallow", "lard")
    assert any("brings animal fat" in line for line in found.answers[len(singles(found)) - 1].says)
    nearest = next(answer for answer in found.answers if answer.label == NEAREST)
    assert not nearest.brings


def test_a_dear_liquid_gives_way_to_the_nearest_in_acids_then_in_price() -> None:
    """In place of sweet almond: first what differs least in acids and function; of two that are alike the cheaper."""
    names = {"olive oil": 6.9, "coconut oil": 3.1, "palm oil": 2.0, "sweet almond oil": 19.0}
    others = {"apricot kernel oil": 9.9, "high oleic safflower oil": 4.0, "grapeseed oil": 4.9, "hemp seed oil": 10.8}
    shelf = shelf_of({**names, **others}, sodium_hydroxide=2.4)
    bar = recipe_of({"olive oil": 400, "coconut oil": 250, "palm oil": 150, "sweet almond oil": 200})
    found = singles(swap_for(bar, shelf, "sweet almond"))
    almond = reference().get("sweet almond oil").acids

    def apart(name: str) -> float:
        """Half of what the acids differ by, per cent."""
        acids = reference().get(name).acids
        return 0.5 * sum(abs(acids.get(acid, 0.0) - almond.get(acid, 0.0)) for acid in {*acids, *almond})

    assert found[0] in sorted([*others, "olive oil"], key=apart)[:2]
    assert "hemp seed oil" not in found[:2]


def test_lard_gives_way_to_tallow_or_palm() -> None:
    """Both are among the first, and palm says that the bar is no longer free from it."""
    shelf = shelf_of(over("lard", "olive oil", "coconut oil", "beef tallow", "palm oil"), sodium_hydroxide=2.4)
    found = swap_for(recipe_of({"lard": 400, "olive oil": 350, "coconut oil": 250}), shelf, "lard")
    assert singles(found)[:2] == ["beef tallow", "palm oil"]
    assert any("brings palm" in line for line in found.answers[1].says)


def test_a_saved_answer_holds_against_the_old_goals(tmp_path: Path) -> None:
    """The cheapest that keeps a goal file, saved and weighed against it, meets every goal."""
    from optimiser.report.recipe_yaml import kept_swapped, kept_yaml

    goals = tmp_path / "bar.yaml"
    goals.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n"
        "goals: {hardness: {at_least: 54}, quick_lather: {at_least: 38}, mildness: {at_least: 66}, superfat: 5 %}\n"
        "shares: {olive oil: {at_least: 30 %}}\n",
        encoding="utf-8",
    )
    found = swap(RECIPES / "all-purpose.yaml", "palm oil", goal_file=goals)
    cheapest = next(answer for answer in found.answers if answer.label == CHEAPEST)
    saved = tmp_path / "without-palm.yaml"
    saved.write_text(kept_yaml(kept_swapped(found, cheapest), saved), encoding="utf-8")
    told = weigh(saved, goal_file=goals)
    assert told.meets_goals
    assert [line.holds_when_weighed for line in told.goals if not line.gives_way] != []
    assert told.recipe.sodium_hydroxide == cheapest.story.recipe.sodium_hydroxide

"""Lists of ingredients: heaviest first, one name once, colours last, and no order of the file to be seen."""

from __future__ import annotations

import math
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples, recipe_at, recipes

from optimiser.materials.additives import additives
from optimiser.materials.composition import Figure
from optimiser.materials.fat import like, of_saponification_alone
from optimiser.materials.fat_table import fold, reference
from optimiser.materials.liquids import liquids
from optimiser.recipe.evaluation import Recipe, batter_grams
from optimiser.recipe.finished import finished
from optimiser.recipe.ingredients import COLOUR, WANTING, Ingredient, as_charged, as_saponified


def names(listed: tuple[Ingredient, ...]) -> list[str]:
    """The names of a list."""
    return [one.name for one in listed]


def test_a_plain_bar_as_charged_and_as_saponified() -> None:
    """Olive and coconut with lye: what was weighed in order, then soaps, glycerin, water and what is left of the fats."""
    recipe = recipe_at({"olive oil": 7.0, "coconut oil": 3.0})
    assert names(as_charged(recipe)) == [
        "Olea Europaea (Olive) Fruit Oil",
        "Cocos Nucifera (Coconut) Oil",
        "Water",
        "Sodium Hydroxide",
    ]
    assert names(as_saponified(finished(recipe))) == [
        "Sodium Olivate",
        "Sodium Cocoate",
        "Water",
        "Glycerin",
        "Olea Europaea (Olive) Fruit Oil",
        "Cocos Nucifera (Coconut) Oil",
    ]


def test_grades_and_lots_of_one_name_are_one_ingredient() -> None:
    """Olive oil, its pomace oil and an infusion of it are one line that weighs as much as all three."""
    olive, pomace = reference().get("olive oil"), reference().get("olive pomace oil")
    own = like(olive, name="marigold oil")
    recipe = Recipe(((olive, 300.0), (pomace, 200.0), (own, 100.0)), 75.0, 0.0, 150.0)
    (first, *rest) = as_charged(recipe)
    assert first.grams == pytest.approx(600.0)
    assert first.of == ("marigold oil", "olive oil", "olive pomace oil")
    assert [one.name for one in rest] == ["Water", "Sodium Hydroxide"]


def test_water_of_a_solution_is_water_and_a_milk_is_one_thing() -> None:
    """Lactate of 60 % brings 40 % water to the list; milk stands as it is poured."""
    olive = reference().get("olive oil")
    extras = ((additives()["sodium lactate"], 50.0), (liquids()["goat milk"], 100.0))
    grams = {one.name: one.grams for one in as_charged(Recipe(((olive, 1000.0),), 130.0, 0.0, 100.0, extras))}
    assert grams["Sodium Lactate"] == pytest.approx(30.0)
    assert grams["Water"] == pytest.approx(120.0)
    assert grams["Goat Milk"] == pytest.approx(100.0)


def test_glycerin_added_and_glycerin_formed_are_one() -> None:
    """Glycerine that was weighed adds to what the fats set free."""
    plain, more = recipe_at({"olive oil": 9.0}), recipe_at({"olive oil": 9.0}, extra={"glycerine": 5.0})
    before, after = (
        next(one.grams for one in as_saponified(finished(recipe)) if one.name == "Glycerin") for recipe in (plain, more)
    )
    added = next(grams for item, grams in more.additives if item.name == "glycerine")
    assert after - before == pytest.approx(added, rel=1e-3)


def test_colours_stand_last_however_much_there_is() -> None:
    """A heavily coloured bar has its colours after what there is less of: they may stand in any order after all else."""
    recipe = recipe_at({"olive oil": 9.0}, extra={"ultramarines": 6.0, "titanium dioxide": 3.0, "sugar": 0.2})
    for listed in (as_charged(recipe), as_saponified(finished(recipe))):
        assert [one.in_eu for one in listed][-2:] == ["CI 77007", "CI 77891"]
        assert listed[-3].grams < listed[-1].grams


def test_what_has_no_name_stands_by_the_makers_own_and_says_so() -> None:
    """A fat known by its saponification value alone, and a liquid of the maker's own, want a name."""
    butter = of_saponification_alone("mystery butter", Figure(186.0, 180.0, 190.0))
    recipe = Recipe(((butter, 1000.0),), 120.0, 0.0, 200.0, ((liquids()["rose water"], 50.0),))
    wanting = [one.name for one in as_charged(recipe) if one.status == WANTING]
    assert wanting == ["mystery butter", "rose water"]
    ended = [one.name for one in as_saponified(finished(recipe)) if one.status == WANTING]
    assert ended == ["Sodium soap of mystery butter", "mystery butter", "rose water"]


def test_a_wax_without_a_name_for_its_soap_goes_by_its_own() -> None:
    """Candelilla wax is one line, its little soap with it, and the Union's name for it is another word."""
    wax, olive = reference().get("candelilla wax"), reference().get("olive oil")
    listed = as_saponified(finished(Recipe(((olive, 950.0), (wax, 50.0)), 120.0, 0.0, 250.0)))
    (found,) = [one for one in listed if "wax" in " ".join(one.of)]
    assert found.in_eu == "Candelilla Cera"
    assert found.grams == pytest.approx(50.0, rel=0.02)


def test_the_union_leaves_the_english_words_out() -> None:
    """Names in brackets are left out, and water is Aqua."""
    listed = as_charged(recipe_at({"olive oil": 9.0, "shea butter": 1.0}))
    assert [one.in_eu for one in listed] == [
        "Olea Europaea Fruit Oil",
        "Aqua",
        "Sodium Hydroxide",
        "Butyrospermum Parkii Butter",
    ]


@given(recipes(), st.randoms(use_true_random=False))
@settings(max_examples=examples(30))
def test_lists_descend_add_up_and_do_not_know_the_files_order(recipe: Recipe, shuffled: Random) -> None:
    """Both lists fall from line to line, colours aside, weigh what batch and bars weigh, and stay the same in any order of the file."""
    end = finished(recipe)
    for listed, whole in ((as_charged(recipe), batter_grams(recipe)), (as_saponified(end), end.grams)):
        plain = [one for one in listed if one.group != COLOUR]
        weights = [round(one.grams, 6) for one in plain]
        assert weights == sorted(weights, reverse=True)
        assert list(listed[: len(plain)]) == plain
        assert math.fsum(one.grams for one in listed) == pytest.approx(whole, rel=1e-9)
        assert math.fsum(one.share for one in listed) == pytest.approx(100.0)
        assert len({fold(one.name) for one in listed}) == len(listed)
    fats, extras = list(recipe.fats), list(recipe.additives)
    shuffled.shuffle(fats)
    shuffled.shuffle(extras)
    other = recipe._replace(fats=tuple(fats), additives=tuple(extras))
    assert names(as_charged(other)) == names(as_charged(recipe))
    assert names(as_saponified(finished(other))) == names(as_saponified(end))

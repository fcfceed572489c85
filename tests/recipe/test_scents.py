"""Allergens of scents: shares of the finished bar, and which are named."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples, recipe_at

from optimiser.materials.additives import additives, own_additive
from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.finished import finished
from optimiser.recipe.ingredients import ALLERGEN, as_charged, as_saponified
from optimiser.recipe.scents import Allergen, allergens, unstated


def scented(*scents: tuple[str, float, tuple[tuple[str, float], ...] | None]) -> Recipe:
    """A plain bar with scents: name, grams, what their papers state."""
    plain = recipe_at({"olive oil": 9.0, "coconut oil": 1.0})
    extras = tuple(
        (own_additive(name, additives()["essential oil"], None)._replace(allergens=stated), grams)
        for name, grams, stated in scents
    )
    return plain._replace(additives=extras)


def found(recipe: Recipe) -> dict[str, Allergen]:
    """The allergens of a recipe by name."""
    return {one.name: one for one in allergens(recipe, finished(recipe).grams)}


def test_orange_oil_by_hand() -> None:
    """Limonene that is 65 % of an oil at 3 % of a bar is 1.95 % of the bar, and is named."""
    (limonene,) = allergens(scented(("orange", 30.0, (("limonene", 65.0),))), 1000.0)
    assert limonene.share == pytest.approx(1.95)
    assert limonene.is_named
    assert limonene.is_known


def test_the_limit_is_a_ten_thousandth_of_what_is_rinsed_off() -> None:
    """0.01 % of the finished product, Regulation (EU) 2023/1545: what lies below is not named, what just reaches it is."""
    shares = {"linalool": 0.00999, "geraniol": 0.01, "citral": 0.0101}
    stated = tuple((name, share * 100.0) for name, share in shares.items())
    told = {one.name: one.is_named for one in allergens(scented(("oil", 10.0, stated)), 1000.0)}
    assert told == {"Linalool": False, "Geraniol": True, "Citral": True}


def test_one_allergen_of_two_scents_is_added_up() -> None:
    """Two scents below the limit are above it together; names and synonyms are one."""
    recipe = scented(("oil", 1.0, (("d-limonene", 0.8),)), ("other", 1.0, (("LIMONENE", 0.8),)))
    (limonene,) = allergens(recipe, 100.0)
    assert limonene.share == pytest.approx(0.016)
    assert limonene.of == ("oil", "other")
    assert limonene.is_named


def test_a_name_that_is_not_known_stands_as_it_is_written() -> None:
    """The supplier's paper may know more than the table: nothing that it states is lost."""
    told = found(scented(("oil", 20.0, (("Newly Found", 10.0),))))
    assert told["Newly Found"].is_named
    assert not told["Newly Found"].is_known


def test_named_allergens_stand_in_the_lists_and_add_no_weight() -> None:
    """An allergen is within its scent: the list names it at its own weight, and the whole stays the whole."""
    recipe = scented(("oil", 30.0, (("linalool", 40.0), ("coumarin", 0.001))))
    end = finished(recipe)
    within = [one.part() for one in allergens(recipe, end.grams) if one.is_named]
    for listed, whole in ((as_charged(recipe, within), None), (as_saponified(end, within), end.grams)):
        (linalool,) = [one for one in listed if one.group == ALLERGEN]
        assert linalool.name == "Linalool"
        assert linalool.grams == pytest.approx(12.0)
        if whole is not None:
            assert sum(one.grams for one in listed) == pytest.approx(whole + 12.0)


def test_scents_of_which_nothing_is_stated_are_told() -> None:
    """Silence is no statement: such a scent is asked about; salt is not."""
    recipe = scented(("oil", 30.0, None), ("other", 10.0, (("linalool", 1.0),)), ("third", 5.0, ()))
    recipe = recipe._replace(additives=(*recipe.additives, (additives()["salt"], 10.0)))
    assert list(unstated(recipe)) == ["oil"]


@given(st.floats(0.1, 100.0), st.floats(1.0, 50.0), st.floats(0.0, 0.3))
@settings(max_examples=examples(30))
def test_a_drier_bar_has_larger_shares(stated: float, grams: float, water: float) -> None:
    """The share is of the finished bar: with less water in it, it is no smaller."""
    recipe = scented(("oil", grams, (("linalool", stated),)))
    wet, dry = (found(recipe._replace(cured_water=held))["Linalool"].share for held in (water + 0.05, water))
    assert dry > wet

"""In what two bars differ, in a phrase."""

from __future__ import annotations

from optimiser.materials.fat import KINDS
from optimiser.measures.characters import changes, dearer, kind_words, of_kinds, of_measures, of_one_fat
from optimiser.measures.measures import measures

KIND_OF = {"palm oil": "hard oil", "lard": "hard oil", "shea butter": "butter", "olive oil": "liquid oil"}


def test_every_kind_has_its_words() -> None:
    """More and less of each kind of fat can be told, and differ."""
    assert set(kind_words()) == set(KINDS)
    assert all(more != less for more, less in kind_words().values())


def test_kinds_are_told_from_five_points_on_the_greatest_first() -> None:
    """What shifts between kinds by less is no character; of the others the greatest comes first."""
    first = {"palm oil": 60.0, "olive oil": 40.0}
    assert of_kinds({"palm oil": 56.0, "olive oil": 44.0}, first, KIND_OF) == ()
    assert of_kinds({"lard": 60.0, "olive oil": 40.0}, first, KIND_OF) == ()
    assert of_kinds({"palm oil": 40.0, "shea butter": 26.0, "olive oil": 34.0}, first, KIND_OF) == (
        "more butters",
        "fewer hard oils",
    )


def test_a_fat_is_told_that_no_other_blend_has_as_much_of() -> None:
    """Of fats that grow it is the one that tells this blend from the others; else the two that grow the most."""
    first = {"palm oil": 60.0, "olive oil": 40.0}
    this = {"palm oil": 20.0, "lard": 25.0, "tallow": 15.0, "olive oil": 40.0}
    assert of_one_fat(this, first, [first]) == ("lard for palm oil",)
    assert of_one_fat(this, first, [first, {"lard": 60.0, "olive oil": 40.0}]) == ("tallow for palm oil",)
    alike = {"palm oil": 20.0, "lard": 26.0, "tallow": 14.0, "olive oil": 40.0}
    assert of_one_fat(this, first, [first, alike]) == ("lard and tallow for palm oil",)
    assert of_one_fat(first, first, [this]) == ()
    many = {"palm oil": 36.0, "lard": 9.0, "tallow": 8.0, "shea butter": 7.0, "olive oil": 40.0}
    assert of_one_fat(many, first, [first, many]) == ("lard and tallow for palm oil",)


def test_a_fat_that_one_blend_has_not_counts_as_none() -> None:
    """Changes are in points, by name, of every fat of either blend."""
    assert dict(changes({"lard": 25.0, "olive oil": 40.0}, {"olive oil": 30.0, "palm oil": 35.0})) == {
        "lard": 25.0,
        "olive oil": 10.0,
        "palm oil": -35.0,
    }


def test_measures_are_told_by_how_sure_they_are() -> None:
    """A measure is told where it is felt (hardness +/- 7, rancidity 0.3), in the word of its side, three at the most."""
    beside = dict.fromkeys(measures(), 40.0) | {"rancidity": 1.0}
    assert of_measures(beside | {"hardness": 47.0, "rancidity": 1.3}, beside) == ()
    assert of_measures(beside | {"hardness": 30.0, "rancidity": 2.0}, beside) == ("goes rancid sooner", "softer")
    changed = beside | {"hardness": 75.0, "wear_life": 5.0, "scum": 52.0, "quick_lather": 60.0}
    assert of_measures(changed, beside) == ("wears away sooner", "harder", "lathers sooner")
    assert of_measures(beside | {"harshness": 46.0, "mildness": 34.0}, beside) == ("harsher",)
    assert of_measures(beside | {"hardness": float("nan")}, beside) == ()


def test_the_cost_in_words() -> None:
    """Whole per cents, tenths below one, and nothing where there is no difference to tell."""
    assert dearer(4.96) == "5 % dearer"
    assert dearer(0.34) == "0.3 % dearer"
    assert dearer(0.01) == "as cheap"
    assert dearer(-1.2) == "1 % cheaper"

"""What a goal can be set on, and the names it answers to."""

from __future__ import annotations

import pytest

from optimiser.materials.fatty_acids import acids
from optimiser.measures.measures import ACID_GROUPS, measures
from optimiser.measures.quantities import find_quantity, quantities


def test_every_measure_group_and_acid_can_be_a_goal() -> None:
    """The catalogue holds all bar measures, all groups of acids, all acids and the figures of the batch."""
    batch = {"superfat", "likely_superfat", "worst_case_superfat", "lye_concentration", "water_to_alkali"}
    batch |= {"water_share_of_fats", "potassium_share", "saponification_value", "iodine_value", "cost"}
    assert set(quantities()) == batch | set(measures()) | set(ACID_GROUPS) | set(acids())


@pytest.mark.parametrize(
    ("written", "id"),
    [
        ("quick lather", "quick_lather"),
        ("Quick_Lather", "quick_lather"),
        ("QUICK-LATHER", "quick_lather"),
        ("set-up", "set_up"),
        ("worst-case superfat", "worst_case_superfat"),
        ("c18:1", "C18:1"),
        ("C18:1-OH", "C18:1-OH"),
        ("oleic", "C18:1"),
        ("Oleic acid", "C18:1"),
        ("ricinoleic", "C18:1-OH"),
        ("octadecanoic acid", "C18:0"),
        ("linolenic acid", "linolenic"),
        ("alpha-linolenic acid", "C18:3"),
        ("short and medium saturated acids", "short_saturated"),
        ("polyunsaturated acids", "polyunsaturated"),
    ],
)
def test_names_a_maker_would_write(written: str, id: str) -> None:  # noqa: A002
    """Case, blanks, underscores and hyphens do not matter, and acids answer to their names."""
    found = find_quantity(written)
    assert found is not None
    assert found.id == id


@pytest.mark.parametrize("written", ["", "shine", "C99:0", "olive oil", "acid"])
def test_unknown_names_find_nothing(written: str) -> None:
    """What is no quantity is not guessed at."""
    assert find_quantity(written) is None


def test_every_quantity_finds_itself() -> None:
    """Every id and every wording leads to its own quantity, but for linolenic acid, which means all its isomers."""
    for quantity in quantities().values():
        assert find_quantity(quantity.id) is quantity
        assert find_quantity(quantity.words) is quantity


def test_every_quantity_is_told_in_one_sentence() -> None:
    """The text of a quantity is one sentence, with a capital and a full stop, since docs are made of it."""
    for quantity in quantities().values():
        assert quantity.about[0].isupper()
        assert quantity.about.endswith(".")
        assert ". " not in quantity.about


def test_units_and_scales() -> None:
    """Units are those of the goal file, and every scale is a step inside the range that may be asked for."""
    units = {quantity.unit for quantity in quantities().values()}
    assert units == {"index", "%", "mg KOH/g", "g I2/100 g", "ratio", "money"}
    for quantity in quantities().values():
        assert 0 < quantity.scale < quantity.highest - quantity.lowest
        for band in quantity.bands:
            assert all(end is None or quantity.lowest < end < quantity.highest for end in (band.low, band.high))


@pytest.mark.parametrize(
    ("id", "lowest", "highest"),
    [
        ("superfat", 0, 40),
        ("worst_case_superfat", -20, 40),
        ("lye_concentration", 10, 50),
        ("potassium_share", 0, 100),
        ("C12:0", 0, 100),
        ("hardness", -100, 200),
    ],
)
def test_what_may_be_asked_at_all(id: str, lowest: float, highest: float) -> None:  # noqa: A002
    """No negative superfat, no lye stronger than dissolves: the ends of what may be asked."""
    assert (quantities()[id].lowest, quantities()[id].highest) == (lowest, highest)


def test_cost_of_nothing_is_no_goal() -> None:
    """Money for a kilo is always more than nothing."""
    assert quantities()["cost"].lowest > 0


def test_steps_of_quantities_are_small_beside_their_range() -> None:
    """A small change is a step that a maker would take: from a hundredth to a tenth of what bars of soap span."""
    spans = {  # between a bar of olive oil alone and one of coconut oil alone, and what is usual of lye and superfat
        "superfat": 10.0,
        "lye_concentration": 20.0,
        "water_to_alkali": 2.0,
        "water_share_of_fats": 50.0,
        "saponification_value": 60.0,
        "iodine_value": 80.0,
        "C18:1": 70.0,
        "saturated": 80.0,
        "linolenic": 20.0,
    }
    for key, span in spans.items():
        assert 0.04 * span <= quantities()[key].scale <= 0.15 * span, key
    assert quantities()["cost"].scale == 0.5

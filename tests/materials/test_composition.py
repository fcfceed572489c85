"""From facts told of a fat to working figures, by small sums done by hand."""

from __future__ import annotations

from typing import Any

import pytest

from optimiser.materials.composition import (
    Composition,
    Fact,
    Figure,
    acid_range,
    density_at_40,
    inside,
    iodine_figure,
    middle,
    saponification_figure,
    typical_acids,
    unsaponifiable_figure,
)
from optimiser.materials.fatty_acids import fat_density, iodine_value, saponification_value

OLEIC = {"C18:1": 100.0}
PINNED = {"C18:1": (100.0, 100.0)}
TRIOLEIN = saponification_value(OLEIC)


def fact(**changes: Any) -> Fact:
    """A fact with a low and a high end."""
    given: dict[str, Any] = {
        "property": "C16:0",
        "low": 1.0,
        "high": 2.0,
        "unit": "%",
        "source": "a book",
        "locator": "",
        "how": "read",
    }
    return Fact(**(given | {"note": "", "alternative": False, "told_of": "oil"} | changes))


def made_of(unsaponifiable: Figure = Figure(0.0, 0.0, 0.0), *, free: bool = False) -> Composition:  # noqa: B008
    """Pure triolein, or pure oleic acid."""
    return Composition(OLEIC, PINNED, unsaponifiable, free)


def test_a_single_figure_is_a_tenth_wide_either_way() -> None:
    """One figure for an acid is a range of a tenth either way; two are taken as they stand; what is not told is open."""
    assert acid_range(fact(low=10.0, high=10.0)) == pytest.approx((9.0, 11.0))
    assert acid_range(fact(low=10.0, high=12.0)) == (10.0, 12.0)
    assert acid_range(fact(low=None, high=None)) == (0.0, 100.0)
    assert acid_range(fact(low=None, high=3.0)) == (0.0, 3.0)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(2.0, 4.0, 3.0), (None, 0.05, 0.0), (None, 0.06, 0.03), (0.02, 0.05, 0.035), (5.0, None, 5.0), (None, None, 0.0)],
)
def test_the_middle_of_what_is_told(low: float | None, high: float | None, expected: float) -> None:
    """The middle of the range; an acid that is not detectable is none."""
    assert middle(fact(low=low, high=high)) == pytest.approx(expected)


def test_a_profile_is_scaled_where_its_ranges_allow() -> None:
    """40 and 40 become 50 and 50 where both may; shares outside their range are first brought to its end."""
    wide = {"a": (0.0, 60.0), "b": (0.0, 60.0)}
    assert typical_acids({"a": 40.0, "b": 40.0}, wide) == pytest.approx({"a": 50.0, "b": 50.0})
    assert typical_acids({"a": 90.0, "b": 20.0}, {"a": (0.0, 80.0), "b": (0.0, 60.0)}) == {"a": 80.0, "b": 20.0}


def test_what_is_missing_is_given_by_room() -> None:
    """Where scaling would leave a range each acid gives or takes in proportion to the room it has, absent ones nothing."""
    short = typical_acids({"a": 40.0, "b": 40.0}, {"a": (0.0, 45.0), "b": (0.0, 75.0)})
    assert short == pytest.approx({"a": 40.0 + 20.0 * 5.0 / 40.0, "b": 40.0 + 20.0 * 35.0 / 40.0})
    long = typical_acids({"a": 60.0, "b": 60.0}, {"a": (55.0, 70.0), "b": (25.0, 70.0)})
    assert long == pytest.approx({"a": 60.0 - 20.0 * 5.0 / 40.0, "b": 60.0 - 20.0 * 35.0 / 40.0})
    absent = typical_acids({"a": 40.0, "b": 40.0, "c": 0.0}, {"a": (0.0, 45.0), "b": (0.0, 75.0), "c": (0.0, 9.0)})
    assert absent["c"] == 0.0


def test_ranges_that_leave_no_profile_are_scaled_over() -> None:
    """Where all acids at their ends do not make a whole, the whole is made in proportion, outside the ranges."""
    narrow = {"a": (0.0, 40.0), "b": (0.0, 40.0)}
    scaled = typical_acids({"a": 40.0, "b": 30.0}, narrow)
    assert scaled == pytest.approx({"a": 400.0 / 7.0, "b": 300.0 / 7.0})
    assert not inside(scaled, narrow)
    just = typical_acids({"a": 30.0, "b": 40.0}, {"a": (0.0, 55.0), "b": (0.0, 45.0)})
    assert just == pytest.approx({"a": 55.0, "b": 45.0})


@pytest.mark.parametrize(
    ("told", "ends", "typical", "figure", "remark"),
    [
        (fact(low=5.0, high=15.0), (None, None), None, Figure(10.0, 5.0, 15.0), False),
        (fact(low=None, high=15.0), (None, None), None, Figure(7.5, 0.0, 15.0), True),
        (fact(low=None, high=15.0), (None, None), 3.0, Figure(3.0, 0.0, 15.0), False),
        (fact(low=5.0, high=15.0), (1.0, None), None, Figure(8.0, 1.0, 15.0), False),
        (fact(low=5.0, high=15.0), (0.0, 20.0), None, Figure(10.0, 0.0, 20.0), True),
        (None, (None, None), None, Figure(0.0, 0.0, 0.0), False),
        (None, (2.0, 6.0), None, Figure(4.0, 2.0, 6.0), False),
    ],
)
def test_unsaponifiables(
    told: Fact | None,
    ends: tuple[float | None, float | None],
    typical: float | None,
    figure: Figure,
    remark: bool,  # noqa: FBT001
) -> None:
    """The middle of the range, or a typical figure; half of a maximum that stands alone is said to be our judgement."""
    found, said = unsaponifiable_figure(told, ends=ends, typical=typical)
    assert found == figure
    assert bool(said) is remark
    if remark:
        assert f"({figure.high:g} g/kg)" in said


def test_the_working_value_comes_from_the_acids() -> None:
    """Triolein less its unsaponifiables, its ends where those have theirs; inside the published range nothing is said."""
    unsaponifiable = Figure(10.0, 5.0, 20.0)
    found, said = saponification_figure(made_of(unsaponifiable), (150.0, 250.0), ends="acids")
    assert found.value == pytest.approx(0.990 * TRIOLEIN)
    assert (found.low, found.high) == pytest.approx((0.980 * TRIOLEIN, 0.995 * TRIOLEIN))
    assert said == ""
    published, _ = saponification_figure(made_of(unsaponifiable), (150.0, 250.0), ends="published")
    assert (published.low, published.high) == (150.0, 250.0)
    narrow, _ = saponification_figure(made_of(unsaponifiable), (0.985 * TRIOLEIN, 250.0), ends="acids")
    assert narrow.low == pytest.approx(0.985 * TRIOLEIN)
    open_end, _ = saponification_figure(made_of(unsaponifiable), (None, None), ends="acids")
    assert (open_end.low, open_end.high) == pytest.approx((found.low, found.high))


@pytest.mark.parametrize(("published", "end"), [((200.0, 210.0), 200.0), ((150.0, 180.0), 180.0)])
def test_acids_that_no_published_value_knows_give_way(published: tuple[float, float], end: float) -> None:
    """Where acids and sources share no figure the published range stands, its nearer end is used, and it is said."""
    found, said = saponification_figure(made_of(), published, ends="acids")
    assert (found.low, found.high) == published
    assert found.value == end
    assert f"{TRIOLEIN:.1f}" in said
    assert f"{published[0]:g}-{published[1]:g}" in said


def test_free_acids_count_as_acids() -> None:
    """Pure oleic acid has the acid value of oleic acid, 56106/282.47 (IUPAC 2021 atomic weights)."""
    found, _ = saponification_figure(made_of(free=True), (150.0, 250.0), ends="acids")
    assert found.value == pytest.approx(56106.0 / 282.468, rel=1e-4)
    assert found.value == pytest.approx(found.low) == pytest.approx(found.high)


@pytest.mark.parametrize(
    ("published", "low", "value", "high"),
    [
        ((None, None), 0.0, 0.0, 0.0),
        ((80.0, 90.0), 80.0, 0.0, 90.0),
        ((90.0, 100.0), 90.0, 90.0, 100.0),
        ((None, 80.0), 80.0, 80.0, 80.0),
        ((None, 100.0), 0.0, 0.0, 100.0),
        ((95.0, None), 95.0, 95.0, 95.0),
        ((80.0, None), 80.0, 0.0, 0.0),
    ],
)
def test_iodine_value_held_inside_its_range(
    published: tuple[float | None, float | None], low: float, value: float, high: float
) -> None:
    """The acids' own iodine value, held inside the published range; an end that is not told is the acids' own (0 here)."""
    own = iodine_value(OLEIC)
    assert 85.0 < own < 87.0  # triolein: 86 (AOCS Cd 1c-85)
    found, said = iodine_figure(made_of(), published)
    assert (found.low, found.value, found.high) == pytest.approx((low or own, value or own, high or own))
    assert bool(said) is (value != 0.0)


def test_densities_that_are_told_and_believed() -> None:
    """A relative density is times water's at its own temperature, less 0.00068 a kelvin to 40 degC."""
    sv, iv = 190.0, 85.0
    expected = fat_density(sv, iv, 40.0)
    for water, density in (("15.5", 0.9990), ("20", 0.9982), ("25", 0.9970)):
        relative = (expected + 0.00068 * (40.0 - 20.0) + 0.004) / density
        told = fact(low=relative - 0.001, high=relative + 0.001, note=f"x=20 degC / water {water} degC")
        assert density_at_40(told, sv, iv) == pytest.approx(expected + 0.004)
        far = fact(low=relative + 0.005, high=relative + 0.005, note=told.note)
        assert density_at_40(far, sv, iv) == expected
    assert density_at_40(fact(low=None, high=0.9, note="x=20 degC / water 20 degC"), sv, iv) == expected

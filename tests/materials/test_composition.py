"""From facts told of a fat to working figures, by small sums done by hand."""

from __future__ import annotations

from typing import Any

import pytest

from optimiser.materials.composition import (
    NEAREST,
    NEAREST_UNCERTAIN,
    Composition,
    Fact,
    Figure,
    acid_range,
    acid_value_figure,
    density_at_40,
    inside,
    iodine_figure,
    middle,
    saponification_figure,
    typical_acids,
    unsaponifiable_figure,
    widened,
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
    """Triolein less its typical unsaponifiables; inside the published range nothing is said."""
    found, said = saponification_figure(made_of(Figure(10.0, 5.0, 20.0)), (150.0, 250.0))
    assert found == pytest.approx((0.990 * TRIOLEIN, 150.0, 250.0))
    assert said == ""


@pytest.mark.parametrize(
    ("published", "low", "high"),
    [
        ((150.0, 250.0), 150.0, 250.0),  # the published range reaches further on both sides
        ((0.985 * TRIOLEIN, 0.999 * TRIOLEIN), 0.96 * TRIOLEIN, TRIOLEIN),  # the acids reach further
        ((150.0, 0.999 * TRIOLEIN), 150.0, TRIOLEIN),
        ((None, None), 0.96 * TRIOLEIN, TRIOLEIN),
        ((None, 250.0), 0.96 * TRIOLEIN, 250.0),
    ],
)
def test_an_end_is_the_further_of_what_is_published_and_what_the_acids_reach(
    published: tuple[float | None, float | None], low: float, high: float
) -> None:
    """The low end is the lower of the published one and of the acids' least, less the most unsaponifiables; high mirrored."""
    matter = Figure(10.0, 0.0, 40.0)
    found, _ = saponification_figure(made_of(matter), published, nearest=0.001)
    assert found.low == pytest.approx(low)
    assert found.high == pytest.approx(high)


@pytest.mark.parametrize("nearest", [NEAREST, NEAREST_UNCERTAIN, 0.03])
def test_an_end_never_comes_near_the_working_value(nearest: float) -> None:
    """Where published range and acids are pinned to one value, the ends still lie the given share of it away."""
    found, _ = saponification_figure(made_of(), (TRIOLEIN, TRIOLEIN), nearest=nearest)
    assert found == pytest.approx((TRIOLEIN, (1 - nearest) * TRIOLEIN, (1 + nearest) * TRIOLEIN))
    wax = acid_value_figure((20.0, 20.0), nearest=nearest)
    assert wax == pytest.approx((20.0, 20.0 * (1 - nearest), 20.0 * (1 + nearest)))
    assert acid_value_figure((17.0, 24.0), nearest=nearest) == pytest.approx((20.5, 17.0, 24.0))
    assert (NEAREST, NEAREST_UNCERTAIN) == (0.01, 0.02)


def test_a_working_value_is_never_raised_to_what_is_published() -> None:
    """Acids under the lowest published value are worked with as they are, and it is said; both reach into the worst case."""
    found, said = saponification_figure(made_of(), (200.0, 210.0))
    assert found == pytest.approx((TRIOLEIN, 0.99 * TRIOLEIN, 210.0))
    assert f"{TRIOLEIN:.1f}, under the lowest published, 200" in said


def test_a_working_value_is_brought_down_to_what_is_published() -> None:
    """Acids over the highest published value give way to it, and it is said."""
    found, said = saponification_figure(made_of(), (150.0, 180.0))
    assert (found.value, found.low) == (180.0, 150.0)
    assert found.high == pytest.approx(TRIOLEIN)
    assert f"{TRIOLEIN:.1f}, over the highest published, 180" in said


@pytest.mark.parametrize(("matter", "counted"), [(20.0, False), (20.1, True), (75.0, True)])
def test_a_measured_value_counts_where_much_is_unsaponifiable(matter: float, counted: bool) -> None:  # noqa: FBT001
    """Over 20 g/kg a measured value is worked with, and the published range alone bounds it; else the acids decide."""
    of = made_of(Figure(matter, 0.0, 190.0))
    found, said = saponification_figure(of, (170.0, 192.0), measured=181.0)
    acids = (1 - matter / 1000) * TRIOLEIN
    assert found.value == pytest.approx(181.0 if counted else acids)
    assert found.low == pytest.approx(170.0 if counted else 0.81 * TRIOLEIN)
    assert ("that of real lots" in said) is counted
    capped, _ = saponification_figure(of, (170.0, 180.0), measured=181.0)
    assert capped.value == 180.0 or not counted
    unbounded, _ = saponification_figure(of, (None, 192.0), measured=181.0)
    assert unbounded.low == pytest.approx(0.81 * TRIOLEIN)


def test_much_unsaponifiable_matter_without_a_measured_value_is_told() -> None:
    """Over 20 g/kg and nothing measured: the acids are worked with, and it is said that lots may take more."""
    found, said = saponification_figure(made_of(Figure(30.0, 20.0, 40.0)), (150.0, 250.0))
    assert found.value == pytest.approx(0.97 * TRIOLEIN)
    assert "no measured saponification value" in said


def test_free_acids_count_as_acids() -> None:
    """Pure oleic acid has the acid value of oleic acid, 56106/282.47 (IUPAC 2021 atomic weights)."""
    found, _ = saponification_figure(made_of(free=True), (None, None))
    assert found.value == pytest.approx(56106.0 / 282.468, rel=1e-4)
    assert (found.low, found.high) == pytest.approx((0.99 * found.value, 1.01 * found.value))


def test_a_measured_oil_widens_the_ranges() -> None:
    """A typical share outside its range moves that end, and no other."""
    assert widened({"a": (1.0, 2.0), "b": (3.0, 4.0), "c": (5.0, 6.0)}, {"a": 0.5, "b": 3.5, "c": 7.0}) == {
        "a": (0.5, 2.0),
        "b": (3.0, 4.0),
        "c": (5.0, 7.0),
    }


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

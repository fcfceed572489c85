"""How far under the working value lots lie: classes, rows of the table, and how the worst case holds the likely one."""

from __future__ import annotations

import pytest

from optimiser.materials.composition import Figure
from optimiser.materials.fat_table import reference
from optimiser.materials.lots import CLASSES, PER_CENT, Known, class_of, holding, spread_of
from optimiser.reference import rows

NAMES = reference().names()
TOLD = {row["about"]: row for row in rows("lot_spreads")}
PLAIN = Known("liquid oil", frozenset(), {"C18:1": 80.0, "C20:1": 19.9}, 20.0, few_samples=False, recalled=False)
WORST = Figure(200.0, 150.0, 230.0)


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        (PLAIN, "read"),
        (PLAIN._replace(recalled=True), "recalled"),
        (PLAIN._replace(recalled=True, acids={"C18:1": 80.0, "C22:1": 20.0}), "long chains"),
        (PLAIN._replace(tags=frozenset({"animal", "beef"}), recalled=True), "animal fat"),
        (PLAIN._replace(tags=frozenset({"lauric", "palm"}), recalled=True), "lauric"),
        (PLAIN._replace(unsaponifiable=20.1, tags=frozenset({"lauric"})), "much unsaponifiable"),
        (PLAIN._replace(few_samples=True, unsaponifiable=30.0, tags=frozenset({"animal"})), "few samples"),
        (PLAIN._replace(kind="fatty acid", recalled=True, tags=frozenset({"lauric"})), "fatty acid"),
        (PLAIN._replace(kind="wax", unsaponifiable=500.0, tags=frozenset({"animal"})), "wax"),
    ],
)
def test_the_first_class_that_fits(known: Known, expected: str) -> None:
    """What says more about how lots scatter stands first; nothing else is a fat whose acids were read."""
    assert class_of(known) == expected


@pytest.mark.parametrize(
    ("name", "known", "spread"),
    [
        ("no such oil", PLAIN, 0.008 * 200.0),
        ("no such oil", PLAIN._replace(few_samples=True), 0.025 * 200.0),
        ("no such wax", PLAIN._replace(kind="wax"), 50.0),  # as far as the published low end
        ("sunflower oil", PLAIN, 0.9),  # mg KOH/g, whatever the class
        ("milk fat", PLAIN, 0.035 * 200.0),
    ],
)
def test_a_spread_is_the_rows_own_or_its_class_s(name: str, known: Known, spread: float) -> None:
    """A fat's own row stands before its class's, in mg KOH/g or in per cent, and the sentence carries figure and reason."""
    found, said = spread_of(name, known, WORST)
    assert found == pytest.approx(spread)
    assert f"{spread:.1f} mg KOH/g" in said
    assert (TOLD.get(name) or TOLD[class_of(known)])["note"] in said


def test_ends_are_moved_out_where_lots_lie_further() -> None:
    """The worst case is never narrower than the likely spread, and never narrowed by it."""
    assert holding(Figure(200.0, 199.0, 205.0), 3.0) == (200.0, 197.0, 205.0)
    assert holding(Figure(200.0, 190.0, 201.0), 3.0) == (200.0, 190.0, 203.0)


@pytest.mark.parametrize("name", NAMES)
def test_no_fat_scatters_further_than_its_worst_case(name: str) -> None:
    """The likely spread is positive and lies within the low end; the low end is at least 1 % away, and the notes tell both."""
    fat = reference().get(name)
    away = fat.saponification.value - fat.saponification.low
    assert 0 < fat.spread <= away + 1e-9
    assert away >= 0.01 * fat.saponification.value - 1e-9
    assert fat.saponification.high - fat.saponification.value >= 0.01 * fat.saponification.value - 1e-9
    assert sum("Likely spread of lots" in note for note in fat.notes) == 1


@pytest.mark.parametrize(
    ("name", "thin"),
    [
        ("apricot kernel oil", True),  # an abstract
        ("perilla oil", True),  # an abstract
        ("goose fat", True),  # one figure each
        ("chia seed oil", True),  # few samples by its row
        ("walnut oil", False),  # ranges of a standard, read
        ("castor oil", False),  # the typical acids are an abstract's, the ranges a monograph's
    ],
)
def test_fats_known_from_an_abstract_scatter_widely(name: str, thin: bool) -> None:  # noqa: FBT001
    """Where most acids are told by an abstract, as one figure or of few samples, lots may lie 2.5 % under, else less."""
    fat = reference().get(name)
    assert (fat.spread == pytest.approx(0.025 * fat.saponification.value)) is thin
    assert any("few samples" in note for note in fat.notes) is thin


@pytest.mark.parametrize("name", [name for name in NAMES if name not in TOLD and reference().get(name).kind != "wax"])
def test_what_is_known_from_few_or_from_memory_is_never_taken_for_sure(name: str) -> None:
    """Without measured lots a spread is 0.8 to 2.5 % of the value; where acids are recalled the worst case is 2 % away."""
    fat = reference().get(name)
    assert 0.008 - 1e-9 <= fat.spread / fat.saponification.value <= 0.025 + 1e-9
    shares = {fact.property: fact.how for fact in fat.facts if not fact.alternative}
    recalled = sum(share for acid, share in fat.acids.items() if shares.get(acid) == "memory")
    away = 1 - fat.saponification.low / fat.saponification.value
    assert away >= (0.02 if recalled > 99.0 else 0.01) - 1e-9


def test_the_table_tells_of_fats_and_classes_and_nothing_else() -> None:
    """Each row is a fat's or a class's, every class has one, and each says source, status and why; units are two."""
    assert set(CLASSES) <= set(TOLD) <= set(CLASSES) | set(NAMES)
    for row in TOLD.values():
        assert row["source"]
        assert row["note"].endswith((".", ")."))
        assert row["status"] in {"read", "memory", "computed", "prior"}
        assert row["unit"] in {PER_CENT, "mg KOH/g"}
        assert row["about"] == "wax" or float(row["spread"]) > 0
    assert all(TOLD[name]["unit"] == PER_CENT for name in CLASSES if name != "wax")

"""The spread of lots: what strays together adds up, what strays alone adds as the root of squares; tangents hold everywhere."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import examples, shelf_of

from optimiser.materials.additives import additives
from optimiser.materials.alkali import demand
from optimiser.materials.fat import like
from optimiser.materials.fat_table import reference
from optimiser.model.columns import LOT_SPREAD, Columns
from optimiser.model.lot_spread import LotSpread
from optimiser.problem.batch import Batch

OLIVE = reference().get("olive oil")
SPREADS = st.lists(st.tuples(st.integers(0, 4), st.floats(0.0, 3.0)), min_size=1, max_size=9)


def columns() -> Columns:
    """Olive oil, an infusion of it and coconut oil, alkali that may be purer, and vinegar."""
    shelf = shelf_of({"olive oil": 7.0, "coconut oil": 3.0}, potassium=True)
    infused = shelf.fats[0]._replace(fat=like(OLIVE, name="our infusion"))
    alkalis = {name: item._replace(tolerance=0.015) for name, item in shelf.alkalis.items()}
    shelf = shelf._replace(fats=(*shelf.fats, infused), alkalis=alkalis)
    stocked = tuple(sorted(shelf.fats, key=lambda item: item.fat.name))
    return Columns(stocked, (additives()["vinegar"],), shelf, Batch())


def lots(drawn: list[tuple[int, float]]) -> LotSpread:
    """A cone over some columns and its norm, which comes last."""
    group = np.array([place for place, _ in drawn] + [9], dtype=np.intp)
    return LotSpread(len(drawn), group, np.array([weight for _, weight in drawn] + [0.0]))


def test_fats_of_one_base_stray_together_and_others_alone() -> None:
    """Olive and its infusion add up; coconut, the alkali and the vinegar come in as the root of the sum of squares."""
    made = columns()
    shares = {"olive oil": 0.5, "our infusion": 0.2, "coconut oil": 0.3, "sodium hydroxide": 0.14, "vinegar": 0.1}
    point = made.zeros()
    for name, share in shares.items():
        point[made.index[name]] = share
    by_name = {fat.name: demand(fat.spread) for fat in made.fats}
    olive = 0.5 * by_name["olive oil"] + 0.2 * by_name["our infusion"]
    vinegar = additives()["vinegar"]
    weaker = 0.1 * (vinegar.alkali_mol_per_kg - vinegar.alkali_low_mol_per_kg)
    purer = 0.14 / 0.039997 * (0.995 / 0.98 - 1.0)
    assert weaker > 0.0
    expected = math.sqrt(olive**2 + (0.3 * by_name["coconut oil"]) ** 2 + weaker**2 + purer**2)
    assert made.lot_spread.length(point) == pytest.approx(expected, rel=1e-12)
    assert made.lot_spread.lifted(point)[made.index[LOT_SPREAD]] == pytest.approx(expected, rel=1e-12)


@settings(max_examples=examples(100))
@given(SPREADS, st.integers(0, 2**32 - 1))
def test_a_tangent_holds_for_every_blend(drawn: list[tuple[int, float]], seed: int) -> None:
    """Wherever it is laid, no point of the cone is cut off by it, and at its own blend it is tight."""
    cone, rng = lots(drawn), np.random.default_rng(seed)
    point = np.append(rng.uniform(0.0, 1.0, len(drawn)), 0.0)
    assume(cone.length(point) > 0.0)
    row = cone.tangent(cone.direction(point), len(point))
    assert float(row @ cone.lifted(point)) == pytest.approx(0.0, abs=1e-10)
    for _ in range(5):
        other = cone.lifted(np.append(rng.uniform(0.0, 1.0, len(drawn)), 0.0))
        assert float(row @ other) >= 0.0


@settings(max_examples=examples(50))
@given(SPREADS, st.integers(0, 2**32 - 1))
def test_a_part_of_the_columns_has_the_same_cone(drawn: list[tuple[int, float]], seed: int) -> None:
    """Of the columns that are left out nothing is used, so the norm is that of the whole; columns may come in behind."""
    cone, rng = lots(drawn), np.random.default_rng(seed)
    width = len(drawn) + 3
    kept = np.flatnonzero(rng.random(width) < 0.6)
    kept = np.unique(np.append(kept, cone.norm))
    point = np.zeros(width)
    point[kept] = rng.uniform(0.0, 1.0, len(kept))
    part = cone.on(kept, width)
    assert part.length(point[kept]) == pytest.approx(cone.length(point), abs=1e-15)
    assert kept[part.norm] == cone.norm

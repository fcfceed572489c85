"""Pieces of levers that level off: which is laid, that its rows keep to it, and that a blend claims no more."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import at_least, at_most, exactly, examples, sheet_of, shelf_of

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.measures.measures import levers
from optimiser.model.pieces import Piece, Pull, curves, ends, least_pulls, piece_of
from optimiser.model.programme import build
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.goals import GoalSheet
from optimiser.problem.limits import Limit
from optimiser.recipe.bar_values import along

SALT = levers("hardness").curves["salt"]
PRICES = {"olive oil": 7.0, "coconut oil": 3.0, "beeswax": 1.0}
EXTRA = {"sodium lactate": 0.2, "salt": 0.1, "sugar": 0.5}


def amount(name: str, side: str, value: float, unit: str = "%") -> Limit:
    """A limit on an additive."""
    made = {"at_least": at_least, "at_most": at_most, "exactly": exactly}[side](name, value, "additive")
    return made._replace(unit=unit)


def blend(sheet: GoalSheet) -> Blend:
    """The blend of a sheet over a small shelf on which what levels off is cheap."""
    found = answer_for(sheet, shelf_of(PRICES, extra=EXTRA))
    assert isinstance(found, Blend)
    return found


@pytest.mark.parametrize(
    ("least", "low", "high"),
    [(0.0, 0, 3), (2.9, 0, 3), (3.0, 3, 20), (19.0, 3, 20), (20.0, 20, math.inf), (80.0, 20, math.inf)],
)
def test_the_piece_that_the_least_begins_in_is_laid(least: float, low: float, high: float) -> None:
    """Salt has three pieces: in the lye, on the way to a salt bar, and level as one."""
    found = piece_of(SALT, least)
    assert (found.low, found.high) == (low, high)


@given(st.floats(0.0, 100.0), st.sampled_from(sorted(curves())))
def test_a_piece_is_the_curve_within_its_ends(amount_told: float, lever: str) -> None:
    """Slope and constant of the piece give at any amount in it what the judge reads off the curve."""
    for name in ("hardness", "set_up", "quick_lather", "scum", "ash_risk"):
        curve = levers(name).curves.get(lever, ((0.0, 0.0), (1.0, 0.0)))
        piece = piece_of(curve, amount_told)
        assert piece.low <= amount_told
        assert piece.constant + piece.slope * amount_told == pytest.approx(along(curve, amount_told), abs=1e-9)


def test_levels_are_level() -> None:
    """Beyond the last knot nothing moves any more."""
    for lever, curve in curves().items():
        assert piece_of(curve, curve[-1][0]) == Piece(curve[-1][0], math.inf, 0.0, curve[-1][1]), lever


def pulled(sheet: GoalSheet, lever: str, *names: str) -> Pull:
    """What a sheet asks of a lever."""
    fats = [reference().get(name) for name in PRICES]
    every = {**additives(), **liquids()}
    return least_pulls(sheet, fats, [every[name] for name in names])[lever]


@pytest.mark.parametrize(
    ("limit", "least", "sure"),
    [
        (amount("salt", "at_least", 4.0), 4.0, True),
        (amount("salt", "exactly", 25.0), 25.0, True),
        (amount("salt", "at_most", 25.0), 0.0, True),
        (amount("salt", "at_least", 45.0, "g/kg"), 4.5, True),
        (amount("salt", "at_least", 50.0, "g"), 2.5, True),
    ],
)
def test_what_is_asked_at_the_least(limit: Limit, least: float, sure: bool) -> None:  # noqa: FBT001
    """A share, grams for a kilo and grams of a batch of 2 kg come to per cent of the fats; an end from above asks nothing."""
    sheet = sheet_of(additives=(limit,), batch=Batch(fats_kg=2.0))
    assert pulled(sheet, "salt", "salt") == pytest.approx((least, sure))


def test_grams_of_a_batch_of_bars_are_estimated() -> None:
    """Where the fats are not told, grams are about a share: both ends of the piece become rows."""
    sheet = sheet_of(additives=(amount("salt", "exactly", 300.0, "g"),), batch=Batch(fats_kg=None, bars=10))
    found = pulled(sheet, "salt", "salt")
    assert found == pytest.approx((40.0, False))
    assert list(ends({"salt": found}, ["salt"])) == [("salt", "at_least", 20.0)]
    loaf = sheet._replace(batch=Batch(fats_kg=None, mould=Mould(30.0, 10.0, 10.0)))
    assert pulled(loaf, "salt", "salt").least == pytest.approx(300.0 / 1.95 / 10.0)
    pot = sheet._replace(batch=Batch(fats_kg=None, batter_kg=4.0))
    assert pulled(pot, "salt", "salt").least == pytest.approx(300.0 / 2.8 / 10.0)


def test_sugar_of_liquids_counts_with_sugar() -> None:
    """A liquid's share of the jug is estimated, and its sugar pulls the lever of sugar."""
    sheet = sheet_of(additives=(amount("sugar", "at_least", 1.0),), liquids=(exactly("goat milk", 50.0, "liquid"),))
    found = pulled(sheet, "sugar", "sugar", "goat milk")
    assert found.least == pytest.approx(1.0 + 14.0 * liquids()["goat milk"].sugar_fraction)
    assert not found.sure


@pytest.mark.parametrize(
    ("limits", "least"),
    [
        ((at_least("beeswax", 3.0, "fat"),), 3.0),
        ((at_least("waxes", 4.0, "kind"),), 4.0),
        ((at_least("bee", 5.0, "tag"),), 5.0),
        ((at_least("olive oil", 30.0, "fat"),), 0.0),
        ((at_most("beeswax", 3.0, "fat"),), 0.0),
    ],
)
def test_waxes_asked_for_at_the_least(limits: tuple[Limit, ...], least: float) -> None:
    """A limit that only hard waxes can meet says how much of them there is at the least."""
    assert pulled(sheet_of(shares=limits), "hard waxes").least == pytest.approx(least)


def test_more_lactate_than_is_known_is_not_claimed() -> None:
    """With practice off and up to 5 % of cheap lactate allowed, the blend keeps within 3 %, and the judge agrees."""
    found = blend(sheet_of(at_least("hardness", 57.0), additives=(amount("sodium lactate", "at_most", 5.0),)))
    (line,) = found.additives
    assert line.share == pytest.approx(3.0, abs=1e-6)
    made = build(sheet_of(additives=(amount("salt", "at_most", 5.0),)), shelf_of(PRICES, extra=EXTRA))
    rows = {row.figure: str(row.said) for row in made.rows if row.origin == "physics"}
    assert rows["salt"] == "salt within 3 % of the fats, as far as its effect is known"


def test_a_salt_bar_is_laid_as_one() -> None:
    """From 20 % of salt on its level figures are the model's, and more of it promises nothing more."""
    wishes = (
        at_least("hardness", 66.0),
        at_least("quick_lather", 38.0),
        at_least("set_up", 75.0),
        exactly("superfat", 18.0),
    )
    coconut = (at_least("coconut oil", 85.0, "fat"),)
    found = blend(
        sheet_of(*wishes, shares=coconut, additives=(amount("salt", "at_least", 40.0), amount("salt", "at_most", 60.0)))
    )
    assert found.figures["hardness"] > 66.0
    assert found.figures["ash_risk"] >= 0.0


def test_waxes_beyond_two_per_cent_harden_no_more() -> None:
    """With practice off, hardness is not bought with ever more beeswax; asked for at 5 % it counts as 2 %."""
    free = blend(sheet_of(at_least("hardness", 60.0)))
    assert {line.fat: line.share for line in free.fats}.get("beeswax", 0.0) <= 2.0 + 1e-6
    asked = blend(sheet_of(at_least("hardness", 60.0), shares=(exactly("beeswax", 5.0, "fat"),)))
    assert {line.fat: line.share for line in asked.fats}["beeswax"] == pytest.approx(5.0)


@settings(max_examples=examples(15), deadline=None)
@given(
    st.floats(0.0, 40.0),
    st.sampled_from(("sodium lactate", "salt", "sugar")),
    st.sampled_from(("hardness", "set_up", "quick_lather", "ash_risk")),
)
def test_model_and_judge_agree_on_any_least(least: float, name: str, measure: str) -> None:
    """Whatever is asked of an additive at the least, the blend is told only if model and judge agree on every wish."""
    wished = (at_least(name, least, "additive"), at_most(name, least + 20.0, "additive"))
    limits = (at_most(measure, 300.0), at_least("hardness", 40.0))
    assert answer_for(sheet_of(*limits, additives=wished), shelf_of(PRICES, extra=EXTRA)) is not None


def test_pieces_do_not_outlive_their_columns() -> None:
    """A lever that nothing on the shelf or in the file pulls has no row."""
    made = build(sheet_of(), shelf_of({"olive oil": 7.0}))
    assert made.columns.levers_in_play == ()
    assert replace(made.columns, additives=(additives()["salt"],)).levers_in_play == ("salt",)

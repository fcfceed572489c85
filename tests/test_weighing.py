"""From shares to grams: what rounding may and may not do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Bar, at_least, at_most, bars, exactly, examples, limit, recipe_at, sheet_of, shelf_of

from optimiser.answer import answer_for
from optimiser.batch import Batch, Mould
from optimiser.cheapest import solve
from optimiser.programme import Programme, build
from optimiser.recipe import judge
from optimiser.rows import Row, Side
from optimiser.story import Blend
from optimiser.text.diagnostics import BadInput
from optimiser.weighing import breakage, exact_grams, fats_for, neighbours, recipe_of, rounded_fats, steps

SHELF = shelf_of(
    {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0},
    extra={"citric acid": 5.0, "salt": 0.6},
    potassium=True,
)


def found(bar: Bar, batch: Batch) -> Blend:
    """The answer for a batch."""
    blend = answer_for(replace(bar.sheet, batch=batch), bar.shelf)
    assert isinstance(blend, Blend)
    return blend


batches = st.sampled_from(
    (
        Batch(fats_kg=0.35),
        Batch(fats_kg=1.0),
        Batch(fats_kg=12.0),
        Batch(fats_kg=2.5, scale_g=5.0),
        Batch(fats_kg=None, bars=36, cured_weight_kg=0.11),
        Batch(fats_kg=None, mould=Mould(30.0, 9.0, 7.0)),
    )
)


@settings(max_examples=examples(40))
@given(bars(most_fats=7), batches)
def test_alkali_is_never_rounded_up(bar: Bar, batch: Batch) -> None:
    """Whatever the batch and the balance, the recipe weighed is never leaner in superfat than the exact one."""
    blend = found(bar, batch)
    assert blend.weighed.superfat >= blend.alkali.superfat - 1e-6
    step = blend.recipe.sodium_hydroxide / (batch.scale_g or 0.1)
    assert step == pytest.approx(round(step), abs=1e-6)


@settings(max_examples=examples(40))
@given(bars(most_fats=7), batches)
def test_no_fat_strays_from_the_exact_blend(bar: Bar, batch: Batch) -> None:
    """Every fat weighed is within two steps of the balance of the exact blend, and so are all together."""
    blend = found(bar, batch)
    lines = {line.fat: line for line in blend.fats}
    assert all(abs(line.to_weigh - line.grams) <= 2.0 * blend.step_grams + 1e-6 for line in lines.values())
    small = sum(line.grams < blend.step_grams for line in lines.values())
    exact = sum(line.grams for line in lines.values())
    assert abs(blend.recipe.fat_grams - exact) <= (1.5 + small) * blend.step_grams + 1e-6
    assert sum(line.share for line in lines.values()) == pytest.approx(100.0, abs=1e-9)


@pytest.mark.parametrize("superfat", [0.0, 5.0])
@pytest.mark.parametrize("fats_kg", [0.1, 0.337, 1.0, 3.333])
@pytest.mark.parametrize("acid", [0.0, 3.3, 9.7])
def test_acids_never_eat_into_the_superfat(superfat: float, fats_kg: float, acid: float) -> None:
    """Acids are rounded up and alkali down, so even at 0 % with much citric acid nothing weighed is lye-heavy."""
    wish = (exactly("citric acid", acid, "additive"),) if acid else ()
    blend = answer_for(sheet_of(exactly("superfat", superfat), additives=wish, batch=Batch(fats_kg=fats_kg)), SHELF)
    assert isinstance(blend, Blend)
    assert blend.weighed.superfat >= superfat - 1e-6
    assert blend.alkali.superfat == pytest.approx(superfat, abs=1e-6)
    for line in blend.additives:
        assert line.to_weigh >= line.grams - 1e-6


def test_the_sum_is_the_rounded_sum() -> None:
    """Largest remainders first: 33.3, 33.3 and 33.4 become 33, 33 and 34."""
    assert rounded_fats(np.array([33.3, 33.3, 33.4]), 1.0).tolist() == [33.0, 33.0, 34.0]


def test_what_is_in_the_blend_is_in_the_pot() -> None:
    """A fat of a tenth of a step is weighed as a step, one that is not there as nothing."""
    assert rounded_fats(np.array([0.1, 0.0, 99.9]), 1.0).tolist() == [1.0, 0.0, 100.0]


@settings(max_examples=examples(60))
@given(st.lists(st.floats(0.0, 5000.0), min_size=1, max_size=8).filter(any), st.sampled_from((0.1, 1.0, 5.0)))
def test_rounding_moves_nothing_by_a_step(grams: list[float], step: float) -> None:
    """Every fat lands on a step of the balance, less than one step from where it was."""
    rounded = rounded_fats(np.array(grams), step)
    assert np.all(np.abs(rounded / step - np.round(rounded / step)) < 1e-6)
    assert np.all(np.abs(rounded - grams) < step * (1.0 + 1e-9))


@pytest.mark.parametrize(
    ("batch", "total", "expected"),
    [
        (Batch(), 999.0, (0.1, 0.1)),
        (Batch(), 1000.0, (1.0, 0.1)),
        (Batch(scale_g=5.0), 1000.0, (5.0, 5.0)),
        (Batch(scale_g=0.01), 5000.0, (0.01, 0.01)),
    ],
)
def test_the_balance_fits_the_batch(batch: Batch, total: float, expected: tuple[float, float]) -> None:
    """Below a kilo a finer balance is taken for granted, and a balance that was told is taken at its word."""
    assert steps(batch, total) == expected


def test_batches_are_as_large_as_asked() -> None:
    """Fats weigh what was asked, bars come to their cured weight, a mould is filled to the brim."""
    for batch in (Batch(fats_kg=2.5), Batch(fats_kg=None, bars=24, cured_weight_kg=0.105)):
        made = build(sheet_of(batch=batch), SHELF)
        _, solution = solve(made)
        assert solution is not None
        recipe = recipe_of(made.columns, exact_grams(made.columns, solution.point), (0.98, 0.9))
        if batch.fats_kg is not None:
            assert recipe.fat_grams == pytest.approx(2500.0)
        else:
            assert judge(recipe).cured_grams == pytest.approx(24 * 105.0)
    mould = Mould(30.0, 9.0, 7.0)
    made = build(sheet_of(batch=Batch(fats_kg=None, mould=mould)), SHELF)
    _, solution = solve(made)
    assert solution is not None
    kilos = fats_for(made.columns, solution.point)
    litres = kilos * float(made.columns.volume @ solution.point[: made.columns.size])
    assert litres == pytest.approx(1.89)


def test_a_balance_too_coarse_is_refused_in_words() -> None:
    """A balance that reads a kilo cannot weigh out the alkali of a kilo of fats."""
    with pytest.raises(BadInput, match="cannot weigh"):
        answer_for(sheet_of(batch=Batch(scale_g=1000.0)), SHELF)


@pytest.mark.parametrize("share", [0.0005, 0.00001, 1e-6])
def test_a_pinch_however_small_is_no_fault(share: float) -> None:
    """A share that is hardly anything is answered like any other, by model and judge alike."""
    blend = answer_for(sheet_of(shares=(exactly("castor oil", share, "fat"),)), SHELF)
    assert isinstance(blend, Blend)
    assert blend.weighed.superfat >= 5.0 - 1e-6


@pytest.mark.parametrize("fats_kg", [0.005, 0.02, 90_000.0])
def test_tiny_and_huge_batches_are_answered(fats_kg: float) -> None:
    """From five grams of fats to ninety tonnes the figures agree and the alkali stays on the safe side."""
    sheet = sheet_of(exactly("superfat", 0.0), at_least("hardness", 40.0), batch=Batch(fats_kg=fats_kg))
    blend = answer_for(sheet, SHELF)
    assert isinstance(blend, Blend)
    assert blend.weighed.superfat >= -1e-6


def test_a_wish_that_rounding_breaks_is_told() -> None:
    """On a balance that reads 5 g a third of 100 g is no third, and the answer says so."""
    thirds = tuple(exactly(name, 100.0 / 3.0, "fat") for name in ("palm oil", "olive oil", "coconut oil"))
    blend = answer_for(sheet_of(shares=thirds, batch=Batch(fats_kg=0.2, scale_g=5.0)), SHELF)
    assert isinstance(blend, Blend)
    broken = [line.id for line in blend.goals if not line.holds_when_weighed]
    assert broken
    assert any("does not quite hold" in note for note in blend.notes)


def test_rounding_is_repaired_where_it_can_be() -> None:
    """On a 5 g balance 28.3 % of a kilo is nearest to 285 g, which is too much: 280 g are weighed and the wish holds."""
    shelf = shelf_of({"coconut oil": 1.0, "palm oil": 2.0, "olive oil": 7.0})
    cap = at_most("coconut oil", 28.3, "fat")
    loose = (at_least("superfat", 4.0), at_least("lye_concentration", 30.0), at_most("lye_concentration", 36.0))
    blend = answer_for(sheet_of(*loose, shares=(cap,), batch=Batch(scale_g=5.0)), shelf)
    assert isinstance(blend, Blend)
    assert {line.fat: line.to_weigh for line in blend.fats}["coconut oil"] == 280.0
    assert all(line.holds_when_weighed for line in blend.goals)


@pytest.mark.parametrize("grams", range(1000, 1080))
def test_alkali_for_acids_does_not_grow_with_the_fats(grams: int) -> None:
    """Fats rounded to hungrier ones get their own alkali and no more for the acid, which is weighed as it was."""
    sheet = sheet_of(
        exactly("superfat", 0.0),
        additives=(exactly("citric acid", 10.0, "additive"),),
        batch=Batch(fats_kg=grams / 1000.0),
    )
    shelf = shelf_of({"coconut oil": 3.0, "olive oil": 7.0, "castor oil": 5.0}, extra={"citric acid": 5.0})
    thirds = replace(sheet, shares=tuple(exactly(name, 33.35, "fat") for name in ("coconut oil", "olive oil")))
    blend = answer_for(thirds, shelf)
    assert isinstance(blend, Blend)
    assert blend.weighed.superfat >= -1e-6


def test_repair_looks_at_every_step_that_could_be_taken() -> None:
    """One step more or less of each fat, and one from each to each other; never a fat weighed away to nothing."""
    found = {tuple(moved.tolist()) for moved in neighbours(np.array([10.0, 1.0, 0.0, 30.0]), 1.0)}
    assert found == {
        *((11.0, 1.0, 0.0, 30.0), (9.0, 1.0, 0.0, 30.0), (10.0, 2.0, 0.0, 30.0), (10.0, 1.0, 0.0, 31.0)),
        *((10.0, 1.0, 0.0, 29.0), (9.0, 2.0, 0.0, 30.0), (9.0, 1.0, 0.0, 31.0)),
        *((11.0, 1.0, 0.0, 29.0), (10.0, 2.0, 0.0, 29.0)),
    }


def superfat_row(side: Side) -> tuple[Programme, Row]:
    """A programme with one goal on superfat, and its row."""
    made = build(sheet_of(limit("superfat", side, 5.0)), shelf_of({"olive oil": 7.0, "coconut oil": 3.0}))
    return made, made.row_of(f"goals.superfat.{side}")


@pytest.mark.parametrize("grams", [100.0, 1000.0])
def test_only_a_superfat_above_its_limit_is_forgiven_the_balance(grams: float) -> None:
    """A tenth of a gram of alkali too little breaks no superfat, more does by what it is more, and too much alkali does."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=grams)
    alkali = recipe.sodium_hydroxide
    above: tuple[Side, ...] = ("at_most", "exactly")
    for side in above:
        made, row = superfat_row(side)
        for off in (0.0, -0.05, -0.1):
            assert breakage(made.columns, [row], replace(recipe, sodium_hydroxide=alkali + off)) == pytest.approx(
                0.0, abs=6e-4
            )
        less = breakage(made.columns, [row], replace(recipe, sodium_hydroxide=alkali - 0.4))
        assert less == pytest.approx(95.0 * 0.4 / alkali - 100.0 * 0.1 / (alkali - 0.4), rel=1e-6)
    below: tuple[Side, ...] = ("at_least", "exactly")
    for side in below:
        made, row = superfat_row(side)
        more = breakage(made.columns, [row], replace(recipe, sodium_hydroxide=alkali + 0.05))
        assert more == pytest.approx(95.0 * 0.05 / alkali, rel=1e-6)


def test_the_worst_wish_counts_in_its_own_steps() -> None:
    """Of several wishes broken the worst in its natural scale is told; without any, nothing is broken."""
    made = build(
        sheet_of(at_least("hardness", 90.0), shares=(at_most("olive oil", 50.0, "fat"),)),
        shelf_of({"olive oil": 7.0, "coconut oil": 3.0}),
    )
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0})
    soft = (90.0 - judge(recipe).values["hardness"]) / 10.0
    rows = [made.row_of("goals.hardness.at_least"), made.row_of("shares.olive oil.at_most")]
    assert breakage(made.columns, rows, recipe) == pytest.approx(max(soft, 25.0 / 5.0))
    assert breakage(made.columns, rows[:1], recipe) == pytest.approx(soft)
    assert breakage(made.columns, [], recipe) == 0.0


@pytest.mark.parametrize(("grams", "refused"), [(3.8, True), (3.9, False)])
def test_a_balance_must_read_a_fifth_of_the_alkali(grams: float, refused: bool) -> None:  # noqa: FBT001
    """Half a gram of alkali is the least that a balance of 0.1 g weighs out."""
    sheet = sheet_of(batch=Batch(fats_kg=grams / 1000.0, scale_g=0.1))
    if refused:
        with pytest.raises(BadInput, match="cannot weigh"):
            answer_for(sheet, shelf_of({"olive oil": 7.0}))
    else:
        told = answer_for(sheet, shelf_of({"olive oil": 7.0}))
        assert isinstance(told, Blend)
        assert told.weighed.pure_sodium_hydroxide == pytest.approx(0.5 * 0.98)

"""From shares to grams: what rounding may and may not do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import (
    SPAN,
    Bar,
    at_least,
    at_most,
    bars,
    exactly,
    examples,
    limit,
    recipe_at,
    sheet_of,
    shelf_of,
    wish_id,
)

from optimiser.answers.blend import answer_for
from optimiser.answers.results import Blend
from optimiser.materials.alkali import alkali_needed
from optimiser.maths.arrays import Vector
from optimiser.measures.sides import Side
from optimiser.model.columns import Columns
from optimiser.model.pot import volume
from optimiser.model.programme import Programme, build
from optimiser.model.rows import Row
from optimiser.problem.batch import Batch, Mould
from optimiser.recipe.balance import steps
from optimiser.recipe.evaluation import Recipe, judge, likely_shortfall
from optimiser.recipe.repair import weigh_out
from optimiser.recipe.rounding import (
    Grams,
    TooCoarse,
    broken,
    exact_grams,
    fats_for,
    may_be_coarse,
    point_of,
    recipe_of,
    refuse_coarse,
    rounded_fats,
    slack_of_alkali,
)
from optimiser.solve.optimum import solve
from optimiser.text.diagnostics import BadInput

SHELF = shelf_of(
    {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0},
    extra={"citric acid": 5.0, "salt": 0.6},
    potassium=True,
)


def found(bar: Bar, batch: Batch) -> Blend:
    """The answer for a batch."""
    blend = answer_for(bar.sheet._replace(batch=batch), bar.shelf)
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
        Batch(fats_kg=None, batter_kg=4.0),
        Batch(fats_kg=None, mould=Mould(cavities=12, each_ml=110.0, headroom=0.1)),
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
    """Every fat weighed is within two steps of the balance of the exact blend, and so are all together.

    Where other steps were looked for, to keep what the nearest would break, the batch is within a twentieth of it.
    """
    blend = found(bar, batch)
    lines = {line.fat: line for line in blend.fats}
    exact = sum(line.grams for line in lines.values())
    room = 0.05 * exact if blend.rounding.searched else 0.0
    assert all(abs(line.to_weigh - line.grams) <= room + 2.0 * blend.step_grams + 1e-6 for line in lines.values())
    small = sum(line.grams < blend.step_grams for line in lines.values())
    assert abs(blend.recipe.fat_grams - exact) <= room + (1.5 + small) * blend.step_grams + 1e-6
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
        (Batch(), 999_999.0, (1.0, 0.1)),
        (Batch(), 1_000_000.0, (1.0, 1.0)),
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
    made = build(sheet_of(batch=Batch(fats_kg=None, batter_kg=4.0)), SHELF)
    _, solution = solve(made)
    assert solution is not None
    pot = recipe_of(made.columns, exact_grams(made.columns, solution.point), (0.98, 0.9))
    assert judge(pot).batter_grams == pytest.approx(4000.0)
    mould = Mould(30.0, 9.0, 7.0)
    made = build(sheet_of(batch=Batch(fats_kg=None, mould=mould)), SHELF)
    _, solution = solve(made)
    assert solution is not None
    kilos = fats_for(made.columns, solution.point)
    litres = kilos * float(volume(made.columns) @ solution.point[: made.columns.size])
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


@pytest.mark.long
@pytest.mark.parametrize("grams", range(1000, 1080))
def test_alkali_for_acids_does_not_grow_with_the_fats(grams: int) -> None:
    """Fats rounded to hungrier ones get their own alkali and no more for the acid, which is weighed as it was."""
    sheet = sheet_of(
        exactly("superfat", 0.0),
        additives=(exactly("citric acid", 10.0, "additive"),),
        batch=Batch(fats_kg=grams / 1000.0),
    )
    shelf = shelf_of({"coconut oil": 3.0, "olive oil": 7.0, "castor oil": 5.0}, extra={"citric acid": 5.0})
    thirds = sheet._replace(shares=tuple(exactly(name, 33.35, "fat") for name in ("coconut oil", "olive oil")))
    blend = answer_for(thirds, shelf)
    assert isinstance(blend, Blend)
    assert blend.weighed.superfat >= -1e-6


def breakage(columns: Columns, rows: Sequence[Row], recipe: Recipe) -> float:
    """How far the worst of some rows is broken, in its natural scale."""
    point, down = point_of(columns, recipe), slack_of_alkali(recipe)
    return max(broken(row, point, down) / row.scale for row in rows)


def superfat_row(side: Side) -> tuple[Programme, Row]:
    """A programme with one goal on superfat, and its row."""
    made = build(sheet_of(limit("superfat", side, 5.0)), shelf_of({"olive oil": 7.0, "coconut oil": 3.0}))
    return made, made.row_of(wish_id(f"goals.superfat.{side}"))


@pytest.mark.parametrize("grams", [100.0, 1000.0])
def test_only_a_superfat_above_its_limit_is_forgiven_the_balance(grams: float) -> None:
    """A tenth of a gram of alkali too little breaks no superfat, more does by what it is more, and too much alkali does."""
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=grams)
    alkali = recipe.sodium_hydroxide
    for side in (Side.AT_MOST, Side.EXACTLY):
        made, row = superfat_row(side)
        for off in (0.0, -0.05, -0.1):
            assert breakage(made.columns, [row], recipe._replace(sodium_hydroxide=alkali + off)) == pytest.approx(
                0.0, abs=6e-4
            )
        less = breakage(made.columns, [row], recipe._replace(sodium_hydroxide=alkali - 0.4))
        assert less == pytest.approx(95.0 * 0.4 / alkali - 100.0 * 0.1 / (alkali - 0.4), rel=1e-6)
    for side in (Side.AT_LEAST, Side.EXACTLY):
        made, row = superfat_row(side)
        more = breakage(made.columns, [row], recipe._replace(sodium_hydroxide=alkali + 0.05))
        assert more == pytest.approx(95.0 * 0.05 / alkali, rel=1e-6)


def test_the_worst_wish_counts_in_its_own_steps() -> None:
    """Of several wishes broken each counts in its own natural scale."""
    made = build(
        sheet_of(at_least("hardness", 90.0), shares=(at_most("olive oil", 50.0, "fat"),)),
        shelf_of({"olive oil": 7.0, "coconut oil": 3.0}),
    )
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0})
    soft = (90.0 - judge(recipe).values["hardness"]) / 10.0
    rows = [made.row_of(wish_id("goals.hardness.at_least")), made.row_of(wish_id("shares.olive oil.at_most"))]
    assert breakage(made.columns, rows, recipe) == pytest.approx(max(soft, 25.0 / 5.0))
    assert breakage(made.columns, rows[:1], recipe) == pytest.approx(soft)


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


# -- what goes on the balance --------------------------------------------------------------------------------------

EXTRAS = ("citric acid", "salt")


def pot(**grams: float) -> Grams:
    """A blend of a kilo in grams: two fats, alkalis, water, citric acid and salt."""
    extra = np.array([grams.get("citric_acid", 0.0), grams.get("salt", 0.0)])
    fats = np.array([grams.get("coconut_oil", 300.0), grams.get("olive_oil", 700.0)])
    return Grams(fats, grams.get("sodium", 0.0), grams.get("potassium", 0.0), grams.get("water", 0.0), extra)


def on_balance(grams: Grams, fine: float = 0.1, purities: tuple[float, float] = (1.0, 1.0), **batch: Any) -> Recipe:
    """What is weighed of it."""
    wishes = tuple(at_most(name, 50.0, "additive") for name in EXTRAS)
    shelf = shelf_of({"coconut oil": 3.0, "olive oil": 7.0}, extra=dict.fromkeys(EXTRAS, 5.0), potassium=True)
    made = build(sheet_of(additives=wishes, batch=Batch(**batch)), shelf)
    return recipe_of(made.columns, grams, purities, (1.0, fine) if fine else (0.0, 0.0))


@pytest.mark.parametrize("value", [128.0, 128.1, 131.7, 140.3, 0.3, 0.7])
def test_what_is_on_a_step_stays_there(value: float) -> None:
    """128.1 g on a balance of 0.1 g are 128.1 g of anything, in spite of binary fractions, and told without a tail."""
    recipe = on_balance(pot(sodium=value, potassium=value, water=value, citric_acid=value, salt=value))
    weighed = (
        recipe.sodium_hydroxide,
        recipe.potassium_hydroxide,
        recipe.water,
        *(grams for _, grams in recipe.additives),
    )
    assert weighed == (value,) * 5


@pytest.mark.parametrize(
    ("value", "down", "near", "up"),
    [(128.14, 128.1, 128.1, 128.2), (128.16, 128.1, 128.2, 128.2), (0.04, 0.0, 0.0, 0.1), (0.199, 0.1, 0.2, 0.2)],
)
def test_alkali_goes_down_acids_up_and_the_rest_to_the_nearest(
    value: float, down: float, near: float, up: float
) -> None:
    """Between two steps alkali is weighed at the lower, an acid at the upper, water and salt at the nearer one."""
    recipe = on_balance(pot(sodium=value, potassium=value, water=value, citric_acid=value, salt=value))
    assert (recipe.sodium_hydroxide, recipe.potassium_hydroxide, recipe.water) == (down, down, near)
    assert {item.name: grams for item, grams in recipe.additives} == {"citric acid": up, "salt": near}


def test_each_alkali_is_weighed_by_its_own_purity() -> None:
    """98 g of pure sodium hydroxide are 100 g of a 98 % one, 90 g of potassium hydroxide 100 g of a 90 % one."""
    recipe = on_balance(pot(sodium=98.0, potassium=90.0), purities=(0.98, 0.9))
    assert (recipe.sodium_hydroxide, recipe.potassium_hydroxide) == (100.0, 100.0)
    assert (recipe.sodium_purity, recipe.potassium_purity) == (0.98, 0.9)


def test_without_a_balance_nothing_is_rounded() -> None:
    """The exact recipe is told to the last digit, and what is not in it is not listed."""
    third = 1000.0 / 3.0
    recipe = on_balance(pot(coconut_oil=0.0, olive_oil=third, sodium=third, water=third, salt=third), fine=0.0)
    assert [(fat.name, grams) for fat, grams in recipe.fats] == [("olive oil", third)]
    assert (recipe.sodium_hydroxide, recipe.potassium_hydroxide, recipe.water) == (third, 0.0, third)
    assert [(item.name, grams) for item, grams in recipe.additives] == [("salt", third)]


def test_an_additive_that_is_dust_is_not_weighed() -> None:
    """What a solver leaves of an acid, a hundred-millionth of the fats, would be rounded up to a step; a pinch is weighed."""
    assert on_balance(pot(citric_acid=0.9e-5)).additives == ()
    assert [grams for _, grams in on_balance(pot(citric_acid=1.1e-5)).additives] == [0.1]


def test_the_bench_is_as_the_batch_says() -> None:
    """Heat of the batter, gel and the water of the cured bar go along with the recipe."""
    recipe = on_balance(pot(), batter_temperature=41.0, gel=True, cured_water=0.07)
    assert (recipe.batter_temperature, recipe.gel, recipe.cured_water) == (41.0, True, 0.07)


def test_fats_on_a_step_are_not_moved() -> None:
    """0.3 g and 0.7 g are three and seven steps of 0.1 g, though 0.3 / 0.1 is a little less than three in binary."""
    assert rounded_fats(np.array([0.3, 0.7, 0.6]), 0.1) / 0.1 == pytest.approx([3.0, 7.0, 6.0])
    assert rounded_fats(np.array([2.4, 2.4, 2.4, 2.8]), 1.0).tolist() == [3.0, 2.0, 2.0, 3.0]


@pytest.mark.parametrize(("sodium", "potassium", "refused"), [(0.3, 0.3, False), (0.1, 0.39, True), (0.0, 0.5, False)])
def test_both_alkalis_count_on_a_coarse_balance(sodium: float, potassium: float, refused: bool) -> None:  # noqa: FBT001
    """Five steps of the balance are the least of alkali, sodium and potassium together."""
    batch = Batch(scale_g=0.1, scale_span=SPAN)
    if refused:
        with pytest.raises(TooCoarse, match=r"reads 0\.1 g cannot weigh out 0\.49 g") as fault:
            refuse_coarse(batch, pot(sodium=sodium, potassium=potassium), 0.1)
        assert fault.value.span == SPAN
    else:
        assert refuse_coarse(batch, pot(sodium=sodium, potassium=potassium), 0.1) is None  # type: ignore[func-returns-value]


def point_at(made: Programme, **parts: float) -> Vector:
    """A point over the columns: shares and kilos per kilo of fats."""
    point = made.columns.zeros()
    for name, amount in parts.items():
        point[made.columns.index[name.replace("_", " ")]] = amount
    return point


def test_dust_of_a_solver_is_no_fat() -> None:
    """Less than a hundred-millionth is nothing, and the others are raised to the whole; more than that is kept."""
    made = build(sheet_of(batch=Batch(fats_kg=2.0)), shelf_of({"coconut oil": 3.0, "olive oil": 7.0, "palm oil": 2.0}))
    point = point_at(made, coconut_oil=0.9e-8, olive_oil=0.6, palm_oil=0.3, sodium_hydroxide=0.13, water=0.3)
    assert exact_grams(made.columns, point).fats == pytest.approx(
        [0.0, 2000.0 * 2.0 / 3.0, 2000.0 / 3.0], rel=1e-12, abs=0.0
    )
    point[0] = 1.1e-8
    assert exact_grams(made.columns, point).fats[0] > 0.0


def test_water_to_weigh_is_what_nothing_else_brings() -> None:
    """A 90 % potassium hydroxide brings a ninth of its pure weight in water; where more is brought than asked none is weighed."""
    shelf = shelf_of({"olive oil": 7.0}, potassium=True)
    made = build(sheet_of(batch=Batch(fats_kg=1.0)), shelf)
    point = point_at(made, olive_oil=1.0, potassium_hydroxide=0.18, water=0.3)
    assert exact_grams(made.columns, point).water == pytest.approx(280.0)
    assert exact_grams(made.columns, point_at(made, olive_oil=1.0, potassium_hydroxide=0.18, water=0.01)).water == 0.0


@pytest.mark.parametrize(
    "batch",
    [Batch(fats_kg=None, bars=12, cured_weight_kg=0.11), Batch(fats_kg=None, mould=Mould(30.0, 9.0, 7.0)), Batch()],
)
def test_what_is_only_counted_is_not_poured(batch: Batch) -> None:
    """The 0/1 columns of counted fats stand behind the batch: they weigh nothing, and fill neither bars nor mould."""
    count = (at_most("number of fats", 2.0, "count"),)
    made = build(
        sheet_of(batch=batch, fat_count=count), shelf_of({"coconut oil": 3.0, "olive oil": 7.0, "palm oil": 2.0})
    )
    point = np.ones(len(made.money))
    point[: made.columns.size] = point_at(made, coconut_oil=0.3, olive_oil=0.7, sodium_hydroxide=0.14, water=0.3)
    assert len(point) > made.columns.size
    blend = point[: made.columns.size]
    assert fats_for(made.columns, point) == fats_for(made.columns, blend)
    assert exact_grams(made.columns, point).total == pytest.approx(1000.0 * fats_for(made.columns, blend))
    assert len(exact_grams(made.columns, point).additives) == len(made.columns.additives)


LOOSE = (at_least("superfat", 0.0), at_least("lye_concentration", 10.0))
PINCHES = (
    "palm oil",
    "castor oil",
    "sunflower oil",
    "lard",
    "shea butter",
    "cocoa butter",
    "avocado oil",
    "sesame oil",
)


@pytest.mark.parametrize("acid", [0.0, 60.0])
@pytest.mark.parametrize("potassium", [0.0, 0.3])
def test_alkali_follows_the_fats_that_are_weighed(acid: float, potassium: float) -> None:
    """Eight pinches of 0.3 g are weighed as 1 g each: their alkali is added, the acid's stays, and only a tenth is lost."""
    names = sorted(("coconut oil", "olive oil", *PINCHES))
    shelf = shelf_of(dict.fromkeys(names, 5.0), extra={"citric acid": 5.0}, potassium=True)
    made = build(
        sheet_of(*LOOSE, additives=(at_most("citric acid", 50.0, "additive"),), batch=Batch(fats_kg=1.0)), shelf
    )
    fats = np.array([300.0 if name == "coconut oil" else 697.6 if name == "olive oil" else 0.3 for name in names])
    demand = float(made.columns.fat_demand[: len(names)] @ fats) / 1000.0
    taken = acid * made.columns.additives[0].alkali_mol_per_kg / 1000.0
    need = alkali_needed(demand, superfat=0.05, potassium_share=potassium, acid_mol=taken)
    grams = Grams(fats, need.sodium_hydroxide, need.potassium_hydroxide, 300.0, np.array([acid]))
    recipe, step, *_ = weigh_out(made, grams, (1.0, 1.0))
    assert step == 1.0
    assert sorted(weight for _, weight in recipe.fats)[:8] == [1.0] * 8
    lost = 100.0 * (0.1 / 39.997 + (0.1 / 56.106 if potassium else 0.0)) / (recipe.fat_grams * demand / 1000.0)
    assert 5.0 - 1e-6 <= judge(recipe).superfat <= 5.0 + 1.01 * lost


@pytest.mark.parametrize("name", ["vinegar", "citric acid", "rosin", "salt", "sugar"])
def test_every_acid_is_weighed_up_however_weak(name: str) -> None:
    """Vinegar takes 0.8 mol of alkali a kilo and is rounded up like any acid, so that nothing is lye-heavy; salt and sugar are not."""
    wish = at_most(name, 50.0, "additive")
    made = build(sheet_of(additives=(wish,)), shelf_of({"coconut oil": 3.0, "olive oil": 7.0}, extra={name: 5.0}))
    recipe = recipe_of(made.columns, pot()._replace(additives=np.array([20.02])), (1.0, 1.0), (1.0, 0.1))
    assert recipe.additives[0][1] == (20.0 if name in {"salt", "sugar"} else 20.1)


def test_the_largest_remainder_of_a_step_is_rounded_up() -> None:
    """On a balance of 5 g, 31, 33 and 36 g are 30, 35 and 35: of 1, 3 and 1 g left over the 3 g are nearest to a step."""
    assert rounded_fats(np.array([31.0, 33.0, 36.0]), 5.0).tolist() == [30.0, 35.0, 35.0]
    assert rounded_fats(np.array([3.18, 3.11, 3.11]), 0.1) / 0.1 == pytest.approx([32.0, 31.0, 31.0])


@pytest.mark.parametrize(
    ("fats_kg", "scale", "potassium", "coarse"),
    [
        *((1.0, None, 0.0, False), (0.05, None, 0.0, True), (0.1, None, 0.0, False), (0.1, None, 0.17, False)),
        *((1.0, 5.0, 0.0, True), (1.0, 1.0, 0.0, False), (5.0, 5.0, 0.0, False), (5.0, 5.0, 0.17, False)),
    ],
)
def test_a_balance_may_be_coarse_within_twenty_times(
    fats_kg: float,
    scale: float | None,
    potassium: float,
    coarse: bool,  # noqa: FBT001
) -> None:
    """Alkali of a hundred steps is enough whatever the blend; below that the blend itself must tell, sodium or potassium."""
    made = build(sheet_of(batch=Batch(fats_kg=fats_kg, scale_g=scale)), shelf_of({"olive oil": 7.0}, potassium=True))
    sodium = 0.0 if potassium else 0.128
    point = point_at(made, olive_oil=1.0, sodium_hydroxide=sodium, potassium_hydroxide=potassium, water=0.3)
    assert may_be_coarse(made.columns, point) is coarse


def test_the_balance_forgives_by_both_alkalis() -> None:
    """A tenth of a gram of all the alkali, sodium and potassium, is what a superfat may be above its limit."""
    shelf = shelf_of({"olive oil": 7.0, "coconut oil": 3.0}, potassium=True)
    made = build(sheet_of(at_most("superfat", 5.0)), shelf)
    row = made.row_of(wish_id("goals.superfat.at_most"))
    recipe = recipe_at({"olive oil": 3.0, "coconut oil": 1.0}, grams=100.0, potassium=45.0)
    less = recipe._replace(sodium_hydroxide=recipe.sodium_hydroxide - 0.4)
    alkali = less.sodium_hydroxide + less.potassium_hydroxide
    above = judge(less).values["superfat"] - 5.0
    assert breakage(made.columns, [row], less) == pytest.approx(above - 100.0 * 0.1 / alkali, rel=0.01)


def test_a_pot_without_alkali_is_forgiven_nothing() -> None:
    """A bowl of fats is all superfat: 95 % too much of it, and no step of the balance to take off."""
    made = build(sheet_of(at_most("superfat", 5.0)), shelf_of({"olive oil": 7.0, "coconut oil": 3.0}))
    row = made.row_of(wish_id("goals.superfat.at_most"))
    bowl = recipe_at({"olive oil": 3.0, "coconut oil": 1.0})._replace(sodium_hydroxide=0.0)
    assert breakage(made.columns, [row], bowl) == pytest.approx(row.shortfall(point_of(made.columns, bowl)) / row.scale)
    assert row.value(point_of(made.columns, bowl)) == pytest.approx(100.0)


def test_a_recipe_is_the_point_of_what_is_pure() -> None:
    """Of 100 g of 98 % and of 90 % alkali 98 g and 90 g count; the tenth that is water counts as water, like a lactate's."""
    shelf = shelf_of({"coconut oil": 3.0, "olive oil": 7.0}, potassium=True, extra={"sodium lactate": 9.0})
    made = build(sheet_of(additives=(at_most("sodium lactate", 9.0, "additive"),)), shelf)
    plain = recipe_at({"coconut oil": 1.0, "olive oil": 3.0}, grams=2000.0, extra={"sodium lactate": 5.0})
    recipe = plain._replace(
        sodium_hydroxide=100.0,
        potassium_hydroxide=100.0,
        water=300.0,
        sodium_purity=0.98,
        potassium_purity=0.9,
        sodium_purest=0.98,
        potassium_purest=0.9,
    )
    point = dict(
        zip([column.name for column in made.columns.all], point_of(made.columns, recipe).tolist(), strict=True)
    )
    assert point.pop("lot spread") == pytest.approx(likely_shortfall(recipe) / 2.0)
    assert point == pytest.approx(
        {
            "coconut oil": 0.25,
            "olive oil": 0.75,
            "sodium hydroxide": 0.049,
            "potassium hydroxide": 0.045,
            "water": 0.150 + 0.005 + 0.4 * 0.05,
            "sodium lactate": 0.05,
        }
    )

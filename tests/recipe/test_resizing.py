"""A recipe for another batch: everything goes with the fats, and the superfat never falls."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.files.shelf.shelf import read_shelf
from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.materials.lye import NAOH
from optimiser.problem.batch import Batch, Mould
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.problem.units import Units
from optimiser.recipe.balance import steps
from optimiser.recipe.batch_size import compared, litres, pure_alkali, rounded
from optimiser.recipe.completion import complete
from optimiser.recipe.evaluation import Recipe, batter_grams, judge
from optimiser.recipe.resizing import PART, Resized, TooSmall, is_kept, resized, roughness, size_that_keeps
from optimiser.text.spans import Span

ROOT = Path(__file__).parents[2]
SPAN = Span("recipe.yaml", 1, 1, 2, "x")
FATS = ("olive oil", "coconut oil", "castor oil", "lard", "shea butter")


def sheet(
    grams: dict[str, float],
    *,
    alkali: dict[str, float] | None = None,
    superfat: float | None = None,
    extra: dict[str, float] | None = None,
    poured: tuple[Poured, ...] = (),
    water: float | None = 280.0,
) -> RecipeSheet:
    """A recipe file as read."""

    def weighed(held: dict[str, float]) -> tuple[Weighed, ...]:
        return tuple(Weighed(name, value, SPAN) for name, value in held.items())

    return RecipeSheet(
        *("recipe.yaml", "House bar", None, weighed(grams), weighed(alkali or {}), superfat, 0.0, water, None),
        *(weighed(extra or {}), 35.0, False, 0.10, None, 0.1),
        liquids=poured,
    )


HOUSE = sheet({"olive oil": 700.0, "coconut oil": 250.0, "castor oil": 50.0}, alkali={"sodium hydroxide": 135.0})


def to_fats(one: RecipeSheet, kilograms: float) -> Resized:
    """The recipe for so many kilos of fats."""
    return resized(one, None, Batch(fats_kg=kilograms))


def test_alkali_is_worked_out_again_by_hand() -> None:
    """Two and a half times the fats at their saponification values take two and a half times the alkali, rounded down."""
    found = to_fats(HOUSE, 2.5)
    values = {name: reference().get(name).saponification.value for name in ("olive oil", "coconut oil", "castor oil")}
    demand = sum(
        grams * values[name] / 56106.0
        for name, grams in (("olive oil", 1750), ("coconut oil", 625), ("castor oil", 125))
    )
    kept = 1.0 - 135.0 / NAOH / (demand / 2.5)
    exact = demand * (1.0 - kept) * NAOH
    assert [grams for _, grams in found.after.fats] == [1750.0, 625.0, 125.0]
    assert found.after.sodium_hydroxide == math.floor(exact * 10 + 1e-6) / 10 == 337.5
    assert found.after.water == 700.0


@settings(max_examples=examples(60), deadline=None)
@given(
    st.lists(st.floats(20.0, 900.0), min_size=2, max_size=5),
    st.floats(0.0, 12.0),
    st.floats(0.3, 60.0),
    st.sampled_from(list(Units)),
)
def test_no_superfat_falls(grams: list[float], superfat: float, kilograms: float, units: Units) -> None:
    """Whatever the batch and the balance, alkali told in grams leaves no less superfat than before, and little more."""
    fats = {name: round(value, 1) for name, value in zip(FATS, grams, strict=False)}
    whole = complete(sheet(fats, superfat=superfat), None)
    told = sheet(fats, alkali={"sodium hydroxide": whole.sodium_hydroxide}, extra={"citric acid": 3.0})
    told = told._replace(units=units)
    found = to_fats(told, kilograms)
    assume(found.after.fat_step < 0.02 * found.after.fat_grams)
    before, after = judge(found.before).superfat, judge(found.after).superfat
    assert after >= before - 1e-6
    rough = roughness(found.after) + 100.0 * found.after.alkali_step / found.after.fat_grams
    assert after <= before + 2.0 * rough + 0.05


@settings(max_examples=examples(40), deadline=None)
@given(st.floats(0.0, 15.0), st.floats(0.2, 80.0))
def test_alkali_left_open_is_worked_out_for_the_superfat_asked(superfat: float, kilograms: float) -> None:
    """Never less superfat than the file asks, and no more than a step of the balance makes."""
    found = to_fats(sheet({"olive oil": 600.0, "lard": 400.0}, superfat=superfat), kilograms)
    assert superfat - 1e-9 <= judge(found.after).superfat <= superfat + roughness(found.after) + 1e-6


@settings(max_examples=examples(40), deadline=None)
@given(st.floats(1.0, 20.0))
def test_resizing_is_linear(times: float) -> None:
    """Every weight is so many times what it was, to within a step of the balance (alkali: and never above)."""
    one = sheet(
        {"olive oil": 700.0, "coconut oil": 250.0, "castor oil": 50.0},
        alkali={"sodium hydroxide": 135.0},
        extra={"kaolin": 10.0, "citric acid": 5.0},
    )
    found = to_fats(one, times)
    coarse, fine = steps(Batch(), 1000.0 * times)
    for (_, before), (_, after) in zip(found.before.fats, found.after.fats, strict=True):
        assert abs(after - times * before) <= coarse
    held = {item.name: grams for item, grams in found.after.additives}
    assert abs(held["kaolin"] - 10.0 * times) <= fine / 2 + 1e-9
    assert 0.0 <= held["citric acid"] - 5.0 * times + 1e-6 <= fine + 2e-6
    assert abs(found.after.water - 280.0 * times) <= fine
    assert found.times == pytest.approx(times)


@settings(max_examples=examples(40), deadline=None)
@given(st.floats(1.0, 30.0))
def test_there_and_back(times: float) -> None:
    """A recipe made larger and brought back is the same to a step of the balance, its alkali never above."""
    there = to_fats(HOUSE, times)
    back = to_fats(there.sheet, 1.0)
    for (_, before), (_, after) in zip(there.before.fats, back.after.fats, strict=True):
        assert abs(after - before) <= 1.0
    assert 134.7 <= back.after.sodium_hydroxide <= 135.0 + 0.15  # fats on whole grams: a gram of coconut takes 0.18 g
    assert judge(back.after).superfat >= judge(there.before).superfat - 1e-6
    assert abs(back.after.water - 280.0) <= 0.2


@pytest.mark.parametrize(
    "batch",
    [
        Batch(fats_kg=None, bars=24, cured_weight_kg=0.11),
        Batch(fats_kg=None, batter_kg=4.0),
        Batch(fats_kg=None, mould=Mould(30.0, 9.0, 7.0)),
        Batch(fats_kg=None, mould=Mould(cavities=12, each_ml=100.0, headroom=0.05)),
        Batch(fats_kg=2.5),
    ],
)
def test_the_batch_is_as_large_as_asked(batch: Batch) -> None:
    """Bars, batter, a mould or fats, to within what steps of the balance leave."""
    found = resized(HOUSE, None, batch)
    made, wanted = compared(found.after, batch)
    assert made == pytest.approx(wanted, rel=1e-3)
    if batch.bars:
        assert (found.sheet.bars, found.sheet.cured_weight_kg) == (24, 0.11)
    else:
        assert (found.sheet.bars, found.sheet.cured_weight_kg) == (None, 0.1)
    assert batter_grams(found.after) > pure_alkali(found.after) > 0.0


def test_liquids_stay_in_proportion() -> None:
    """Milk by its share keeps its share, milk by its mass goes with the fats."""
    share = sheet({"olive oil": 1000.0}, superfat=5.0, poured=(Poured("goat milk", None, 50.0, SPAN),))
    found = to_fats(share, 3.0).after
    (milk,) = [grams for _, grams in found.liquids]
    assert milk == pytest.approx(found.jug / 2.0, abs=0.1)
    mass = sheet({"olive oil": 1000.0}, superfat=5.0, poured=(Poured("goat milk", 100.0, None, SPAN),))
    (milk,) = [grams for _, grams in to_fats(mass, 3.0).after.liquids]
    assert milk == 300.0


@pytest.mark.parametrize("milk", ["goat milk", "buttermilk"])
def test_liquids_by_share_go_with_the_new_alkali(milk: str) -> None:
    """What stands for all the water follows the alkali: five times the recipe takes five times of each, to a step."""
    one = sheet(
        {"olive oil": 600.0, "coconut oil": 400.0},
        alkali={"sodium hydroxide": 140.0},
        poured=(Poured(milk, None, 100.0, SPAN),),
        water=None,
    )
    found = to_fats(one, 5.0)
    (before,), (after,) = ([grams for _, grams in recipe.liquids] for recipe in (found.before, found.after))
    assert after == pytest.approx(5.0 * before, abs=0.6)
    assert found.after.sodium_hydroxide == pytest.approx(700.0, abs=0.11)
    assert judge(found.after).superfat >= judge(found.before).superfat - 1e-6


def test_a_batch_too_small_for_a_balance_is_refused() -> None:
    """Two grams of fats take less alkali than a balance of 0.1 g can weigh five steps of."""
    with pytest.raises(TooSmall, match=r"reads 0\.1 g cannot weigh out 0\.2 g"):
        to_fats(HOUSE, 0.002)
    spare = sheet(
        {"olive oil": 1000.0}, alkali={"sodium hydroxide": 6.0}
    )  # 95 % superfat: never more alkali for less of it
    with pytest.raises(TooSmall):
        to_fats(spare, 0.015)
    assert roughness(to_fats(HOUSE, 0.05).after) == pytest.approx(100 * 0.1 / 6.7, rel=0.02)


def test_a_mould_takes_what_its_parts_take_up() -> None:
    """By hand: 700 g of olive oil at 0.8985 kg/L and so on; lye by water 1/0.998 and 0.20 L per kg of sodium hydroxide."""
    recipe = complete(HOUSE, None)
    fats = sum(
        grams / reference().get(name).density
        for name, grams in (("olive oil", 700), ("coconut oil", 250), ("castor oil", 50))
    )
    assert litres(recipe) == pytest.approx((fats + 280.0 / 0.998 + 135.0 * 0.20) / 1000.0)


def test_two_alkalis_of_a_shelf_go_together() -> None:
    """Purities are the shelf's before and after; each alkali keeps its part, both go down, and the superfat stays."""
    shelf = read_shelf(ROOT / "inventory" / "kittiwake.yaml")
    assert shelf.purities[0] < 1.0
    assert shelf.purities[1] < 1.0
    one = sheet(
        {"olive oil": 600.0, "coconut oil": 400.0}, alkali={"sodium hydroxide": 90.0, "potassium hydroxide": 70.0}
    )
    found = resized(one, shelf, Batch(fats_kg=7.0))
    assert 629.8 <= found.after.sodium_hydroxide <= 630.0
    assert 489.8 <= found.after.potassium_hydroxide <= 490.0
    before, after = judge(found.before), judge(found.after)
    assert before.superfat - 1e-6 <= after.superfat <= before.superfat + 0.05
    assert pure_alkali(found.after) == pytest.approx(630.0 * shelf.purities[0] + 490.0 * shelf.purities[1], abs=0.3)
    assert roughness(found.after) == pytest.approx(100.0 * 2 * 0.1 / (630.0 + 490.0), rel=1e-3)
    assert roughness(found.after._replace(sodium_hydroxide=0.5, potassium_hydroxide=0.0)) == pytest.approx(20.0)
    assert roughness(found.after._replace(sodium_hydroxide=0.0, potassium_hydroxide=0.0)) == 0.0


def test_all_that_is_in_the_batter_takes_up_room() -> None:
    """By hand: each hydroxide as pure, water with what comes in milk, the solids of milk at 0.8 L/kg and of a clay at its own."""
    olive, milk, kaolin = reference().get("olive oil"), liquids()["goat milk"], additives()["kaolin"]
    recipe = Recipe(
        fats=((olive, 1000.0),),
        sodium_hydroxide=100.0,
        potassium_hydroxide=50.0,
        water=150.0,
        additives=((milk, 150.0), (kaolin, 20.0)),
        sodium_purity=0.98,
        potassium_purity=0.9,
    )
    water = 150.0 + 50.0 * 0.1 + 150.0 * milk.water_fraction + 20.0 * kaolin.water_fraction
    solids = 0.8 * 150.0 * (1.0 - milk.water_fraction) + 0.385 * 20.0 * (1.0 - kaolin.water_fraction)
    by_hand = 1000.0 / olive.density + water / 0.998 + 98.0 * 0.20 + 45.0 * 0.26 + solids
    assert litres(recipe) == pytest.approx(by_hand / 1000.0)
    assert pure_alkali(recipe) == pytest.approx(98.0 + 45.0)


def test_bars_keep_what_one_weighs() -> None:
    """Twelve bars were told, and a larger batch is cut into bars of the same weight."""
    told = HOUSE._replace(bars=12)
    each = judge(complete(told, None)).cured_grams / 12000.0
    assert to_fats(told, 3.0).sheet.cured_weight_kg == pytest.approx(each)
    assert to_fats(told, 3.0).sheet.bars is None


def test_fats_are_rounded_by_their_largest_remainders() -> None:
    """A sum of 100 g stays 100 g on a balance of a gram, the most cut-off goes up first, and what is there is weighed."""
    fats = sheet({"olive oil": 33.4, "lard": 33.3, "coconut oil": 33.3}).fats
    assert [item.grams for item in rounded(fats, 1.0)] == [34.0, 33.0, 33.0]
    fats = sheet({"olive oil": 60.2, "lard": 39.6, "castor oil": 0.2}).fats
    assert [item.grams for item in rounded(fats, 1.0)] == [60.0, 40.0, 1.0]


@pytest.mark.parametrize(("alkali", "enough"), [(0.5, True), (0.4, False)])
def test_five_steps_of_alkali_can_be_weighed(alkali: float, enough: bool) -> None:  # noqa: FBT001
    """Half a gram on a balance of a tenth is five steps; four are too few."""
    small = sheet({"olive oil": 4.0}, alkali={"sodium hydroxide": alkali})
    if enough:
        assert to_fats(small, 0.004).after.sodium_hydroxide == alkali
    else:
        with pytest.raises(TooSmall):
            to_fats(small, 0.004)


def test_what_was_told_by_its_share_is_weighed_from_then_on() -> None:
    """An additive told in per cent, or a recipe told in per cent, is in grams once it was resized: once more changes nothing."""
    one = sheet({"olive oil": 700.0, "lard": 300.0}, superfat=5.0, extra={"kaolin": 10.0})
    one = one._replace(additives=tuple(item._replace(by_share=True) for item in one.additives))
    found = to_fats(one._replace(to_make=Batch(fats_kg=1.0)), 2.0)
    assert [item.grams for item in found.sheet.additives] == [20.0]
    assert not found.sheet.additives[0].by_share
    assert found.sheet.to_make is None
    assert to_fats(found.sheet, 2.0).after == found.after


@pytest.mark.parametrize("kilograms", [0.12, 0.15, 0.2, 0.31])
def test_the_size_that_keeps_the_superfat_is_the_nearest(kilograms: float) -> None:
    """On a balance that reads 1 g: where the size asked for keeps it, none is told; else the nearest that does, within a twentieth."""
    coarse = HOUSE._replace(scale_g=1.0)
    found = to_fats(coarse, kilograms)
    superfat = judge(found.before).superfat
    other = size_that_keeps(coarse, None, found)
    tried = {
        grams: is_kept(to_fats(coarse, grams / 1000.0).after, superfat)
        for grams in range(round(950 * kilograms) + 1, round(1050 * kilograms))
    }
    near = [abs(grams - 1000.0 * kilograms) for grams, kept in tried.items() if kept]
    assert near, "no size near it keeps it"
    if is_kept(found.after, superfat):
        assert other is None
    else:
        assert other is not None
        assert abs(other.fat_grams - 1000.0 * kilograms) == pytest.approx(min(near))
        assert judge(other).superfat >= superfat - 1e-9
    assert max(near) <= PART * 1000.0 * kilograms


def test_a_balance_that_is_fine_enough_asks_for_no_other_size() -> None:
    """On a balance of a tenth of a gram the size asked for keeps the superfat."""
    assert size_that_keeps(HOUSE, None, to_fats(HOUSE, 0.15)) is None

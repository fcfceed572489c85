"""Which way each lever moves a bar, on any blend: the trade's rules, common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from strategies import PLAIN, blends, recipe_at

from optimiser.materials.additives import additives
from optimiser.materials.fat_table import reference
from optimiser.recipe.evaluation import Recipe, judge

SHARES = blends(PLAIN)
BUTTERS = ("shea butter", "cocoa butter", "mango butter")
HARD_OILS = ("coconut oil", "palm oil", "palm stearin", "palm kernel oil", "beef tallow", "lard", "babassu oil")
SLOW = ("olive oil", "rapeseed oil", "high oleic sunflower oil", "sunflower oil", "sweet almond oil", "avocado oil")
"""Common practice, no source: these are the oils that a swirl is made of."""


def values(made: Recipe) -> Mapping[str, float]:
    """Every figure of a recipe."""
    return judge(made).values


def with_more(made: Recipe, name: str, share: float) -> Recipe:
    """The recipe with an additive at a share of the fats, water kept as it is."""
    item = additives()[name]
    grams = share / 100.0 * made.fat_grams
    return made._replace(additives=((item, grams),), water=made.water - item.water_fraction * grams)


def exchanged(shares: Mapping[str, float], taken: str, part: float) -> dict[str, float]:
    """A blend in which a fat takes a part of the whole from all others alike."""
    total = sum(shares.values())
    out = {name: share / total * (100.0 - part) for name, share in shares.items()}
    out[taken] = out.get(taken, 0.0) + part
    return out


@given(shares=SHARES, butter=st.sampled_from(BUTTERS), liquid=st.sampled_from(SLOW), part=st.floats(5.0, 40.0))
def test_butters_quicken(shares: dict[str, float], butter: str, liquid: str, part: float) -> None:
    """A butter in place of a slow oil brings trace sooner."""
    quick, slow = (recipe_at(exchanged(shares, name, part)) for name in (butter, liquid))
    assert values(quick)["trace_speed"] > values(slow)["trace_speed"]


@given(shares=SHARES, hard=st.sampled_from(HARD_OILS), liquid=st.sampled_from(SLOW), part=st.floats(5.0, 40.0))
def test_hard_oils_quicken_set_sooner_and_harden(shares: dict[str, float], hard: str, liquid: str, part: float) -> None:
    """A hard oil in place of a slow one brings trace sooner, sets sooner and makes a harder bar."""
    quick, slow = (values(recipe_at(exchanged(shares, name, part))) for name in (hard, liquid))
    assert all(quick[key] > slow[key] for key in ("trace_speed", "set_up", "hardness"))


@given(shares=SHARES, part=st.floats(5.0, 60.0))
def test_pomace_quickens(shares: dict[str, float], part: float) -> None:
    """Pomace olive oil in place of virgin brings trace sooner, sets sooner and makes a harder bar."""
    pomace, virgin = (values(recipe_at(exchanged(shares, name, part))) for name in ("olive pomace oil", "olive oil"))
    assert all(pomace[key] > virgin[key] for key in ("trace_speed", "set_up", "hardness"))


@given(shares=SHARES, less=st.floats(5.0, 100.0))
def test_less_water_quickens_and_lessens_ash(shares: dict[str, float], less: float) -> None:
    """Less water brings trace sooner, sets sooner, hardens, and leaves less ash."""
    made = recipe_at(shares)
    dry = values(made._replace(water=made.water - less * made.fat_grams / 1000.0))
    wet = values(made)
    assert all(dry[key] > wet[key] for key in ("trace_speed", "set_up", "hardness"))
    assert dry["ash_risk"] < wet["ash_risk"]


@given(shares=SHARES, low=st.floats(0.0, 5.0), more=st.floats(0.5, 8.0))
def test_superfat_softens(shares: dict[str, float], low: float, more: float) -> None:
    """More free oil softens, calms the lather and is kinder to the skin."""
    lean, rich = (values(recipe_at(shares, superfat=superfat)) for superfat in (low, low + more))
    assert all(rich[key] < lean[key] for key in ("hardness", "quick_lather", "harshness", "set_up"))


@given(shares=SHARES, share=st.floats(0.2, 3.0))
def test_lactate_hardens_and_lessens_ash(shares: dict[str, float], share: float) -> None:
    """Sodium lactate hardens, sets sooner, and leaves less ash."""
    made = recipe_at(shares)
    more, plain = values(with_more(made, "sodium lactate", share)), values(made)
    assert more["hardness"] > plain["hardness"]
    assert more["set_up"] > plain["set_up"]
    assert more["ash_risk"] < plain["ash_risk"]


@given(shares=SHARES, share=st.floats(0.2, 3.0))
def test_salt_hardens_and_calms_the_lather(shares: dict[str, float], share: float) -> None:
    """A little salt hardens the bar and takes from its lather."""
    made = recipe_at(shares)
    more, plain = values(with_more(made, "salt", share)), values(made)
    assert more["hardness"] > plain["hardness"]
    assert more["quick_lather"] < plain["quick_lather"]


@example(shares={"coconut oil": 1.0}, share=2.0)
@given(shares=SHARES, share=st.floats(0.2, 2.0))
def test_sugar_lathers_and_chelants_ease_scum(shares: dict[str, float], share: float) -> None:
    """Sugar helps the lather; citrate eases scum, and citric acid by the gram more, since it becomes more citrate."""
    made = recipe_at(shares)
    plain = values(made)
    assert values(with_more(made, "sugar", share))["quick_lather"] > plain["quick_lather"]
    citrate = values(with_more(made, "sodium citrate", share))["scum"]
    assert values(with_more(made, "citric acid", share))["scum"] < citrate < plain["scum"]


@example(shares={"coconut oil": 1.0}, share=3.0)
@given(shares=SHARES, share=st.floats(2.0, 5.0))
def test_more_acid_than_was_tried_eases_no_more_scum(shares: dict[str, float], share: float) -> None:
    """Beyond 2 % citric acid eases scum as 2 % of it does, which is what the 3 % of citrate do that it becomes."""
    made = recipe_at(shares)
    least = values(with_more(made, "citric acid", 2.0))["scum"]
    assert values(with_more(made, "citric acid", share))["scum"] == pytest.approx(least, abs=1e-9)
    assert values(with_more(made, "sodium citrate", max(3.0, share)))["scum"] == pytest.approx(least, abs=1e-9)


@given(shares=SHARES, share=st.floats(0.5, 10.0))
def test_rosin_quickens(shares: dict[str, float], share: float) -> None:
    """Rosin, its acids met in full, brings trace sooner and sets sooner."""
    plain, sticky = values(recipe_at(shares)), values(recipe_at(shares, extra={"rosin": share}))
    assert sticky["trace_speed"] > plain["trace_speed"]
    assert sticky["set_up"] > plain["set_up"]


@given(shares=SHARES)
def test_beeswax_and_gel_lessen_ash(shares: dict[str, float]) -> None:
    """Half a per cent of beeswax, and gel, lessen ash; gel sets sooner."""
    made = recipe_at(shares)
    plain, gelled = values(made), values(made._replace(gel=True))
    waxed = values(recipe_at(exchanged(shares, "beeswax", 0.5)))
    assert waxed["ash_risk"] < plain["ash_risk"]
    assert gelled["ash_risk"] < plain["ash_risk"]
    assert gelled["set_up"] > plain["set_up"]


@given(shares=SHARES, warmer=st.floats(1.0, 15.0))
def test_a_warm_batter_is_quick(shares: dict[str, float], warmer: float) -> None:
    """A warmer batter traces sooner, sets sooner and ashes less."""
    made = recipe_at(shares)
    warm, cool = values(made._replace(batter_temperature=35.0 + warmer)), values(made)
    assert warm["trace_speed"] > cool["trace_speed"]
    assert warm["set_up"] > cool["set_up"]
    assert warm["ash_risk"] < cool["ash_risk"]


@given(shares=SHARES, share=st.floats(0.02, 0.3))
def test_potassium_softens_and_lathers(shares: dict[str, float], share: float) -> None:
    """Some potassium in place of sodium softens the bar and eases its lather."""
    made = recipe_at(shares)
    moles = made.sodium_hydroxide * made.sodium_purity / 39.997
    dual = made._replace(
        sodium_hydroxide=made.sodium_hydroxide * (1.0 - share),
        potassium_hydroxide=moles * share * 56.106 / made.potassium_purity,
    )
    mixed, plain = values(dual), values(made)
    assert mixed["hardness"] < plain["hardness"]
    assert mixed["quick_lather"] > plain["quick_lather"]


def test_the_oils_are_of_the_kinds_that_are_spoken_of() -> None:
    """Butters are butters and hard oils hard oils in the reference table."""
    assert {reference().get(name).kind for name in BUTTERS} == {"butter"}
    assert {reference().get(name).kind for name in HARD_OILS} == {"hard oil"}
    assert {reference().get(name).kind for name in SLOW} == {"liquid oil"}

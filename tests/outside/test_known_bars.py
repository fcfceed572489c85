"""Bars that every soap maker knows, in the order that makers give them: common practice, no source.

A figure only compares, so each check is an order, or a word of the house's own bands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import pytest
from strategies import recipe_at

from optimiser.materials.fat_table import reference
from optimiser.measures.measures import measures
from optimiser.measures.profiles import fat_values
from optimiser.recipe.evaluation import judge

COCONUT = {"coconut oil": 1.0}
OLIVE = {"olive oil": 1.0}
TALLOW = {"beef tallow": 1.0}
THIRDS = {"coconut oil": 1.0, "palm oil": 1.0, "olive oil": 1.0}
SEVENTY = {"olive oil": 70.0, "coconut oil": 30.0}

LAURIC = ("coconut oil", "babassu oil", "palm kernel oil")
OLEIC = ("olive oil", "high oleic sunflower oil", "refined olive oil")
PLAIN_HARD = ("beef tallow", "lard", "palm oil")


def told(key: str, shares: Mapping[str, float], superfat: float = 5.0, **extra: float) -> float:
    """A figure of a bar of these fats with a 33 % lye; additives in per cent of the fats."""
    named = {name.replace("_", " "): share for name, share in extra.items()}
    return judge(recipe_at(shares, superfat=superfat, extra=named)).values[key]


def alone(key: str, *fats: str) -> list[float]:
    """A figure of a bar of each fat by itself."""
    return [float(value) for value in fat_values([reference().get(name) for name in fats], [key])[0]]


def test_hardness_runs_from_coconut_to_olive() -> None:
    """Coconut without superfat is rock-hard, at 20 % still harder than thirds; olive is softest (common practice, no source)."""
    order = [
        told("hardness", COCONUT, 0.0),
        told("hardness", TALLOW),
        told("hardness", COCONUT, 20.0),
        told("hardness", THIRDS),
        told("hardness", SEVENTY),
        told("hardness", OLIVE),
    ]
    assert all(one > other for one, other in pairwise(order))
    words = [measures()["hardness"].band(value) for value in order]
    assert words == ["very hard", "very hard", "hard", "hard", "hard", "medium"]


def test_wear_life_is_of_tallow_stearin_and_butters() -> None:
    """Tallow, palm stearin and butters last; coconut and olive melt away (common practice, no source)."""
    lasting = alone("wear_life", "beef tallow", "palm stearin", "shea butter", "cocoa butter")
    assert min(lasting) > 1.5 * max(alone("wear_life", "coconut oil", "olive oil"))


def test_quick_lather_is_of_the_lauric_oils() -> None:
    """Coconut, babassu and palm kernel lather at once; olive, tallow and castor alone are slow (common practice, no source)."""
    slow = alone("quick_lather", "olive oil", "beef tallow", "castor oil")
    assert min(alone("quick_lather", *LAURIC)) > 1.5 * max(slow)
    (olive, _, castor) = slow
    assert castor < olive


def test_quick_lather_is_observed_as_a_time() -> None:
    """How soon a bar lathers is timed: it says nothing of how much foam there is at last."""
    assert "second" in measures()["quick_lather"].observed_by
    assert "mL" not in measures()["quick_lather"].observed_by


QUICK = ("shea butter", "cocoa butter", "mango butter", "coconut oil", "palm oil", "palm stearin", "olive pomace oil")
SLOW = ("olive oil", "high oleic sunflower oil", "lard")


def test_trace_is_quick_with_butters_and_slow_with_virgin_olive() -> None:
    """Butters, hard oils and pomace trace sooner than virgin olive, high oleic and lard (common practice, no source)."""
    assert min(alone("trace_speed", *QUICK)) > max(alone("trace_speed", *SLOW)) + measures()["trace_speed"].scale / 2
    words = {measures()["trace_speed"].band(value) for value in alone("trace_speed", *SLOW)}
    assert words <= {"very slow", "slow"}


def test_rosin_quickens_and_castor_a_little() -> None:
    """Rosin brings trace sooner; castor a little, and less than butters do (common practice, no source)."""
    assert told("trace_speed", THIRDS, rosin=3.0) > told("trace_speed", THIRDS) + 3.0
    olive, castor, shea = alone("trace_speed", "olive oil", "castor oil", "shea butter")
    assert olive < castor < (olive + shea) / 2


def test_coconut_keeps() -> None:
    """Coconut with a fifth of it unreacted keeps for years (common practice, no source)."""
    rich = told("rancidity", COCONUT, 20.0)
    assert measures()["rancidity"].band(rich) == "keeps"
    assert rich > told("rancidity", COCONUT) >= 0.0
    assert told("rancidity", COCONUT, 0.0) >= 0.0


@pytest.mark.parametrize("mild", OLEIC)
@pytest.mark.parametrize("hard", PLAIN_HARD)
def test_olive_and_high_oleic_are_milder_than_hard_fats(mild: str, hard: str) -> None:
    """Makers call olive and high-oleic bars milder than those of tallow, lard or palm (common practice, no source)."""
    one, other = alone("mildness", mild, hard)
    assert one > other + 2.0


def test_hardened_fats_and_waxes_are_given_no_mildness() -> None:
    """What is hardened through, a wax or stearic acid is no milder than palm (common practice, no source)."""
    every = [reference().get(name) for name in reference().names()]
    stiff = [fat.name for fat in every if fat.kind == "wax" or "hydrogenated" in fat.tags or fat.name == "stearic acid"]
    assert len(stiff) > 8
    assert max(alone("mildness", *stiff)) <= alone("mildness", "palm oil")[0]


def test_lauric_bars_are_the_harshest() -> None:
    """Coconut, babassu and palm kernel alone are harsh as no other common fat is (common practice, no source)."""
    others = alone("harshness", *OLEIC, *PLAIN_HARD, "shea butter", "sunflower oil", "castor oil")
    assert min(alone("harshness", *LAURIC)) > 2 * max(others)


@pytest.mark.parametrize("wax", ["jojoba oil", "lanolin"])
def test_liquid_and_soft_waxes_are_no_hard_waxes(wax: str) -> None:
    """One per cent of jojoba or lanolin neither hardens a bar nor kills its lather (common practice, no source)."""
    shares = {"coconut oil": 33.0, "palm oil": 33.0, "olive oil": 33.0}
    for key in ("hardness", "quick_lather", "lasting_lather"):
        assert abs(told(key, shares | {wax: 1.0}) - told(key, shares | {"olive oil": 34.0})) < 1.0


def salt_bar(superfat: float = 20.0, salt: float = 50.0, **choices: Any) -> Mapping[str, float]:
    """The figures of a bar of coconut and salt, as it is commonly made."""
    return judge(recipe_at(COCONUT, superfat=superfat, extra={"salt": salt}, **choices)).values


def test_a_salt_bar_is_hardest_sets_soon_and_lathers() -> None:
    """A salt bar is harder than coconut without superfat, sets within hours and still lathers (common practice, no source)."""
    for salt in (25.0, 50.0, 80.0):
        made = salt_bar(salt=salt)
        assert made["hardness"] > told("hardness", COCONUT, 0.0)
        assert measures()["hardness"].band(made["hardness"]) == "very hard"
        assert made["set_up"] > told("set_up", COCONUT, 20.0) + measures()["set_up"].scale
        assert made["quick_lather"] > max(told("quick_lather", OLIVE), told("quick_lather", TALLOW))
        assert made["ash_risk"] >= 0.0
    assert salt_bar(salt=25.0) == salt_bar(salt=80.0)


def test_long_cured_olive_is_hard() -> None:
    """Olive at 52 weeks is harder than thirds at 4, and gains more by its cure than they do (common practice, no source)."""

    def after(weeks: float, shares: Mapping[str, float]) -> float:
        return judge(recipe_at(shares, cure_weeks=weeks)).values["hardness"]

    assert after(4.0, OLIVE) < after(4.0, SEVENTY) < after(4.0, THIRDS) < after(52.0, OLIVE)
    gains = [after(52.0, shares) - after(6.0, shares) for shares in (COCONUT, THIRDS, OLIVE)]
    assert gains == sorted(gains)
    assert gains[0] > 0.0
    assert gains[1] == pytest.approx(6.0, abs=1.5)
    assert gains[2] == pytest.approx(12.0, abs=1.5)


def test_a_paste_of_potash_is_told_no_figures_of_a_bar() -> None:
    """Of soft soap nobody says how hard it is or when it can be cut; that it keeps and what scum it leaves can be said."""
    paste = judge(recipe_at(OLIVE, potassium=100.0)).values
    assert all(math.isnan(paste[key]) for key in ("hardness", "wear_life", "set_up", "quick_lather"))
    assert not any(math.isnan(paste[key]) for key in ("rancidity", "scum", "harshness", "trace_speed"))

"""What soap makers know: each fact is common practice, no source, unless it says otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from strategies import at_least, exactly, recipe_at, sheet_of, shelf_of, with_practice

from optimiser.answers.blend import answer, answer_for
from optimiser.answers.results import Blend
from optimiser.measures.measures import measures
from optimiser.recipe.evaluation import judge

ROOT = Path(__file__).parents[2]
EVERYDAY = {"palm oil": 40.0, "coconut oil": 25.0, "olive oil": 35.0}
HARD = ("hard", "very hard")


def figure(
    key: str, shares: Mapping[str, float], superfat: float = 5.0, extra: Mapping[str, float] | None = None
) -> float:
    """A figure of the bar made of these fats."""
    return judge(recipe_at(shares, superfat=superfat, extra=extra or {})).values[key]


def swapped(shares: Mapping[str, float], gone: str, taken: str, part: float) -> dict[str, float]:
    """The shares with a part of one fat given to another."""
    out = dict(shares)
    out[gone] -= part
    out[taken] = out.get(taken, 0.0) + part
    return out


@pytest.mark.parametrize(
    "hard",
    [
        {"palm oil": 50.0, "coconut oil": 25.0},
        {"beef tallow": 45.0, "coconut oil": 30.0},
        {"lard": 50.0, "coconut oil": 25.0},
        {"palm oil": 30.0, "lard": 15.0, "palm kernel oil": 30.0},
    ],
)
@pytest.mark.parametrize(
    "liquid", [{"olive oil": 25.0}, {"rapeseed oil": 15.0, "castor oil": 10.0}, {"sweet almond oil": 25.0}]
)
def test_three_quarters_of_hard_oils_make_a_hard_bar(hard: dict[str, float], liquid: dict[str, float]) -> None:
    """75 % hard oils with liquid oils for the rest give a hard bar (common practice, no source)."""
    assert measures()["hardness"].band(figure("hardness", hard | liquid)) in HARD


@pytest.mark.parametrize(
    "shares", [EVERYDAY, {"olive oil": 1.0}, {"coconut oil": 1.0}, {"lard": 3.0, "castor oil": 1.0}]
)
def test_a_lower_superfat_is_a_harder_bar(shares: dict[str, float]) -> None:
    """1-3 % superfat is harder than 5-6 %, and that than 8-10 % (common practice, no source)."""
    hardness = [figure("hardness", shares, superfat) for superfat in (1.0, 3.0, 5.0, 6.0, 8.0, 10.0)]
    assert hardness == sorted(hardness, reverse=True)
    assert hardness[0] > hardness[-1] + 3.0


def test_balanced_soap_may_be_asked_for() -> None:
    """A superfat of 0 % is allowed: the alkali is just what the fats take, and the answer warns (common practice, no source)."""
    found = answer_for(sheet_of(exactly("superfat", 0.0)), shelf_of({"olive oil": 7.0, "palm oil": 2.0}))
    assert isinstance(found, Blend)
    assert found.alkali.superfat == pytest.approx(0.0, abs=1e-6)
    assert found.weighed.superfat >= -1e-6
    assert any("LYE-HEAVY" in caution for caution in found.cautions)


@pytest.mark.parametrize(
    ("taken", "part"),
    [
        *(("olive pomace oil", 20.0), ("shea butter", 10.0), ("cocoa butter", 10.0), ("coconut oil", 10.0)),
        *(("stearic acid", 0.5), ("beeswax", 1.0), ("palm stearin", 10.0)),
    ],
)
def test_what_hardens_in_place_of_virgin_olive_oil(taken: str, part: float) -> None:
    """Pomace, butters, coconut, a little stearic acid or beeswax in place of olive oil harden (common practice, no source)."""
    assert figure("hardness", swapped(EVERYDAY, "olive oil", taken, part)) > figure("hardness", EVERYDAY)


def test_sodium_lactate_hardens() -> None:
    """2 % of sodium lactate hardens the bar and lets it be unmoulded sooner (common practice, no source)."""
    for key in ("hardness", "set_up"):
        assert figure(key, EVERYDAY, extra={"sodium lactate": 2.0}) > figure(key, EVERYDAY) + 1.0


def test_a_third_each_of_coconut_palm_and_olive_is_admitted() -> None:
    """The old recipe of thirds is within house practice and its shares come out as thirds (common practice, no source)."""
    shares = (exactly("coconut oil", 33.3, "fat"), exactly("palm oil", 33.3, "fat"), exactly("olive oil", 33.4, "fat"))
    found = answer_for(with_practice(shares=shares), shelf_of({"coconut oil": 3.0, "palm oil": 2.0, "olive oil": 7.0}))
    assert isinstance(found, Blend)
    told = {line.fat: line.share for line in found.fats}
    assert told == pytest.approx({"coconut oil": 33.3, "palm oil": 33.3, "olive oil": 33.4}, abs=1e-6)
    assert {line.band for line in found.measures if line.id == "hardness"} <= set(HARD)


@pytest.mark.parametrize(
    "tags", [("palm",), ("animal",), ("palm", "animal"), ("palm", "animal", "nut"), ("palm", "animal", "soya")]
)
def test_a_hard_bar_without_palm_or_animals(tags: tuple[str, ...]) -> None:
    """Palm-free and animal-free bars reach 'hard' under house practice (common practice, no source)."""
    from optimiser.files.shelf.shelf import read_shelf

    shelf = read_shelf(ROOT / "inventory" / "kittiwake.yaml")
    found = answer_for(with_practice(at_least("hardness", 58.0), free_from=tags), shelf)
    assert isinstance(found, Blend)
    used = {line.fat for line in found.fats}
    assert not any(set(tags) & item.fat.tags for item in shelf.fats if item.fat.name in used)


@pytest.mark.parametrize(
    ("gone", "taken"),
    [
        *(("olive oil", "shea butter"), ("olive oil", "cocoa butter"), ("olive oil", "mango butter")),
        *(("olive oil", "coconut oil"), ("olive oil", "palm oil"), ("olive oil", "olive pomace oil")),
        *(("rapeseed oil", "palm oil"), ("sunflower oil", "beef tallow"), ("olive oil", "castor oil")),
        *(("high oleic sunflower oil", "coconut oil"), ("olive oil", "stearic acid")),
    ],
)
def test_what_quickens_trace(gone: str, taken: str) -> None:
    """Butters, hard oils, pomace, castor oil and stearic acid quicken trace; liquid oils and virgin olive slow it.

    Common practice, no source.
    """
    base = {"palm oil": 30.0, "coconut oil": 20.0, gone: 50.0}
    assert figure("trace_speed", swapped(base, gone, taken, 5.0)) > figure("trace_speed", base)


def test_castile_is_the_slow_one() -> None:
    """A batter of virgin olive oil traces slower than an ordinary one, and that than one of butters (common practice, no source)."""
    slow, ordinary = figure("trace_speed", {"olive oil": 1.0}), figure("trace_speed", EVERYDAY)
    quick = figure("trace_speed", {"shea butter": 30.0, "cocoa butter": 30.0, "coconut oil": 40.0})
    assert slow < ordinary < quick


@pytest.mark.parametrize(("name", "low", "high"), [("laundry", 0.0, 3.0), ("salt-water", 15.0, 20.0)])
def test_special_bars_are_possible_by_overruling_the_house(name: str, low: float, high: float) -> None:
    """A laundry bar with hardly any superfat, and a bar of coconut alone with much, are made by overruling practice by name.

    Common practice, no source.
    """
    found = answer(ROOT / "goals" / f"{name}.yaml")
    assert isinstance(found, Blend)
    assert low - 1e-6 <= found.alkali.superfat <= high + 1e-6
    if name == "salt-water":
        assert {line.fat: line.share for line in found.fats}["coconut oil"] >= 95.0 - 1e-6


def test_coconut_alone_lathers_at_once_and_is_harsh() -> None:
    """Coconut soap lathers soonest and is the harshest of the common fats; olive soap is mild and slow (common practice, no source)."""
    fats = ("coconut oil", "palm oil", "olive oil", "lard", "beef tallow", "rapeseed oil", "shea butter", "castor oil")
    lather = {name: figure("quick_lather", {name: 1.0}) for name in fats}
    harsh = {name: figure("harshness", {name: 1.0}) for name in fats}
    assert max(lather, key=lather.__getitem__) == "coconut oil"
    assert max(harsh, key=harsh.__getitem__) == "coconut oil"
    assert figure("harshness", {"coconut oil": 1.0}, 20.0) < figure("harshness", {"coconut oil": 1.0}, 5.0)


def test_unsaturated_oils_turn_rancid_first() -> None:
    """Hemp, grapeseed and soya turn sooner than olive, and that sooner than coconut (common practice, no source)."""
    order = ("hemp seed oil", "grapeseed oil", "olive oil", "coconut oil")
    values = [figure("rancidity", {name: 1.0}) for name in order]
    assert values == sorted(values, reverse=True)
    assert figure("rancidity", {"soybean oil": 1.0}) > figure("rancidity", {"olive oil": 1.0})

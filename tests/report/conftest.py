"""Stories built by hand: an invented bar of Kittiwake Soapworks, one that cannot be, and a recipe in hand.

The figures are of one piece (a judged recipe of two kilos of fats) but stand here as numbers, so that a change of the
reference table does not change what the reports are tested on.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from strategies import wish_id

from optimiser.answers.results import (
    Blend,
    Change,
    ClashMember,
    Concession,
    CostFigures,
    GoalLine,
    NoBlend,
    PreferenceLine,
    UnusedLine,
    WeighedRecipe,
)
from optimiser.answers.weighed_lines import AdditiveLine, AlkaliFigures, FatLine, MeasureLine, WaterFigures
from optimiser.materials.additives import Additive
from optimiser.materials.composition import Figure
from optimiser.materials.fat import Fat
from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said, Section, Whose, WishId
from optimiser.recipe import cautions
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.solve.proof import OptimalityProof
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from collections.abc import Callable

GOAL_FILE = "goals/estuary.yaml"
GOLDEN = Path(__file__).parents[1] / "golden"


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compare a text with the one kept under a name; BARWRIGHT_WRITE_GOLDEN=1 keeps it anew."""

    def check(name: str, text: str) -> None:
        path = GOLDEN / name
        if os.environ.get("BARWRIGHT_WRITE_GOLDEN") == "1":
            path.write_text(text, encoding="utf-8")
        assert text == path.read_text(encoding="utf-8")

    return check


def fat(name: str, kind: str, value: float, low: float, high: float) -> Fat:
    """A fat with a saponification value and little else."""
    some = Figure(50.0, 45.0, 55.0)
    return Fat(
        name=name,
        kind=kind,
        tags=frozenset(),
        synonyms=(),
        acids={"C18:1": 100.0},
        acid_ranges={"C18:1": (100.0, 100.0)},
        saponification=Figure(value, low, high),
        iodine=some,
        unsaponifiable=Figure(10.0, 5.0, 15.0),
        density=0.9,
        soap_yield=1.0,
        notes=(),
        facts=(),
        label=None,
    )


LACTATE = Additive("sodium lactate", (), 0.0, 0.6, 0.4, frozenset(), "", "", "", "", 3.0)


def recipe() -> Recipe:
    """Two kilos of fats on a balance that reads 1 g for fats and 0.1 g for alkali."""
    return Recipe(
        fats=(
            (fat("olive oil", "liquid oil", 191.54, 188.33, 194.83), 1224.0),
            (fat("coconut oil", "hard oil", 252.45, 248.0, 262.57), 460.0),
            (fat("shea butter", "butter", 175.85, 160.0, 190.0), 216.0),
            (fat("castor oil", "liquid oil", 180.62, 179.39, 182.01), 100.0),
        ),
        sodium_hydroxide=278.5,
        potassium_hydroxide=0.0,
        water=540.0,
        additives=((LACTATE, 40.0),),
        sodium_purity=0.98,
        potassium_purity=0.9,
        sodium_purest=0.995,
        potassium_purest=0.92,
        fat_step=1.0,
        alkali_step=0.1,
    )


VALUES = {
    "superfat": 5.84,
    "worst_case_superfat": 3.59,
    "lye_concentration": 32.93,
    "potassium_share": 0.0,
    "hardness": 60.37,
    "saponification_value": 203.31,
    "iodine_value": 62.4,
    "short_saturated": 15.11,
    "long_saturated": 17.89,
    "monounsaturated": 54.21,
    "polyunsaturated": 8.99,
}


def judgement() -> Judgement:
    """The recipe above, judged."""
    return Judgement(
        shares={"olive oil": 61.2, "coconut oil": 23.0, "shea butter": 10.8, "castor oil": 5.0},
        pure_sodium_hydroxide=272.93,
        pure_potassium_hydroxide=0.0,
        superfat=5.84,
        superfat_likely_low=4.53,
        superfat_worst_case=3.59,
        total_water=556.0,
        lye_concentration=32.93,
        lye_as_mixed=33.57,
        water_to_alkali=2.04,
        water_share_of_fats=27.8,
        lye_volume_ml=611.36,
        lye_density=1.356,
        lye_temperature=(103.8, 107.5),
        batter_grams=2858.5,
        cured_grams=2552.14,
        values=VALUES,
        money=13.84,
        cost_per_kg=5.4228,
        lye_boiling_point=121.3,
    )


HARDNESS = (("soft", None, 48.0), ("medium", 48.0, 58.0), ("hard", 58.0, 66.0), ("very hard", 66.0, None))
RANCIDITY = (("keeps", None, 1.5), ("fair", 1.5, 2.5), ("turns early", 2.5, None))
TRACE = (
    ("very slow", None, 25.0),
    ("slow", 25.0, 33.0),
    ("medium", 33.0, 42.0),
    ("fast", 42.0, 50.0),
    ("very fast", 50.0, None),
)
SET_UP = (("slow", None, 38.0), ("medium", 38.0, 50.0), ("fast", 50.0, None))


def measures() -> tuple[MeasureLine, ...]:
    """All measures of the bar, some with limits."""
    return (
        MeasureLine("hardness", "hardness", 60.0, "index", "hard", HARDNESS, "+/- 7", "a harder bar", 60.0, 70.0),
        MeasureLine(
            "wear_life",
            "wear life",
            22.26,
            "index",
            "",
            (),
            "+/- 4",
            "a bar that lasts longer and goes to mush less",
            None,
            None,
        ),
        MeasureLine("quick_lather", "quick lather", 39.08, "index", "", (), "+/- 6", "lather at once", 35.0, None),
        MeasureLine("lasting_lather", "lasting lather", 55.72, "index", "", (), "+/- 7", "foam that lasts", None, None),
        MeasureLine("harshness", "harshness", 25.56, "index", "", (), "+/- 4", "a harsher bar", None, 36.0),
        MeasureLine("mildness", "mildness", 74.44, "index", "", (), "+/- 4", "a milder bar", None, None),
        MeasureLine(
            "rancidity",
            "rancidity",
            1.62,
            "index",
            "fair",
            RANCIDITY,
            "+/- 0.3",
            "a bar that goes rancid sooner",
            None,
            1.7,
        ),
        MeasureLine(
            "trace_speed",
            "trace speed",
            38.2,
            "index",
            "medium",
            TRACE,
            "+/- 5",
            "a batter that thickens sooner",
            33.0,
            42.0,
        ),
        MeasureLine(
            "set_up",
            "set-up",
            50.6,
            "index",
            "fast",
            SET_UP,
            "+/- 5",
            "soap that can be unmoulded and cut sooner",
            None,
            None,
        ),
        MeasureLine("scum", "scum", 75.91, "index", "", (), "+/- 9", "more scum", None, None),
        MeasureLine("ash_risk", "ash risk", 40.76, "index", "", (), "advice", "more ash", None, None),
    )


def span(line: int, text: str, file: str = GOAL_FILE) -> Span:
    """A whole line of a file."""
    return Span(file, line, 3, len(text) + 1, text)


def said(asked: WishId, figure: str) -> Said:
    """The words of a wish with this figure."""
    if asked.section == Section.FREE_FROM:
        return Said(f"free from {asked.key}")
    whose = {Section.PRACTICE: Whose.HOUSE, Section.STOCK: Whose.STOCK}.get(asked.section, Whose.OWN)
    return Said(asked.key.replace("_", " "), asked.side, figure, whose=whose)


def wish(
    text: str,
    figure: str,
    where: Span | None,
    stands: tuple[float, float, str],
    costs: tuple[float | None, float],
    why: str = "",
) -> GoalLine:
    """A wish: its value, limit and unit, its price (none where it does not bind) and what dropping it saves."""
    asked = wish_id(text)
    value, limit, unit = stands
    return GoalLine(
        id=asked,
        said=said(asked, figure),
        line=where.line if where else None,
        span=where,
        value=value,
        limit=limit,
        unit=unit,
        side=asked.side,
        binding=costs[0] is not None,
        price_per_unit=costs[0],
        saves_if_dropped=costs[1],
        why=why or "the maker's goal",
        figure=asked.key,
    )


def member(text: str, figure: str, where: Span | None, why: str, reach: str = "") -> ClashMember:
    """One wish of a clash."""
    asked = wish_id(text)
    return ClashMember(asked, said(asked, figure), where.line if where else None, where, why, reach)


def change(text: str, figure: str, before: float, after: float, unit: str, paste: str) -> Change:
    """One wish moved."""
    asked = wish_id(text)
    return Change(asked, said(asked, figure), before, after, unit, paste)


def goals() -> tuple[GoalLine, ...]:
    """Goals that cost, goals that cost nothing, house practice and stock."""
    hard, free = span(8, "  hardness: {between: [60, 70]}"), span(18, "free_from: [palm, animal]")
    shelf = span(7, "  stock: 18 kg", "inventory/kittiwake.yaml")
    slack = (None, 0.0)
    return (
        wish("goals.hardness.at_least", "60", hard, (60.0, 60.0, "index"), (0.0412, 0.2231)),
        wish("goals.hardness.at_most", "70", hard, (60.0, 70.0, "index"), slack),
        wish(
            "goals.trace_speed.at_least", "33", span(9, "  trace_speed: moderate"), (38.2, 33.0, "index"), slack
        )._replace(
            said=Said("trace speed", Side.AT_LEAST, "33", band="medium"),
        ),
        wish(
            "goals.rancidity.at_most",
            "1.7",
            span(10, "  rancidity: {at_most: 1.7}"),
            (1.62, 1.7, "index"),
            slack,
        ),
        wish(
            "goals.superfat.at_least",
            "4 %",
            span(11, "  superfat: {at_least: 4 %}"),
            (5.8, 4.0, "%"),
            slack,
        ),
        wish(
            "goals.cost.at_most",
            "6.40 / kg",
            span(12, "  cost: {at_most: 6.40 / kg}"),
            (5.42, 6.4, "EUR / kg"),
            slack,
        ),
        wish(
            "shares.shea butter.at_least",
            "10.8 %",
            span(15, "  shea butter: {at_least: 10.8 %}"),
            (10.8, 10.8, "%"),
            (0.0527, 0.57),
        ),
        wish(
            "shares.castor oil.exactly",
            "5 %",
            span(16, "  castor oil: 5 %"),
            (5.0, 5.0, "%"),
            (0.0008, 0.004),
        ),
        wish("free_from.palm", "", free, (0.0, 0.0, "%"), (0.0, 1.04)),
        wish("free_from.animal", "", free, (0.0, 0.0, "%"), (0.0, 0.0)),
        wish("stock.coconut oil", "18 kg", shelf, (0.46, 18.0, "kg"), slack, "that is all there is"),
        wish(
            "practice.lye concentration.exactly",
            "33 %",
            None,
            (33.0, 33.0, "%"),
            (0.0, 0.0),
            "One part of alkali to two of water pours.",
        ),
        wish(
            "practice.solid fats.at_most",
            "33.8 %",
            None,
            (33.8, 33.8, "%"),
            (0.0211, 0.11),
            "Up to a third of hard oils and butters gives a hard bar that is not brittle.",
        ),
        wish(
            "practice.castor oil.at_most",
            "10 %",
            None,
            (5.0, 10.0, "%"),
            slack,
            "More makes the bar sticky.",
        ),
    )


def preference(text: str, figure: str, line: int, value: float, limit: float) -> PreferenceLine:
    """A preference for at least so many points."""
    asked = wish_id(text)
    return PreferenceLine(
        asked,
        said(asked, figure),
        line,
        met=value >= limit,
        value=value,
        limit=limit,
        unit="index",
        short_by=max(0.0, limit - value),
        costs=0.214 if value < limit else 0.0,
    )


@pytest.fixture
def blend_story() -> Blend:
    """A blend of four fats."""
    rounded, judged = recipe(), judgement()
    return Blend(
        purity_basis=("grade", "grade"),
        title="Estuary swirl, guest-house bar",
        currency="EUR",
        goal_file=GOAL_FILE,
        shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
        fats=(
            FatLine("olive oil", "liquid oil", 61.2, 1224.0, 1224.0, 8.8128),
            FatLine("coconut oil", "hard oil", 23.0, 460.0, 460.0, 1.426, "KW-CO-117"),
            FatLine("shea butter", "butter", 10.8, 216.0, 216.0, 2.052),
            FatLine("castor oil", "liquid oil", 5.0, 100.0, 100.0, 0.52),
        ),
        alkali=AlkaliFigures(278.5721, 0.0, 273.0007, 0.0, 278.5, 0.0, 0.98, 0.9, 5.8, 4.51, 3.57),
        water=WaterFigures(540.0, 540.0, 556.0, 32.93, 2.04, 27.8, 611.4, 1.356, (103.8, 107.5), 121.3),
        additives=(AdditiveLine("sodium lactate", 2.0, 40.0, 40.0, 0.36),),
        measures=measures(),
        figures=VALUES,
        cost=CostFigures(5.4228, 0.5965, 13.84, 110.0, 23.2, 2552.14),
        goals=goals(),
        preferences=(
            preference("prefer.0.mildness.at_least", "72", 21, 74.44, 72.0),
            preference("prefer.1.wear_life.at_least", "26", 22, 22.26, 26.0),
        ),
        unused=(
            UnusedLine("cocoa butter", "butter", 11.8, 8.42),
            UnusedLine("rice bran oil", "liquid oil", 3.7, 3.61),
            UnusedLine("argan oil", "liquid oil", 32.0, 6.95),
            UnusedLine("mango butter", "butter", 12.9, 8.11),
            UnusedLine("sweet almond oil", "liquid oil", 9.2, 6.02),
            UnusedLine("avocado oil", "liquid oil", 10.5, 6.4),
            UnusedLine("babassu oil", "hard oil", 8.4, 3.2),
            UnusedLine("hemp seed oil", "liquid oil", 10.8, None, enters="never"),
            UnusedLine("stearic acid", "fatty acid", 3.4, None, enters="never"),
            UnusedLine("palm oil", "hard oil", 1.95, None, Said("free from palm"), "barred"),
            UnusedLine("palm kernel oil", "hard oil", 2.75, None, Said("free from palm"), "barred"),
            UnusedLine("lard", "hard oil", 2.2, None, Said("free from animal"), "barred"),
        ),
        proof=OptimalityProof(5.42279, 1.8e-6, exact=True, preferences=2),
        cautions=cautions.cautions(rounded, judged),
        steps=("Weigh the fats.", "Dissolve the alkali in the water."),
        notes=(),
        recipe=rounded,
        weighed=judged,
        step_grams=1.0,
        is_counted=False,
    )


@pytest.fixture
def heavy_story(blend_story: Blend) -> Blend:
    """A blend whose superfat is likely to fall below zero."""
    judged = blend_story.weighed._replace(superfat=1.0, superfat_likely_low=-0.4, superfat_worst_case=-1.3)
    told = cautions.cautions(blend_story.recipe, judged)
    return blend_story._replace(weighed=judged, cautions=told, alkali=blend_story.alkali._replace(superfat=1.0))


@pytest.fixture
def no_blend_story() -> NoBlend:
    """Two clashes, one of them with house practice and stock, and two ways out."""
    file = "goals/summer.yaml"
    hard = span(7, "  hardness: {at_least: 66}", file)
    oils = span(11, "  hard oils: {at_most: 20 %}", file)
    palm = span(14, "free_from: [palm, animal]", file)
    stock = span(12, "  - {fat: beeswax, price: 12.00 / kg, stock: 10 g}", "inventory/kittiwake.yaml")
    mine = "the maker's goal"
    return NoBlend(
        title="Summer bar",
        currency="EUR",
        goal_file=file,
        shelf_title="Kittiwake Soapworks, autumn shelf (invented)",
        clashes=(
            (
                member("goals.hardness.at_least", "66", hard, mine,
                            "hardness reaches 51.3 at most")._replace(gives="to 51.3 or less"),
                member("shares.hard oils.at_most", "20 %", oils, mine,
                            "hard oils come down to 52.6 % at best")._replace(gives="to 52.6 % or more"),
                member("free_from.palm", "", palm, mine),
            ),
            (
                member("goals.hardness.at_least", "66", hard, mine),
                member("stock.beeswax", "0.01 kg", stock, "that is all there is on the shelf"),
                member("practice.fatty acids.at_most", "0.5 %", None,
                            "Free fatty acid turns to soap on contact; more than a pinch seizes the batter."),
            ),
        ),
        complete=True,
        concessions=(
            Concession((change("goals.hardness.at_least", "66", 66.0, 51.34, "index", "hardness: {at_least: 51.3}"),), 5.61),
            Concession(
                (
                    change("shares.hard oils.at_most", "20 %", 20.0, 44.02, "%", "hard oils: {at_most: 44.1 %}"),
                    change("goals.hardness.at_least", "66", 66.0, 64.0, "index", "hardness: {at_least: 64}"),
                ),
                6.02,
            ),
        ),
        margin=0.031,
        exact=True,
    )  # fmt: skip


@pytest.fixture
def weighed_story(blend_story: Blend) -> WeighedRecipe:
    """A recipe in hand that misses one goal."""
    kept = [goal._replace(binding=False, price_per_unit=None, saves_if_dropped=None) for goal in blend_story.goals[:9]]
    kept[0] = kept[0]._replace(said=said(kept[0].id, "65"), limit=65.0, holds_when_weighed=False)
    return WeighedRecipe(
        purity_basis=("told", "assumed"),
        title="Estuary swirl",
        currency="EUR",
        recipe_file="recipes/estuary.yaml",
        recipe=blend_story.recipe._replace(fat_step=0.0, alkali_step=0.0),
        judgement=blend_story.weighed,
        measures=tuple(line._replace(low_limit=None, high_limit=None) for line in measures()),
        cost=blend_story.cost,
        goals=(*kept, blend_story.goals[-1]._replace(binding=False)),
        preferences=blend_story.preferences,
        meets_goals=False,
        cautions=blend_story.cautions,
        notes=("Water worked out for a lye of 33 %.",),
    )

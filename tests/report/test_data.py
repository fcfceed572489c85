"""Answers as data."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.recipe import cautions
from optimiser.report.json import documents as data
from optimiser.report.json.parts import rounded_down, shares_to_hundred
from optimiser.report.json.writing import to_json
from optimiser.solve.proof import OptimalityProof

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from optimiser.answers.results import Blend, NoBlend, WeighedRecipe


def test_blend_document(blend_story: Blend, golden: Callable[[str, str], None]) -> None:
    """The JSON of a blend is the one that scripts were written against, to the byte."""
    golden("blend.json", to_json(data.blend(blend_story)))


def test_no_blend_document(no_blend_story: NoBlend, golden: Callable[[str, str], None]) -> None:
    """The JSON of goals that clash is the one that scripts were written against, to the byte."""
    golden("no-blend.json", to_json(data.no_blend(no_blend_story)))


def test_weighed_document(weighed_story: WeighedRecipe, golden: Callable[[str, str], None]) -> None:
    """The JSON of a recipe in hand is the one that scripts were written against, to the byte."""
    golden("weighed.json", to_json(data.weighed(weighed_story)))


BLEND_KEYS = {
    "fats": {"fat", "share", "grams", "cost"},
    "alkali": {
        *("sodium_hydroxide_g", "potassium_hydroxide_g"),
        *("superfat", "superfat_likely_low", "superfat_worst_case"),
    },
    "water": {"grams", "lye_concentration", "water_to_alkali", "share_of_fats"},
    "additives": {"additive", "grams", "cost"},
    "cost": {"per_kg", "per_bar", "batch"},
    "goals": {"id", "says", "line", "value", "limit", "binding", "price_per_unit", "saves_if_dropped"},
    "prefer": {"id", "met", "short_by"},
    "unused": {"fat", "price", "enters_below"},
    "certificate": {"cheapest_possible_per_kg", "gap"},
}


@pytest.mark.parametrize(("key", "named"), BLEND_KEYS.items())
def test_promised_keys(blend_story: Blend, key: str, named: set[str]) -> None:
    """Every key that the format promises is there, in every entry of a list."""
    part = data.blend(blend_story)[key]
    entries = part if isinstance(part, list) else [part]
    assert entries
    assert all(named <= set(entry) for entry in entries)


def test_no_blend_has_none_of_a_blends_keys(no_blend_story: NoBlend) -> None:
    """Where there is no blend, no figure stands that could be taken for a recipe."""
    told = data.no_blend(no_blend_story)
    assert not set(told) & {"fats", "alkali", "water", "measures", "cost", "to_weigh"}
    assert told["status"] == "infeasible"
    assert told["certificate"]["proves"] == "infeasible"
    assert told["clashes"][0] == ["goals.hardness.at_least", "shares.hard oils.at_most", "free_from.palm"]
    assert told["concessions"][0]["change"][0]["to"] == 51.34


def test_alkali_as_weighed_and_pure(blend_story: Blend) -> None:
    """The alkali is told as it is weighed, its purity included, and pure beside it."""
    alkali = data.blend(blend_story)["alkali"]
    pure = alkali["sodium_hydroxide_g"] * alkali["sodium_hydroxide_purity"] / 100
    assert pure == pytest.approx(alkali["sodium_hydroxide_pure_g"], abs=1e-3)
    assert alkali["sodium_hydroxide_g"] > alkali["sodium_hydroxide_pure_g"]


def test_to_weigh_is_the_rounded_recipe(blend_story: Blend) -> None:
    """What goes on the balance stands apart from the exact blend, with the superfat it then has."""
    told = data.blend(blend_story)
    assert told["to_weigh"]["sodium_hydroxide_g"] == 278.5
    assert told["alkali"]["sodium_hydroxide_g"] == 278.572
    assert told["to_weigh"]["superfat"] == 5.84
    assert told["alkali"]["superfat"] == 5.8
    assert told["to_weigh"]["step_g"] == 1.0


def test_cautions_always_there(blend_story: Blend, weighed_story: WeighedRecipe) -> None:
    """No document with an alkali figure goes without the cautions, even if the story forgot them."""
    for told in (data.blend(blend_story._replace(cautions=())), data.weighed(weighed_story._replace(cautions=()))):
        assert set(cautions.standing(blend_story.recipe)) <= set(told["cautions"])


def test_urgent_caution_first(heavy_story: Blend) -> None:
    """A blend that is likely lye-heavy says so before anything else it warns of."""
    assert "LYE-HEAVY" in data.blend(heavy_story)["cautions"][0]


@pytest.mark.parametrize(("reached", "boils"), [((103.8, 107.5), False), ((119.0, 121.3), True)])
def test_whether_the_lye_boils_is_told(blend_story: Blend, reached: tuple[float, float], boils: bool) -> None:  # noqa: FBT001
    """Data say what the lye could reach, where it boils, and whether it would."""
    told = data.blend(blend_story._replace(water=blend_story.water._replace(temperature=reached)))["water"]
    assert told["lye_temperature_degC"] == {"low": reached[0], "high": reached[1]}
    assert told["lye_boiling_point_degC"] == 121.3
    assert told["lye_boils"] is boils


def test_no_number_is_null(blend_story: Blend) -> None:
    """What is no number, or without end, is null in the document, which stays valid JSON."""
    odd = blend_story._replace(
        water=blend_story.water._replace(
            lye_volume_ml=math.nan,
            water_to_alkali=math.inf,
            temperature=(math.nan, math.nan),
            boiling_point=math.nan,
        ),
    )
    text = to_json(data.blend(odd) | {"figures": {"a": math.nan, "b": [-math.inf, -0.0]}})
    told = json.loads(text, parse_constant=pytest.fail)
    assert told["water"]["lye_volume_ml"] is None
    assert told["water"]["water_to_alkali"] is None
    assert told["water"]["lye_boils"] is None
    assert told["figures"] == {"a": None, "b": [None, 0.0]}
    assert "-0.0" not in text


def test_lower_bound_is_rounded_down(blend_story: Blend) -> None:
    """The proved bound never comes out above what was proved, nor above the blend's own cost."""
    proof = OptimalityProof(5.42279999999, 0.0, exact=True)
    cost = blend_story.cost._replace(per_kg=5.42279999999)
    told = data.blend(blend_story._replace(proof=proof, cost=cost))
    assert told["certificate"]["cheapest_possible_per_kg"] == 5.422799
    assert told["certificate"]["cheapest_possible_per_kg"] <= told["cost"]["per_kg"]


def test_plain_ascii_and_line_break(blend_story: Blend) -> None:
    """The document survives any pipe: ASCII alone, and a line break at its end."""
    text = to_json(data.blend(blend_story._replace(title="Sjøfugl № 5")))
    assert text.isascii()
    assert text.endswith("}\n")
    assert json.loads(text)["title"] == "Sjøfugl № 5"


@given(st.lists(st.floats(0.001, 1.0), min_size=1, max_size=40))
def test_shares_sum_to_a_hundred(weights: list[float]) -> None:
    """Shares written in six decimals add up to exactly 100, and none is moved by more than the rest was rounded."""
    total = math.fsum(weights)
    shares = [100.0 * weight / total for weight in weights]
    told = shares_to_hundred(shares)
    assert sum(round(share * 10**6) for share in told) == 100 * 10**6
    assert math.fsum(told) == pytest.approx(100.0, abs=1e-9)
    assert max(abs(a - b) for a, b in zip(shares, told, strict=True)) <= 5e-7 * (len(shares) + 1)


def test_shares_that_are_no_whole() -> None:
    """Shares that do not add up are not made to."""
    assert shares_to_hundred([50.0, 40.0]) == [50.0, 40.0]
    assert shares_to_hundred([]) == []


@given(st.floats(0.0, 1e4))
def test_rounding_down(value: float) -> None:
    """Rounding down never goes up, and by less than a step down."""
    told = rounded_down(value, 6)
    assert told is not None
    assert told <= value
    assert value - told < 1.1e-6


def leaves(value: Any) -> Iterator[Any]:
    """Every scalar of a document."""
    if isinstance(value, dict):
        for part in value.values():
            yield from leaves(part)
    elif isinstance(value, list):
        for part in value:
            yield from leaves(part)
    else:
        yield value


def test_sensible_digits(blend_story: Blend) -> None:
    """No figure of the document drags a tail of binary fractions behind it."""
    told = json.loads(to_json(data.blend(blend_story)))
    floats = [leaf for leaf in leaves(told) if isinstance(leaf, float)]
    assert floats
    assert all(len(repr(leaf).partition(".")[2]) <= 7 for leaf in floats)

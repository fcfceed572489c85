"""Laws of blends that differ, held by a judge without rows: each meets every goal, whatever is drawn."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import Bar, bars, examples, recipe_at
from workshops import Workshop, workshops

from optimiser.answers.choice_results import Choices
from optimiser.answers.choices import choices_for
from optimiser.measures.sides import Side
from optimiser.problem.limits import Limit
from optimiser.recipe.evaluation import judge
from optimiser.report.json import documents as data
from optimiser.report.json.writing import to_json
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.report.terminal import text


def missed_by(wish: Limit, value: float) -> float:
    """How far a value lies beyond a limit on one side; below zero where it keeps to it."""
    return value - wish.value if wish.side == Side.AT_MOST else wish.value - value


@settings(max_examples=examples(20))
@given(bars(counted=True), st.sampled_from((1.0, 5.0, 25.0)), st.integers(2, 5))
def test_every_blend_meets_every_goal(bar: Bar, within: float, count: int) -> None:
    """Its shares, made into a recipe anew and judged, keep to all limits; it costs no more and swaps no more than is told."""
    found = choices_for(bar.sheet, bar.shelf, within=f"{within} %", count=count)
    assume(isinstance(found, Choices))
    assert isinstance(found, Choices)
    assert 1 <= len(found.choices) <= count
    prices = bar.shelf.prices
    cheapest = None
    for choice in found.choices:
        shares = {line.fat: line.share for line in choice.blend.fats}
        told = choice.blend
        pure = recipe_at(shares, superfat=told.alkali.superfat, lye=told.water.lye_concentration)
        judged = judge(pure._replace(sodium_hydroxide=pure.sodium_hydroxide / 0.98, sodium_purity=0.98), prices)
        assert len(shares) <= bar.sheet.fat_count[0].value
        for wish in bar.sheet.goals:
            assert missed_by(wish, judged.values[wish.key]) <= 1e-4 * max(1.0, abs(wish.value))
        assert judged.cost_per_kg is not None
        cheapest = judged.cost_per_kg if cheapest is None else cheapest
        assert judged.cost_per_kg <= cheapest * (1.0 + within / 100.0) * (1.0 + 1e-6)
        assert choice.dearer == pytest.approx(100.0 * (judged.cost_per_kg / cheapest - 1.0), abs=1e-4)
        assert choice.swapped <= 100.0 * found.most.share + 1e-4


@settings(max_examples=examples(20))
@given(st.one_of(workshops(), workshops(practised=True), workshops(designed=True)))
def test_whole_workshops_are_told(shop: Workshop) -> None:
    """Goal files with designs, preferences, stocks, potassium and additives: blends that keep to cost and limit, told and kept."""
    with TemporaryDirectory() as name:
        sheet, shelf = shop.read(Path(name))
        found = choices_for(sheet, shelf, within="6 %", count=3)
    assume(isinstance(found, Choices))
    assert isinstance(found, Choices)
    assert to_json(data.choices(found)).startswith("{")
    assert "How different can a blend be?" in text.choices(found, 40, ascii=True, full=True)
    for choice in found.choices:
        assert choice.dearer <= 6.0 + 1e-5
        assert choice.swapped <= 100.0 * found.most.share + 1e-4
        assert "sodium hydroxide" in recipe_yaml(choice.blend, Path("kept.yaml"))
    assert found.is_single or min(choice.apart for choice in found.choices) >= 1.0

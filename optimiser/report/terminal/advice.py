"""Ash and hard water in a few lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.problem.units import Units
from optimiser.recipe.weights import Weights
from optimiser.report import words
from optimiser.report.terminal.page import Gap, Line, Part

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.recipe.hard_water import HardWater
    from optimiser.recipe.soda_ash import AshAdvice

LITTLE = 35.0  # points of ash risk below which there is little to fear
MOST_TIPS = 3


def block(
    ash: AshAdvice | None, water: HardWater | None, *, full: bool = False, units: Units = Units.GRAMS
) -> Iterator[Part]:
    """What to do about ash, what takes it off, and what hard water takes of the bar; all of the advice if it is wanted."""
    if ash is None and water is None:
        return
    if ash is not None:
        yield from against_ash(ash, full=full)
        if full:
            yield Line("Advice against ash is common practice; its points are our judgement.", hang=2)
    if water is not None:
        yield from in_hard_water(water, units)
        if full:
            yield Line(f"What hard water takes: {water.status}.", hang=2)
    yield Gap()


def against_ash(ash: AshAdvice, *, full: bool = False) -> Iterator[Part]:
    """The best advice first, and what is held back by a wish; where the risk is small, that."""
    risk = max(0.0, ash.risk)
    if risk < LITTLE and not full:
        yield Line(f"Ash risk {risk:.0f}: little to fear. If it comes: {after(ash)}.", hang=2)
        return
    tips = [tip for tip in ash.tips if tip.is_free]
    shown = tips if full else tips[:MOST_TIPS]
    told = "; ".join(
        f"{tip.do} ({tip.points:.0f}{' points less' if not place else ''}{f'; {tip.but}' if full and tip.but else ''})"
        for place, tip in enumerate(shown)
    )
    more = f"; {len(tips) - len(shown)} more with --full" if len(tips) > len(shown) else ""
    yield Line(words.glued(f"Ash risk {risk:.0f}: {told or 'nothing within these goals lowers it'}{more}."), hang=2)
    yield from held_back(ash, full=full)
    yield Line(f"If it comes: {after(ash)}.", hang=2)


def held_back(ash: AshAdvice, *, full: bool = False) -> Iterator[Part]:
    """What a wish or a choice stands in the way of, and what it would bring; not what the batter cannot bear.

    What the maker's own hold back is never left out; what a design does is told in full alone.
    """
    held = [tip for tip in ash.tips if not tip.is_free and not tip.is_unwise]
    by_reason: dict[str, list[str]] = {}
    for tip in held if full else [tip for tip in held if tip.is_own]:
        by = f", since {tip.held}" if tip.held else f" by {tip.against}"
        points = " points less" if by not in by_reason else ""
        by_reason.setdefault(by, []).append(f"{tip.do} ({tip.points:.0f}{points})")
    for by, tips in by_reason.items():
        yield Line(words.glued(f"Held back{by}: {'; '.join(tips)}."), hang=2)


def after(ash: AshAdvice) -> str:
    """What takes ash off."""
    return ", ".join(ash.after)


def in_hard_water(water: HardWater, units: Units = Units.GRAMS) -> Iterator[Part]:
    """What a litre takes of the bar, and how little a chelant changes it."""
    spared = f" (at most {water.spared:.0f} % spared by the chelant in it)" if water.spared >= 0.5 else ""
    more = "".join(
        f" {item.share:g} % {item.name} would spare at most {item.spares:.0f} %." for item in water.offers[:1]
    )
    weights = Weights(decimals=1) if units.is_metric else Weights(Units.OUNCES, 2)
    says = (
        f"Water of {water.hardness:.0f} mg/L ({water.word}): a litre turns {weights.told(water.soap_lost)} of soap to scum, "
        f"{weights.told(water.bar_lost)} of {'the paste as it is in the jar' if water.of_paste else 'this bar'}{spared}, before it lathers.{more}"
    )
    yield Line(words.glued(says), hang=2)

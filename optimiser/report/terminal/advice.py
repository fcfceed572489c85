"""Ash and hard water in a few lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.page import Gap, Line, Part

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.recipe.hard_water import HardWater
    from optimiser.recipe.soda_ash import AshAdvice

LITTLE = 35.0  # points of ash risk below which there is little to fear
MOST_TIPS = 3


def block(ash: AshAdvice | None, water: HardWater | None, *, full: bool = False) -> Iterator[Part]:
    """What to do about ash, what takes it off, and what hard water takes of the bar."""
    if ash is None and water is None:
        return
    if ash is not None:
        yield from against_ash(ash)
        if full:
            yield Line("Advice against ash is common practice; its points are our judgement.", hang=2)
    if water is not None:
        yield from in_hard_water(water)
        if full:
            yield Line(f"What hard water takes: {water.status}.", hang=2)
    yield Gap()


def against_ash(ash: AshAdvice) -> Iterator[Part]:
    """The best advice first; where the risk is small, that."""
    if ash.risk < LITTLE:
        yield Line(f"Ash risk {max(ash.risk, 0.0):.0f}: little to fear. If it comes: {after(ash)}.", hang=2)
        return
    tips = [tip for tip in ash.tips if not tip.against][:MOST_TIPS]
    told = "; ".join(
        f"{tip.do} ({tip.points:.0f}{' points less' if not place else ''})" for place, tip in enumerate(tips)
    )
    yield Line(words.glued(f"Ash risk {ash.risk:.0f}: {told or 'nothing within these goals lowers it'}."), hang=2)
    yield Line(f"If it comes: {after(ash)}.", hang=2)


def after(ash: AshAdvice) -> str:
    """What takes ash off."""
    return ", ".join(ash.after)


def in_hard_water(water: HardWater) -> Iterator[Part]:
    """What a litre takes of the bar, and how little a chelant changes it."""
    spared = f" ({water.spared:.0f} % spared by the chelant in it)" if water.spared >= 0.5 else ""
    more = "".join(f" {item.share:g} % {item.name} would spare {item.spares:.0f} %." for item in water.offers[:1])
    says = (
        f"Water of {water.hardness:.0f} mg/L ({water.word}): a litre turns {water.soap_lost:.1f} g of soap to scum, "
        f"{water.bar_lost:.1f} g of this bar{spared}, before it lathers.{more}"
    )
    yield Line(words.glued(says), hang=2)

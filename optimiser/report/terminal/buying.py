"""What is bought for a blend: the buying list, and the money paid, used and left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.recipe.weights import stocked
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.buying_figures import BuyingFigures
    from optimiser.planning.orders import Line as Bought
    from optimiser.problem.units import Units

PROVED = 1e-5  # relative: a gap that is none


def block(buying: BuyingFigures | None, currency: str, units: Units) -> Iterator[Part]:
    """All of it; nothing where the goals say nothing of buying.

    Args:
        buying: what is bought.
        currency: of the prices.
        units: those in which weights are told.
    """
    if buying is None:
        return
    yield Heading("To buy", words.per(currency, "pack") if any(not one.tin.is_loose for one in buying.lines) else "")
    if buying.lines:
        yield table(buying, currency, units)
    else:
        yield Line("Nothing: all of it is in stock.")
    yield from (Line(sentence, hang=2) for sentence in money(buying, currency))
    yield Gap()


def table(buying: BuyingFigures, currency: str, units: Units) -> Table:
    """The buying list and what it comes to."""
    weights = stocked(units)
    rows = [
        (
            line.called or line.fat,
            words.glued(size or "loose"),
            "" if line.tin.is_loose else f"{line.number:.0f}",
            weights.figure(1000.0 * line.kilos, words.GLUE),
            words.money(line.cost),
        )
        for line, size in zip(buying.lines, buying.sizes, strict=True)
    ]
    whole = weights.figure(1000.0 * sum(line.kilos for line in buying.lines), words.GLUE)
    rows.append(("all of it", "", "", whole, words.money(buying.cash_out)))
    columns = (
        *(Column("fat", wraps=True), Column("pack"), Column("how many", "right")),
        *(Column(weights.head, "right"), Column(currency or words.MONEY, "right")),
    )
    return Table(columns, rows, last_is_total=True)


def money(buying: BuyingFigures, currency: str) -> Iterator[str]:
    """Cash out, cost used and value left told apart, and what the same blend could be bought for."""
    cash, used, left = (words.priced(one, currency) for one in (buying.cash_out, buying.cost_used, buying.value_left))
    yield (
        f"Cash out {cash}; cost used {used} (alkali and additives with it, stock at the shelf's price), which is what "
        f"the costs above are; value left {left} in what was bought, at what it cost."
    )
    least = buying.least_cash
    if least is not None:
        cash, used = words.priced(least.cash_out, currency), words.priced(least.cost_used, currency)
        packs = (
            words.joined(
                [
                    f"{counted(line, size)} {line.called or line.fat}"
                    for line, size in zip(least.lines, least.sizes, strict=True)
                ]
            )
            or "nothing"
        )
        yield (
            f"The same blend can be had for {cash} of cash, with {used} of cost used: buy {packs}. "
            "'aim: least cash' looks for the blend too."
        )
    if buying.proof is not None:
        yield proved(buying)


def first_of_all(buying: BuyingFigures, currency: str) -> str:
    """The buying list as a sentence, for who has the goals at hand and not the tins."""
    tins = [
        f"{counted(line, size)} {line.called or line.fat}"
        for line, size in zip(buying.lines, buying.sizes, strict=True)
    ]
    return f"To buy before it can be made: {words.joined(tins)}, for {words.priced(buying.cash_out, currency)} in all."


def counted(line: Bought, size: str) -> str:
    """So many packs of a size, or kilos, as a part of a sentence."""
    return f"{line.kilos:.2f} kg of" if line.tin.is_loose else f"{line.number:.0f} x {size} of"


def proved(buying: BuyingFigures) -> str:
    """What is proved of the least cash."""
    assert buying.proof is not None
    share = buying.buying.left_counts
    what = f", less {100.0 * share:g} % of what is left," if share > 0.0 else ""
    gap = buying.proof.gap
    if gap <= PROVED and not buying.proof.is_limited:
        return f"No other purchase for these goals takes less cash{what} for a kilo of bar (by the solver's bound)."
    return (
        f"No purchase for these goals takes over {100.0 * gap:.2f} % less cash{what} for a kilo of bar (by the solver's "
        "bound; the search ended there)."
    )

"""A cost curve as values: what it is of, its points, where blends end and why; and the grid of two limits."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.measures.sides import Side
from optimiser.problem.wishes import Said, WishId
from optimiser.text.diagnostics import Diagnostic


class CurvePoint(NamedTuple):
    """One limit of a curve, and the cheapest blend at it.

    `fats` are names and shares (%), the largest first. At a breakpoint `comes_in` and `goes` are the fats that the blend
    gains and loses as the limit gets harder, `binds` and `frees` the wishes that come to stand at their limits or no longer
    do, `gives_way` the rules and preferences that are not kept in full from here on, `kept_again` those that are again.
    `each_more` is what one unit harder costs per kilo just beyond; None at the hard end and where the curve is laid. `poured` is the cost
    per kilo of what `blend` would answer where it leaves pinches out; None where that is the same.
    `exact`: it is the cost of the cheapest blend, proved; else it lies on a line between two answers.
    """

    limit: float
    cost_per_kg: float
    breakpoint: bool
    exact: bool
    fats: tuple[tuple[str, float], ...]
    each_more: float | None = None
    comes_in: tuple[str, ...] = ()
    goes: tuple[str, ...] = ()
    binds: tuple[Said, ...] = ()
    frees: tuple[Said, ...] = ()
    gives_way: tuple[Said, ...] = ()
    kept_again: tuple[Said, ...] = ()
    poured: float | None = None


class CurveEnd(NamedTuple):
    """Where a curve ends, at a hard end, and why.

    "asked": there it was asked to; "scale": no more of it can be asked; "blend": with more there is none; "unknown": of a soap
    with more nobody could say whether it meets the other goals; "rules": with more, rules of the house, or of whom the bar is
    for, give way (`gives_way`), and with that there are blends up to `onward`.

    `against` are the wishes with which a harder limit (than `onward`, where there is one) cannot be; empty where that is not
    known, or more may be asked.
    """

    limit: float
    why: str
    against: tuple[Said, ...] = ()
    gives_way: tuple[Said, ...] = ()
    onward: float | None = None


class Drawn(NamedTuple):
    """A place that the line of a chart goes through; `is_laid`: from here on it is laid between answers."""

    limit: float
    cost: float
    is_laid: bool


class CurvePiece(NamedTuple):
    """The curve from `low` to `high`: at `at` + s it costs (money0 + money1 s) / (cured0 + cured1 s), per kilo of cured bar."""

    low: float
    high: float
    at: float
    money: tuple[float, float]
    cured: tuple[float, float]
    exact: bool

    def cost(self, limit: float) -> float:
        """Money per kilo at a limit of the piece."""
        s = limit - self.at
        return (self.money[0] + self.money[1] * s) / (self.cured[0] + self.cured[1] * s)


class Curve(NamedTuple):
    """What the limit on one figure costs, from `points[0]` to the last, limits rising.

    `says` is what the limit is on; `unit` of it. `now` is the limit in the file, with its cost; None where there is none.
    `free` is the limit up to which it costs nothing more, where the curve shows it. `pieces` are the whole of it, limits rising; `drawn` are many
    places for charts. `exact`: every cost of it is that of the cheapest blend. `is_counted`: fats are counted, and each choice of them is
    followed exactly, while which is best was asked at some limits alone. `solves`: linear programmes solved on the way.
    `ends` are the hard ends: one, or two where the limit is an exact figure. `gives_way` are the rules and preferences that are
    not kept in full from its easy end on. `near_to`: the recipe in hand that the blend at each limit is nearest to, if any; the
    cost is then that of the nearest, not of the cheapest.
    """

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    of: WishId
    says: str
    unit: str
    side: Side
    points: tuple[CurvePoint, ...]
    pieces: tuple[CurvePiece, ...]
    drawn: tuple[Drawn, ...]
    ends: tuple[CurveEnd, ...]
    free: float | None
    now: float | None
    exact: bool
    is_counted: bool
    solves: int
    cautions: tuple[str, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    shelf_file: str = ""
    near_to: str = ""
    gives_way: tuple[Said, ...] = ()
    is_near: bool = False  # every answer is the nearest to a recipe in hand

    def cost_at(self, limit: float) -> float:
        """Money per kilo of cured bar at a limit of the curve; where it jumps, the dearer of the two.

        Raises:
            ValueError: the limit is beyond the curve.
        """
        found = [piece.cost(limit) for piece in self.pieces if piece.low <= limit <= piece.high]
        if not found:
            raise ValueError(
                f"the curve goes from {self.points[0].limit:g} to {self.points[-1].limit:g}, not to {limit:g}"
            )
        return max(found)


class GridAxis(NamedTuple):
    """One of two limits of a grid: what it is on, and the limits that were asked."""

    of: WishId
    says: str
    unit: str
    side: Side
    limits: tuple[float, ...]


class CurveGrid(NamedTuple):
    """What two limits cost together: the cheapest blend's cost at each pair, None where there is no blend.

    `costs[i][j]` is at `axes[0].limits[i]` and `axes[1].limits[j]`, and `as_written[i][j]` whether no rule of the house gives way
    there. Between the pairs nothing is claimed. `near_to`: as of a curve.
    """

    title: str
    currency: str
    goal_file: str
    shelf_title: str
    axes: tuple[GridAxis, GridAxis]
    costs: tuple[tuple[float | None, ...], ...]
    as_written: tuple[tuple[bool, ...], ...]
    cautions: tuple[str, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    shelf_file: str = ""
    near_to: str = ""

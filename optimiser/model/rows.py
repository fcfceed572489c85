"""Rows: what must hold of a blend, each knowing its own words, unit, line and reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Vector
from optimiser.maths.units import MASS
from optimiser.measures.measures import measures
from optimiser.measures.quantities import find_quantity
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.columns import Columns
from optimiser.model.pot import batter, volume
from optimiser.problem.falling import falls_under
from optimiser.problem.limits import GRAMS, PER_KILO, Limit
from optimiser.problem.places import Span, in_file
from optimiser.problem.wishes import Origin, Said, Section, Whose, WishId

SHARE_STEP = 1.0  # % of the fats: a small change of an additive
ORDINARY_LITRE = (
    0.65  # kg of fats in a litre of batter, and in a kilo of cured bar: for the size of a small change alone
)
ORDINARY_CURED = 0.75
ORDINARY_BATTER = 0.7  # the same in a kilo of batter
EXACT_BAND = 0.5  # a bare figure for a bar measure means within half a point


class Row(NamedTuple):
    """One side of one figure: top.v / bottom.v at least, at most or exactly `limit`, in `unit`.

    `bottom` is None where the figure is linear as it stands. `scale` is the step that a maker would call a small
    change. `wish` is the wish that the row belongs to: rows of one wish stand and fall together.
    """

    wish: WishId
    figure: str
    said: Said
    side: Side
    limit: float
    unit: str
    scale: float
    why: str
    top: Vector
    bottom: Vector | None = None
    span: Span | None = None
    per: str = ""

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return self.wish.origin

    @property
    def coefficients(self) -> Vector:
        """The row of the matrix."""
        return self.top if self.bottom is None else self.top - self.limit * self.bottom

    @property
    def stands(self) -> bool:
        """Whether nothing may move it: an end that the maker's own shelf sets, which every bar keeps."""
        return self.said.whose == Whose.SHELF

    @property
    def bounds(self) -> tuple[float, float]:
        """Least and greatest activity."""
        right = self.limit if self.bottom is None else 0.0
        return (right if self.side != Side.AT_MOST else -np.inf), (right if self.side != Side.AT_LEAST else np.inf)

    def value(self, point: Vector) -> float:
        """The figure at a blend, in `unit`; a share of something that is not there stands at its limit."""
        top = float(self.top @ point[: len(self.top)])
        if self.bottom is None:
            return top
        bottom = float(self.bottom @ point[: len(self.bottom)])
        return top / bottom if bottom else self.limit

    def slope(self, point: Vector) -> float:
        """How far the row's bound moves when its limit moves by one unit, at a blend."""
        return 1.0 if self.bottom is None else float(self.bottom @ point[: len(self.bottom)])

    def shortfall(self, point: Vector) -> float:
        """How far the blend falls short of the limit, in `unit`; zero when it holds."""
        off = self.value(point) - self.limit
        if self.side == Side.AT_LEAST:
            return max(0.0, -off)
        if self.side == Side.AT_MOST:
            return max(0.0, off)
        return abs(off)


class Expression(NamedTuple):
    """What a key stands for: a figure of the blend as top.v / bottom.v in a unit."""

    figure: str
    unit: str
    scale: float
    top: Vector
    bottom: Vector | None = None


def expression(columns: Columns, limit: Limit) -> Expression:
    """The vectors behind the key of a limit.

    Raises:
        KeyError: the key is of a subject that no row can be made of.
    """
    if limit.subject == SubjectKind.QUANTITY:
        return quantity(columns, limit.key, limit.per)
    if limit.subject in (SubjectKind.ADDITIVE, SubjectKind.LIQUID):
        return amount(columns, limit)
    shares = columns.kept(("shares", limit.subject, limit.key), lambda: 100.0 * columns.of_fats(chosen(columns, limit)))
    return Expression(limit.key, "%", 5.0, shares)


def amount(columns: Columns, limit: Limit) -> Expression:
    """How much of an additive or a liquid: a share, grams for a kilo of fats, or grams in this batch.

    An additive's share is of the fats; a liquid's of all that is weighed in water's place (`Columns.jug`).
    """
    each = columns.at(limit.key)
    if limit.unit == PER_KILO:
        return Expression(limit.key, limit.unit, 10.0 * SHARE_STEP, 1000.0 * each)
    if limit.unit == GRAMS:
        fats, per_kg = of_this_batch(columns)
        return Expression(limit.key, limit.unit, 10.0 * SHARE_STEP * fats, 1000.0 * each, per_kg)
    if limit.subject == SubjectKind.LIQUID:
        return Expression(limit.key, "%", 5.0, 100.0 * each, columns.jug)
    return Expression(limit.key, "%", SHARE_STEP, 100.0 * each)


def of_this_batch(columns: Columns) -> tuple[float, Vector]:
    """About how many kilos of fats the batch takes, and one part in so many as a vector: 1 / (kilos of fats)."""
    batch = columns.batch
    if batch.fats_kg is not None:
        return batch.fats_kg, columns.constant(1.0 / batch.fats_kg)
    if batch.mould is not None:
        whole = batch.mould.litres
        return ORDINARY_LITRE * whole, volume(columns) / whole
    if batch.batter_kg is not None:
        return ORDINARY_BATTER * batch.batter_kg, batter(columns) / batch.batter_kg
    whole = (batch.bars or 1) * batch.cured_weight_kg
    return ORDINARY_CURED * whole, columns.cured / whole


def chosen(columns: Columns, limit: Limit) -> list[bool]:
    """Whether each fat falls under the key of a limit on shares."""
    return [falls_under(limit, fat) for fat in columns.fats]


def quantity(columns: Columns, key: str, per: str = "") -> Expression:
    """The vectors behind a key under `goals:`.

    Raises:
        KeyError: no such quantity.
    """
    known = find_quantity(key)
    if known is None:
        raise KeyError(key)
    if known.id == "cost":
        return cost(columns, per or "kg")
    if known.id in RATIOS:
        top, bottom = RATIOS[known.id](columns)
        return Expression(known.id, known.unit, known.scale, top, bottom)
    if known.id in LINEAR:
        top = LINEAR[known.id](columns)
    elif known.unit == "index":
        top = columns.measure(known.id)
    else:
        top = columns.acid_share(known.id)
    return Expression(known.id, known.unit, known.scale, top)


RATIOS: dict[str, Callable[[Columns], tuple[Vector, Vector]]] = {
    "superfat": lambda columns: (100.0 * columns.unreacted, columns.fat_demand),
    "likely_superfat": lambda columns: (100.0 * columns.unreacted_likely, columns.fat_demand),
    "worst_case_superfat": lambda columns: (100.0 * columns.unreacted_at_worst, columns.fat_demand_low),
    "lye_concentration": lambda columns: (100.0 * columns.alkali, columns.alkali + columns.at("water")),
    "water_to_alkali": lambda columns: (columns.at("water"), columns.alkali),
    "potassium_share": lambda columns: (100.0 * columns.potassium_mol, columns.alkali_mol),
}
LINEAR: dict[str, Callable[[Columns], Vector]] = {
    "water_share_of_fats": lambda columns: 100.0 * columns.at("water"),
    "saponification_value": lambda columns: columns.of_fats([fat.saponification.value for fat in columns.fats]),
    "iodine_value": lambda columns: columns.of_fats([fat.iodine.value for fat in columns.fats]),
}


def cost(columns: Columns, per: str) -> Expression:
    """Money per kilo, pound or bar of cured bar: a ratio, so that the budget is a row and no guess at the weight."""
    batch, unit = columns.batch, f"{columns.shelf.currency} / {per}"
    weight = {"kg": 1.0, "lb": MASS["lb"], "bar": batch.cured_weight_kg}[per]
    scale = max(0.01, round(0.05 * float(columns.money[: columns.count].mean()) * weight, 2))
    if per == "bar" and batch.mould is not None and batch.cavities is not None:
        return Expression("cost", unit, scale, columns.money, volume(columns) * batch.cavities / batch.mould.litres)
    return Expression("cost", unit, scale, columns.money, columns.cured / weight)


def bar_at(columns: Columns, point: Vector) -> float:
    """What a cured bar of a blend weighs, in kg: as told, or what comes out of a cavity."""
    batch, blend = columns.batch, point[: columns.size]
    if batch.mould is None or batch.cavities is None:
        return batch.cured_weight_kg
    return float(columns.cured @ blend) / float(volume(columns) @ blend) * batch.mould.litres / batch.cavities


def from_limit(columns: Columns, limit: Limit, wish: WishId, why: str) -> list[Row]:
    """The rows that a written limit asks for, as a wish.

    One row; or two of one wish, where a bare figure for a bar measure means within half a point; none for a figure that
    every bar has, since the measure is never told below it.
    """
    found = expression(columns, limit)
    row = Row(
        wish=wish,
        figure=found.figure,
        said=limit.said,
        side=limit.side,
        limit=limit.value,
        unit=found.unit,
        scale=found.scale,
        why=why,
        top=found.top,
        bottom=found.bottom,
        span=in_file(limit.span),
        per=limit.per,
    )
    rows = [row]
    if limit.side == Side.EXACTLY and found.unit == "index":
        rows = [
            row._replace(side=Side.AT_LEAST, limit=limit.value - EXACT_BAND),
            row._replace(side=Side.AT_MOST, limit=limit.value + EXACT_BAND),
        ]
    return [row for row in rows if row.side != Side.AT_LEAST or not is_always_met(row)]


def is_between(rows: Sequence[Row]) -> bool:
    """Whether the rows of a wish are the two ends between which a rule of the house moves, and not the sides of a bare figure."""
    return rows[0].unit != "index" and len({row.limit for row in rows}) == 2 and rows[0].origin == Origin.PRACTICE


def end_near(rows: Sequence[Row], value: float) -> float:
    """Of two ends the one nearer to a value."""
    return min((row.limit for row in rows), key=lambda limit: abs(limit - value))


def is_always_met(row: Row) -> bool:
    """Whether a row asks for no more than the floor below which its measure is never told."""
    known = measures().get(row.figure)
    return known is not None and known.floor is not None and row.unit == "index" and row.limit <= known.floor


def always_met(columns: Columns, limit: Limit, wish: WishId) -> list[Row]:
    """A preference for no more than every bar has, as a row that always holds, so that it can be told as met."""
    found, why = expression(columns, limit), "the maker's preference"
    top, span = columns.constant(limit.value), in_file(limit.span)
    return [
        Row(wish, found.figure, limit.said, Side.AT_LEAST, limit.value, found.unit, found.scale, why, top, span=span)
    ]


def kilos(columns: Columns, shares: Vector) -> tuple[Vector, Vector | None]:
    """How many kilos of some of the fats this batch takes, as top and bottom: what the fats weigh may depend on the blend.

    Args:
        columns: the fats.
        shares: 1 at those that count.
    """
    batch = columns.batch
    if batch.fats_kg is not None:
        return batch.fats_kg * shares, None
    if batch.mould is not None:
        return batch.mould.litres * shares, volume(columns)
    if batch.batter_kg is not None:
        return batch.batter_kg * shares, batter(columns)
    return (batch.bars or 0) * batch.cured_weight_kg * shares, columns.cured


def stock(columns: Columns) -> list[Row]:
    """What is left of each fat, or of each of its lots, for this batch."""
    told = [(place, item.stock_kg) for place, item in enumerate(columns.stocked)]
    return [stock_row(columns, place, left) for place, left in told if left is not None]


def stock_row(columns: Columns, place: int, left: float, remark: str = "") -> Row:
    """No more of a fat than so many kilos, which are all there is; `remark` is what else is to be said of that."""
    item, unit = columns.stocked[place], "kg" if columns.batch.units.is_metric else "lb"
    name = item.fat.name
    top, bottom = kilos(columns, columns.at(name))
    said = Said(name, Side.AT_MOST, f"{left / MASS[unit]:.6g} {unit}", remark=remark, whose=Whose.STOCK)
    why, wish = "that is all there is on the shelf", WishId(Section.STOCK, name, Side.AT_MOST)
    if columns.shelf.is_share:
        figure = f"{left / MASS[unit]:.3f}".rstrip("0").rstrip(".")
        said = said._replace(figure="" if figure == "0" else f"{figure} {unit}", whose=Whose.LEFT)
        why = "that is all that the other bars leave"
    return Row(wish, name, said, Side.AT_MOST, left, "kg", 0.5, why, top, bottom, in_file(item.span))

"""Goals and a shelf become one frozen programme of arrays; every row still knows the wish it came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from optimiser.maths.arrays import Mask, Matrix, Vector
from optimiser.measures.sides import Side, SubjectKind
from optimiser.model.columns import LOT_SPREAD, BesideStock, Columns
from optimiser.model.counted_fats import Switch, by_fat, count_rows
from optimiser.model.lot_spread import LotSpread
from optimiser.model.nearness import Apart, nearness
from optimiser.model.physics import physics, piece_rows
from optimiser.model.pieces import least_pulls
from optimiser.model.practice_rows import practice_rows
from optimiser.model.rows import Row, always_met, from_limit, stock
from optimiser.model.use_up import use_up_rows
from optimiser.problem.goals import Exclusion, GoalSheet, extra_named
from optimiser.problem.house_rules import of_design
from optimiser.problem.known_ranges import levers_beyond
from optimiser.problem.limits import NOWHERE, Limit
from optimiser.problem.places import in_file
from optimiser.problem.shelf import Shelf
from optimiser.problem.wishes import Origin, Said, Section, WishId

MOST_SHORTFALL = 1e4  # a preference may be missed by any amount; the bound only keeps the proof finite
NO_WISHES = (Origin.PHYSICS, Origin.PREFERENCE)


class Preference(NamedTuple):
    """One wish that may be missed: the places of its rows, all on one figure, and of the shortfall of each."""

    rows: tuple[int, ...]
    shortfalls: tuple[int, ...]


@dataclass(frozen=True)
class Programme:
    """A blend to be found: m rows over n columns.

    Columns: those of `columns`, then a 0/1 column for each of `switches` where fats are counted, then those of `apart` where
    the blend is to be near to a recipe in hand, then one shortfall for each row of a preference. `matrix` is (m, n); the rest are vectors of m (rows) or n (columns). `money` and `cured`
    are the two halves of the cost per kilo. `soft` holds the preferences in order. `lots` is the cone that the lot spread
    must lie in beside the rows; rows that cut it off come as they are found, see `with_tangent`. `more_lots` are those of
    other bars, where one programme holds several. `bought` names the columns of what may be bought, which stand last.
    """

    columns: Columns
    rows: tuple[Row, ...]
    matrix: Matrix = field(repr=False)
    row_low: Vector = field(repr=False)
    row_high: Vector = field(repr=False)
    column_low: Vector = field(repr=False)
    column_high: Vector = field(repr=False)
    integer: Mask = field(repr=False)
    money: Vector = field(repr=False)
    cured: Vector = field(repr=False)
    soft: tuple[Preference, ...] = ()
    switches: tuple[Switch, ...] = ()
    lots: LotSpread | None = None
    apart: tuple[Apart, ...] = ()
    more_lots: tuple[LotSpread, ...] = ()
    bought: tuple[BesideStock, ...] = ()

    @property
    def every_lots(self) -> tuple[LotSpread, ...]:
        """The cone of the lots of each bar that there is."""
        return self.more_lots if self.lots is None else (self.lots, *self.more_lots)

    @property
    def is_mixed_integer(self) -> bool:
        """Whether fats are counted."""
        return bool(self.integer.any())

    @cached_property
    def members(self) -> dict[WishId, tuple[int, ...]]:
        """The wishes that could be given up, each with the places of its rows; physics is no wish."""
        out: dict[WishId, list[int]] = {}
        for place, row in enumerate(self.rows):
            if row.origin not in NO_WISHES:
                out.setdefault(row.wish, []).append(place)
        return {name: tuple(places) for name, places in out.items()}

    def row_of(self, member: WishId) -> Row:
        """The row that speaks for a wish (its first)."""
        return self.rows[self.members[member][0]]


def build(sheet: GoalSheet, shelf: Shelf) -> Programme:
    """The programme that the goals ask for over a shelf; where it says what may be bought, without what that comes to.

    Args:
        sheet: what the maker wrote.
        shelf: what the maker has; fats are taken in order of name, so that the order of the file does not matter.
    """
    columns = lay_columns(sheet, shelf)
    rows = [
        *physics(columns, levers_beyond(sheet)),
        *piece_rows(columns),
        *goal_rows(columns, sheet),
        *exclusion_rows(columns, sheet.free_from),
        *practice_rows(columns, sheet),
        *(stock(columns) if sheet.buying is None else ()),
    ]
    counted, switches = count_rows(columns, sheet)
    wishes = [*use_up_rows(columns, sheet), *preferences(columns, sheet)]
    if sheet.near is None:
        made = assemble(columns, [*rows, *counted], wishes, switches)
    else:
        close = nearness(columns, sheet, len(switches))
        made = assemble(columns, [*rows, *counted, *close.rows], [*wishes, *close.wishes], switches, close.columns)
        made = held_between(made, sheet.between)
    made = with_older_first(made, sheet.older_first) if sheet.older_first else made
    return ended(made, sheet.most_that_helps) if sheet.most_that_helps else made


def ended(programme: Programme, most: Mapping[str, float]) -> Programme:
    """The programme with no more of some additives (by name, % of the fats) than so much."""
    high = programme.column_high.copy()
    for name, share in most.items():
        place = programme.columns.index[name]
        high[place] = min(high[place], share / 100.0)
    return replace(programme, column_high=high)


def with_older_first(programme: Programme, lots: Mapping[str, Side]) -> Programme:
    """The programme with no lot that waits (at most), and with all that there is of those that are used up first (at least)."""
    column_high, row_low = programme.column_high.copy(), programme.row_low.copy()
    for name, side in lots.items():
        if side == Side.AT_MOST:
            column_high[programme.columns.index[name]] = 0.0
            continue
        for place in programme.members.get(WishId(Section.STOCK, name, Side.AT_MOST), ()):
            row_low[place] = programme.row_high[place]
    return replace(programme, column_high=column_high, row_low=row_low)


def held_between(programme: Programme, between: Mapping[str, tuple[float, float]]) -> Programme:
    """The programme with the shares of some fats held between two ends, per cent."""
    low, high, lots = programme.column_low.copy(), programme.column_high.copy(), by_fat(programme.columns)
    together = []
    for name, (least, most) in between.items():
        places = lots[name]
        if len(places) == 1:
            low[places[0]], high[places[0]] = least / 100.0, most / 100.0
            continue
        high[list(places)] = most / 100.0
        top = programme.columns.of_fat(name)
        for side, limit in ((Side.AT_LEAST, least / 100.0), (Side.AT_MOST, most / 100.0)):
            wish, said = WishId(Section.PHYSICS, name, side, "lots"), Said(f"the lots of {name} together")
            together.append(Row(wish, name, said, side, limit, "", 1.0, "few fats change", top))
    return with_rows(replace(programme, column_low=low, column_high=high), together)


def lay_columns(sheet: GoalSheet, shelf: Shelf) -> Columns:
    """The columns in play: all fats of the shelf, and the additives and liquids that the goal file names."""
    own = {**sheet.extras, **{name: item.additive for name, item in shelf.extras.items()}}
    stocked = tuple(sorted(shelf.fats, key=lambda item: item.fat.name))
    extras = tuple(extra_named(name, own) for name in sheet.extras_named)
    pulls = least_pulls(sheet, [item.fat for item in stocked], extras)
    for known in LAST:  # an answer asks dozens of programmes over one shelf
        if known.shelf is shelf and (known.additives, known.batch, known.pulls) == (extras, sheet.batch, pulls):
            return known
    LAST[:] = [Columns(stocked, extras, shelf, sheet.batch, pulls), *LAST[:1]]
    return LAST[0]


LAST: list[Columns] = []
"""The columns laid last, with the vectors that they keep."""


def goal_rows(columns: Columns, sheet: GoalSheet) -> Iterator[Row]:
    """The maker's own rows, and those of the designs that the goal file names."""
    for section, limits in (
        (Section.GOALS, sheet.goals),
        (Section.SHARES, sheet.shares),
        (Section.ADDITIVES, sheet.additives),
        (Section.LIQUIDS, sheet.liquids),
    ):
        for limit in limits:
            yield from from_limit(columns, limit, limit.wish(section), "the maker's goal")
    for item in sheet.brought:
        for limit in () if sheet.is_bare and item.gives_way else of_design(sheet, item):
            yield from from_limit(columns, limit, item.wish, item.why)
    if "potassium_share" not in sheet.asked:
        yield from from_limit(columns, NO_POTASSIUM, NO_POTASSIUM.wish(Section.PHYSICS), "a hard bar is a sodium soap")


NO_POTASSIUM = Limit(
    key="potassium_share",
    subject=SubjectKind.QUANTITY,
    side=Side.EXACTLY,
    value=0.0,
    unit="%",
    said=Said("no potassium hydroxide unless asked for"),
    span=NOWHERE,
)


def exclusion_rows(columns: Columns, exclusions: Sequence[Exclusion]) -> Iterator[Row]:
    """One row for each exclusion, over all that carries the tag, additives too."""
    for exclusion in exclusions:
        top = columns.of_fats([float(exclusion.tag in fat.tags) for fat in columns.fats])
        for place, item in zip(columns.additive_places, columns.additives, strict=True):
            top[place] = float(exclusion.tag in item.tags)
        yield Row(
            wish=exclusion.wish,
            figure=exclusion.tag,
            said=exclusion.said,
            side=Side.AT_MOST,
            limit=0.0,
            unit="%",
            scale=5.0,
            why="the maker's goal",
            top=100.0 * top,
            span=in_file(exclusion.span),
        )


def preferences(columns: Columns, sheet: GoalSheet) -> Iterator[list[Row]]:
    """The rows of each preference, in order, to be given room to fall short when assembled.

    Wishes on several figures in one step are met one after the other, as they are written.
    """
    for place, wishes in enumerate(sheet.prefer):
        for key in dict.fromkeys(limit.key for limit in wishes):
            yield list(preference_rows(columns, place, [limit for limit in wishes if limit.key == key]))


def preference_rows(columns: Columns, place: int, wishes: Sequence[Limit]) -> Iterator[Row]:
    """The rows of the wishes of one step on one figure; none is "exactly"."""
    for limit in wishes:
        wish = limit.wish(Section.PREFER, str(place))
        found = from_limit(columns, limit, wish, "the maker's preference")
        for row in found or always_met(columns, limit, wish):
            sides = (Side.AT_LEAST, Side.AT_MOST) if row.side == Side.EXACTLY else (row.side,)
            yield from (row._replace(side=side) for side in sides)


def assemble(
    columns: Columns,
    rows: Sequence[Row],
    wishes: Sequence[Sequence[Row]],
    switches: tuple[Switch, ...],
    apart: tuple[Apart, ...] = (),
) -> Programme:
    """Lay rows side by side into arrays; each row of a preference gets a column for its shortfall.

    Args:
        columns: the fats, alkalis, water and additives.
        rows: what must hold; a row may reach over the 0/1 columns too.
        wishes: rows of each preference, in order; none is "exactly".
        switches: the 0/1 columns.
        apart: columns that tell how far a blend is from a recipe in hand, after those.
    """
    whole = columns.size + len(switches)
    size = whole + len(apart)
    wished = [row for group in wishes for row in group]
    every = [*rows, *wished]
    width = size + len(wished)
    matrix = np.zeros((len(every), width))
    for place, row in enumerate(every):
        matrix[place, : len(row.top)] = row.coefficients
    for place, row in enumerate(wished):
        matrix[len(rows) + place, size + place] = 1.0 if row.side == Side.AT_LEAST else -1.0
    bounds = np.array([row.bounds for row in every])
    column_high = np.full(width, MOST_SHORTFALL)
    column_high[: columns.size] = [column.upper for column in columns.all]
    column_high[columns.size : whole] = 1.0
    column_high[whole:size] = [one.most for one in apart]
    integer = np.zeros(width, dtype=np.bool_)
    integer[columns.size : whole] = True
    money, cured = np.zeros(width), np.zeros(width)
    money[: columns.size], cured[: columns.size] = columns.money, columns.cured
    ends = np.cumsum([0, *(len(group) for group in wishes)]).tolist()
    return Programme(
        columns=columns,
        rows=tuple(every),
        matrix=matrix,
        row_low=bounds[:, 0],
        row_high=bounds[:, 1],
        column_low=np.zeros(width),
        column_high=column_high,
        integer=integer,
        money=money,
        cured=cured,
        soft=tuple(
            Preference(tuple(range(len(rows) + first, len(rows) + last)), tuple(range(size + first, size + last)))
            for first, last in pairwise(ends)
        ),
        switches=switches,
        lots=columns.lot_spread,
        apart=apart,
    )


def with_rows(programme: Programme, rows: Sequence[Row]) -> Programme:
    """The programme with some rows more, none of them a preference's."""
    if not rows:
        return programme
    matrix = np.zeros((len(rows), programme.matrix.shape[1]))
    for place, row in enumerate(rows):
        matrix[place, : len(row.top)] = row.coefficients
    bounds = np.array([row.bounds for row in rows])
    return replace(
        programme,
        rows=(*programme.rows, *rows),
        matrix=np.vstack([programme.matrix, matrix]),
        row_low=np.append(programme.row_low, bounds[:, 0]),
        row_high=np.append(programme.row_high, bounds[:, 1]),
    )


def with_tangent(programme: Programme, tangent: Vector) -> Programme:
    """The programme with one row more, which is at least 0 for every blend: a tangent of the cone of the lots (n entries)."""
    rows = programme.rows
    if rows:
        number = sum(row.figure == LOT_SPREAD for row in rows) + 1
        wish = WishId(Section.PHYSICS, LOT_SPREAD, Side.AT_LEAST, str(number))
        said = Said("the spread of lots is no less than it is")
        rows = (*rows, Row(wish, LOT_SPREAD, said, Side.AT_LEAST, 0.0, "mol / kg", 1.0, LOTS, tangent))
    return replace(
        programme,
        rows=rows,
        matrix=np.vstack([programme.matrix, tangent]),
        row_low=np.append(programme.row_low, 0.0),
        row_high=np.append(programme.row_high, np.inf),
    )


LOTS = "lots stray from their working figures; each tangent of the norm of it holds for every blend"


def eased(programme: Programme, preference: Preference, by: float) -> Programme:
    """The programme with a preference held: its rows at limits eased by so much, in its unit, and missed no further."""
    matrix, low, high = programme.matrix.copy(), programme.row_low.copy(), programme.row_high.copy()
    for place in preference.rows:
        row = programme.rows[place]
        moved = row._replace(limit=row.limit + (by if row.side == Side.AT_MOST else -by))
        matrix[place, : len(row.top)] = moved.coefficients
        low[place], high[place] = moved.bounds
    column_high = programme.column_high.copy()
    column_high[list(preference.shortfalls)] = 0.0
    return replace(programme, matrix=matrix, row_low=low, row_high=high, column_high=column_high)

"""Goals and a shelf become one frozen programme of arrays; every row still knows the wish it came from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from optimiser import additives as additive_table
from optimiser.arrays import Mask, Matrix, Vector
from optimiser.columns import Columns
from optimiser.goals import Exclusion, GoalSheet, Limit
from optimiser.practice import Rule
from optimiser.rows import Origin, Row, Side, from_limit, physics, stock
from optimiser.shelf import Shelf
from optimiser.text.spans import Span

MOST_SHORTFALL = 1e4  # a preference may be missed by any amount; the bound only keeps the proof finite
LEAST_COUNTED = 1.0  # % of the fats below which a fat does not count as used, where a least number is asked for
PHYSICS: Origin = "physics"


@dataclass(frozen=True)
class Programme:
    """A blend to be found: m rows over n columns.

    Columns: those of `columns`, then one 0/1 column for each fat where fats are counted, then one shortfall for each
    row of a preference. `matrix` is (m, n); the rest are vectors of m (rows) or n (columns). `money` and `cured` are
    the two halves of the cost per kilo. `soft[k]` holds the shortfall columns of the k-th preference.
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
    soft: tuple[tuple[int, ...], ...] = ()

    @property
    def is_mixed_integer(self) -> bool:
        """Whether fats are counted."""
        return bool(self.integer.any())

    @cached_property
    def members(self) -> dict[str, tuple[int, ...]]:
        """The wishes that could be given up, each with the places of its rows; physics is no wish."""
        out: dict[str, list[int]] = {}
        for place, row in enumerate(self.rows):
            if row.origin not in (PHYSICS, "preference"):
                out.setdefault(row.member, []).append(place)
        return {name: tuple(places) for name, places in out.items()}

    def row_of(self, member: str) -> Row:
        """The row that speaks for a wish (its first)."""
        return self.rows[self.members[member][0]]


def build(sheet: GoalSheet, shelf: Shelf) -> Programme:
    """The programme that the goals ask for over a shelf.

    Args:
        sheet: what the maker wrote.
        shelf: what the maker has; fats are taken in order of name, so that the order of the file does not matter.
    """
    columns = lay_columns(sheet, shelf)
    rows = [
        *physics(columns),
        *goal_rows(columns, sheet),
        *exclusion_rows(columns, sheet.free_from),
        *practice_rows(columns, sheet),
        *stock(columns),
    ]
    counted, used = count_rows(columns, sheet)
    preferences = [list(preference_rows(columns, place, wishes)) for place, wishes in enumerate(sheet.prefer)]
    return assemble(columns, [*rows, *counted], preferences, used=used)


def lay_columns(sheet: GoalSheet, shelf: Shelf) -> Columns:
    """The columns in play: all fats of the shelf, and the additives that the goal file names."""
    named = dict.fromkeys(limit.key for limit in sheet.additives)
    named |= dict.fromkeys(item.name for item in sheet.may_use if item.subject == "additive")
    known = additive_table.additives()
    stocked = tuple(sorted(shelf.fats, key=lambda item: item.fat.name))
    return Columns(stocked, tuple(known[name] for name in named), shelf, sheet.batch)


def goal_rows(columns: Columns, sheet: GoalSheet) -> Iterator[Row]:
    """The maker's own rows, and those of the designs that the goal file names."""
    for limit in sheet.goals:
        yield from from_limit(columns, limit, origin="goal", prefix="goals", why="the maker's goal")
    for limit in sheet.shares:
        yield from from_limit(columns, limit, origin="share", prefix="shares", why="the maker's goal")
    for limit in sheet.additives:
        yield from from_limit(columns, limit, origin="additive", prefix="additives", why="the maker's goal")
    for item in sheet.brought:
        yield from from_limit(columns, item.limit, origin="design", prefix=item.prefix, why=item.why)
    if "potassium_share" not in sheet.asked:
        yield from from_limit(
            columns, NO_POTASSIUM, origin="physics", prefix=PHYSICS, why="a hard bar is a sodium soap"
        )


NO_POTASSIUM = Limit(
    key="potassium_share",
    subject="quantity",
    side="exactly",
    value=0.0,
    unit="%",
    said="no potassium hydroxide unless asked for",
    span=Span("", 0, 0, 0, ""),
)


def exclusion_rows(columns: Columns, exclusions: Sequence[Exclusion]) -> Iterator[Row]:
    """One row for each exclusion, over all that carries the tag, additives too."""
    for exclusion in exclusions:
        top = columns.of_fats([float(exclusion.tag in fat.tags) for fat in columns.fats])
        for place, item in zip(columns.additive_places, columns.additives, strict=True):
            top[place] = float(exclusion.tag in item.tags)
        name = f"free_from.{exclusion.tag}"
        yield Row(
            id=name,
            member=name,
            origin="exclusion",
            figure=exclusion.tag,
            says=exclusion.said,
            side="at_most",
            limit=0.0,
            unit="%",
            scale=5.0,
            why="the maker's goal",
            top=100.0 * top,
            span=exclusion.span,
        )


def practice_rows(columns: Columns, sheet: GoalSheet) -> Iterator[Row]:
    """House practice, less what the maker overrides, switches off or has set a goal for.

    `practice: off` leaves the defaults that the alkali and the water cannot do without.
    """
    changes = {change.rule: change for change in sheet.practice}
    for rule in sheet.rules:
        change = changes.get(rule.name)
        if change is not None:
            for limit in change.limits if in_play(columns, rule) else ():
                yield from from_limit(
                    columns, limit, origin="practice", prefix="practice", why="the maker's own figure", name=rule.name
                )
            continue
        if sheet.stands_aside(rule) or not in_play(columns, rule):
            continue
        yield from from_rule(columns, rule)


def in_play(columns: Columns, rule: Rule) -> bool:
    """Whether a rule has anything to hold: one on an additive that no goal names has not."""
    return rule.subject != "additive" or rule.key in columns.index


def from_rule(columns: Columns, rule: Rule) -> list[Row]:
    """The rows of one rule of the house."""
    side = rule.side.replace("_", " ")
    sign = " %" if rule.unit == "%" else ""
    said = f"house practice: {words_of(rule)} {side} {rule.value:g}{sign}"
    limit = Limit(
        key=rule.key,
        subject=rule.subject,
        side=rule.side,  # type: ignore[arg-type]
        value=rule.value,
        unit=rule.unit,
        said=said,
        span=Span("", 0, 0, 0, ""),
    )
    rows = from_limit(columns, limit, origin="practice", prefix="practice", why=rule.why, name=rule.name)
    return [replace(row, scale=rule.scale) for row in rows]


def words_of(rule: Rule) -> str:
    """The name of a rule without the side that some names end with."""
    return rule.name.removesuffix(" at least").removesuffix(" at most")


def count_rows(columns: Columns, sheet: GoalSheet) -> tuple[list[Row], int]:
    """Rows that count fats, over columns and as many 0/1 columns again; and how many of these there are."""
    if not sheet.fat_count:
        return [], 0
    n, size = columns.count, columns.size
    each = next((limit for limit in sheet.fat_count if limit.key == "each fat"), None)
    numbers = [limit for limit in sheet.fat_count if limit.key != "each fat"]
    floor = min(LEAST_COUNTED, each.value if each is not None else LEAST_COUNTED)
    rows: list[Row] = []
    for place, fat in enumerate(columns.fats):
        share, used = np.zeros(size + n), np.zeros(size + n)
        share[place], used[size + place] = 100.0, 1.0
        rows.append(used_row(fat.name, "at_most", 100.0, share, used))
        if any(limit.side != "at_most" for limit in numbers):
            rows.append(used_row(fat.name, "at_least", floor, share, used))
        if each is not None:
            rows.append(each_row(fat.name, each, share, used))
    every = np.concatenate([np.zeros(size), np.ones(n)])
    return rows + [number_row(limit, every) for limit in numbers], n


def used_row(name: str, side: Side, share: float, top: Vector, bottom: Vector) -> Row:
    """A fat has a share if it counts as used, and only then."""
    identity = f"{PHYSICS}.used.{name}.{side}"
    words, why = f"{name} counts as used only if it is", "what counting means"
    return Row(identity, identity, PHYSICS, name, words, side, share, "%", 1.0, why, top, bottom)


def each_row(name: str, limit: Limit, top: Vector, bottom: Vector) -> Row:
    """A fat that is used has at least this share; the rows of all fats are one wish."""
    identity, why = f"fats.{EACH}", "no useless pinches"
    return Row(
        identity, identity, "count", name, limit.said, "at_least", limit.value, "%", 1.0, why, top, bottom, limit.span
    )


def number_row(limit: Limit, every: Vector) -> Row:
    """How many fats there are."""
    identity, why = f"fats.{limit.side}", "the maker's goal"
    return Row(
        identity,
        identity,
        "count",
        "fats",
        limit.said,
        limit.side,
        limit.value,
        "fats",
        1.0,
        why,
        every,
        None,
        limit.span,
    )


EACH = "each_at_least"


def preference_rows(columns: Columns, place: int, wishes: Sequence[Limit]) -> Iterator[Row]:
    """The rows of one preference, to be given room to fall short when assembled."""
    for limit in wishes:
        for row in from_limit(
            columns, limit, origin="preference", prefix=f"prefer.{place}", why="the maker's preference"
        ):
            sides: tuple[Side, ...] = ("at_least", "at_most") if row.side == "exactly" else (row.side,)
            yield from (replace(row, side=side) for side in sides)


def assemble(columns: Columns, rows: Sequence[Row], preferences: Sequence[Sequence[Row]], *, used: int) -> Programme:
    """Lay rows side by side into arrays; each row of a preference gets a column for its shortfall.

    Args:
        columns: the fats, alkalis, water and additives.
        rows: what must hold; a row may reach over the 0/1 columns too.
        preferences: rows of each preference, in order; none is "exactly".
        used: how many 0/1 columns there are.
    """
    size = columns.size + used
    wished = [row for group in preferences for row in group]
    every = [*rows, *wished]
    width = size + len(wished)
    matrix = np.zeros((len(every), width))
    for place, row in enumerate(every):
        matrix[place, : len(row.top)] = row.coefficients
    for place, row in enumerate(wished):
        matrix[len(rows) + place, size + place] = 1.0 if row.side == "at_least" else -1.0
    bounds = np.array([row.bounds for row in every])
    column_high = np.full(width, MOST_SHORTFALL)
    column_high[: columns.size] = [column.upper for column in columns.all]
    column_high[columns.size : size] = 1.0
    integer = np.zeros(width, dtype=np.bool_)
    integer[columns.size : size] = True
    money, cured = np.zeros(width), np.zeros(width)
    money[: columns.size], cured[: columns.size] = columns.money, columns.cured
    ends = size + np.cumsum([0, *(len(group) for group in preferences)])
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
        soft=tuple(tuple(range(first, last)) for first, last in pairwise(ends.tolist())),
    )

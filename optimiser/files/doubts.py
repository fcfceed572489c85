"""What looks odd in a maker's files and is still let through: warnings, worked out from the values that were read."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from optimiser.files.shelf.orders import odd_orders
from optimiser.files.shelf.plausibility import in_sheet
from optimiser.materials.fat_table import reference
from optimiser.measures.practice import rules
from optimiser.measures.sides import SubjectKind
from optimiser.problem.goals import GoalSheet, extra_named, share_of_fats
from optimiser.problem.limits import AT_MOST, Limit
from optimiser.problem.recipe import RecipeSheet
from optimiser.problem.shelf import Shelf, Stocked
from optimiser.problem.untold import barrier
from optimiser.problem.wishes import Said
from optimiser.reference import rows as reference_rows
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import offer, shown
from optimiser.text.quantities import write_number
from optimiser.text.source import in_file_order
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Design

ODD = 40.0
"""How many times the middle price of a shelf, or what part of it, is odd: our judgement.

Most fats of one shelf lie within a few times of their middle price, the rarest oils beside bulk ones within some thirty; the slips that are meant
are of a hundred (a lost point) and of a thousand (a gram for a kilogram).
"""
FEWEST_PRICES = 3  # of fewer, none is the middle one
SLIPS = (
    (1000.0, "is a price for a gram written as one for a kilogram, or the other way round?"),
    (100.0, "is a decimal point lost or moved?"),
)
EXACT = 0.1  # mg KOH/g: a titration that repeats nearer than this is none that we know of (our judgement)
ALL_FATS = 100.0  # per cent of the fats
WIDE = 3.0  # mg KOH/g: a tolerance up to this is never called wide, however narrow the published range (our judgement)


def warnings(
    shelf: Shelf | None, *, goals: GoalSheet | None = None, recipe: RecipeSheet | None = None
) -> tuple[Diagnostic, ...]:
    """Everything odd in the files of one question: of its goals, its recipe and its shelf, each in file order."""
    found = (
        () if goals is None else goals_warnings(goals),
        () if recipe is None else recipe_warnings(recipe, shelf),
        () if shelf is None else shelf_warnings(shelf, goals, named(goals, recipe)),
    )
    return tuple(item for part in found for item in in_file_order(list(part)))


def named(goals: GoalSheet | None, recipe: RecipeSheet | None) -> frozenset[str]:
    """The fats that the goals or the recipe call by their names."""
    found = set() if recipe is None else {item.name for item in recipe.fats}
    if goals is not None:
        limits = [*goals.shares, *(limit for wishes in goals.prefer for limit in wishes)]
        limits += [limit for change in goals.practice for limit in change.limits]
        found |= {limit.key for limit in limits if limit.subject == SubjectKind.FAT}
        found |= {item.name for item in goals.may_use if item.subject == SubjectKind.FAT}
        found |= {wish.key for wish in goals.use_up}
    return frozenset(found)


# -- the shelf -------------------------------------------------------------------------------------------------


def shelf_warnings(shelf: Shelf, goals: GoalSheet | None = None, named: Collection[str] = ()) -> Iterator[Diagnostic]:
    """Prices far from all others, fats with borrowed figures or of unknown measures, certificates of odd tolerances.

    A price counts wherever it is odd, since it decides what goes in; the rest is `about` its fat, unless that is named.
    """
    prices = sorted(item.price for item in shelf.fats if item.price > 0)
    count = len(prices)
    middle = (prices[(count - 1) // 2] + prices[count // 2]) / 2.0 if count >= FEWEST_PRICES else None  # the median
    for item in shelf.fats:
        if middle is not None and item.price > 0 and not 1.0 / ODD <= item.price / middle <= ODD:
            yield _odd_price(item.fat.name, item.price, item.price_span, middle, shelf.currency)
        yield from odd_orders(item, shelf.currency)
        about = "" if {item.fat.name, item.fat.known_as} & set(named) else item.fat.name
        yield from (odd._replace(about=about) for odd in _odd_figures(item, goals))
    for alkali in shelf.alkalis.values():
        if middle is not None and alkali.price > ODD * middle and alkali.is_priced:
            yield _odd_price(alkali.name, alkali.price, alkali.span, middle, shelf.currency)


def _odd_figures(item: Stocked, goals: GoalSheet | None) -> Iterator[Diagnostic]:
    if item.borrowed and item.fat.borrowed:
        yield _borrowed(item)
    if item.fat.untold:
        yield _untold(item, None if goals is None else barrier(goals, item.fat))
    yield from _odd_tolerance(item)


def _odd_price(name: str, price: float, span: Span | None, middle: float, currency: str) -> Diagnostic:
    unit = f"{currency} / kg" if currency else "a kg"
    times = price / middle
    far = f"{times:.0f} times the middle price" if times > 1 else f"{100.0 * times:.2g} % of the middle price"
    message = f"{name} costs {_plain(price)} {unit}, {far} of this shelf's fats ({_plain(middle)})"
    _, slip = min(SLIPS, key=lambda each: abs(math.log(max(times, 1.0 / times) / each[0])))
    return Diagnostic(Code.ODD_PRICE, message, f"{slip} If it is right, let it stand", span)


def _borrowed(item: Stocked) -> Diagnostic:
    figure = item.fat.saponification
    what = "acid value" if item.fat.kind == "wax" else "saponification value"
    message = (
        f"{shown(item.fat.name)} has no {what} of its own: its alkali is reckoned with that of {item.borrowed}, "
        f"{figure.value:.0f} (taken as {figure.low:.0f} to {figure.high:.0f})"
    )
    help_ = "add saponification_value, or its certificate: lot: {saponification_value: ..., tolerance: ...}"
    if item.fat.kind == "wax":
        help_ = "add the acid value from its certificate as saponification_value"
    elif in_sheet(item.span):
        help_ = (
            "fill the column saponification_value, or lot_saponification_value and lot_tolerance from its certificate"
        )
    return Diagnostic(Code.BORROWED_FIGURES, message, help_, item.span)


def _untold(item: Stocked, barred_by: Said | None) -> Diagnostic:
    left_out = ""
    message = (
        f"of {shown(item.fat.name)} a saponification value alone is known: it serves for its alkali and for no measure"
    )
    if barred_by is not None:
        left_out = f"; left out here, since nobody can say whether this holds with it: {barred_by}"
    near = offer(item.fat.name, reference().every_name())
    help_ = f"{near} If it is another, " if near else ""
    help_ += "fill the column like" if in_sheet(item.span) else "write 'like:'"
    return Diagnostic(
        Code.MEASURES_UNKNOWN,
        message + left_out,
        f"{help_} with the fat that comes nearest to it, if you know",
        item.span,
    )


def _odd_tolerance(item: Stocked) -> Iterator[Diagnostic]:
    lot = item.lot
    if lot is None or lot.span is None or item.fat.kind == "wax":  # of a wax the certificate's figure is not counted
        return
    known = reference().find(item.borrowed or item.fat.known_as)
    told = f"a tolerance of {write_number(lot.tolerance)} mg KOH/g"
    if lot.tolerance < EXACT:
        help_ = "copy it from the certificate, or leave it out: 2 is taken then"
        yield Diagnostic(Code.ODD_TOLERANCE, f"{told} is finer than any titration", help_, lot.span)
    elif known is not None and lot.tolerance > max(WIDE, (known.saponification.high - known.saponification.low) / 2.0):
        message = f"{told} says no more of {item.fat.name} than the published range does"
        yield Diagnostic(Code.ODD_TOLERANCE, message, "is it per cent, or of another figure?", lot.span)


# -- goals and recipes -----------------------------------------------------------------------------------------


def goals_warnings(sheet: GoalSheet) -> Iterator[Diagnostic]:
    """Additives of which more is asked than is usual."""
    meant = {change.rule for change in sheet.practice}  # whoever changed its rule knows what is usual
    for limit in sheet.additives:
        if limit.side != AT_MOST and not meant & {rule.name for rule in sheet.rules if rule.key == limit.key}:
            most = extra_named(limit.key, sheet.extras).usual_high
            share = share_of_fats(limit, sheet.batch.fats_kg)
            if share is not None and share > most + 1e-9 and not _meant_by(sheet.techniques, limit.key, share):
                ruled = any(rule.key == limit.key and not sheet.stands_aside(rule) for rule in sheet.rules)
                more = (
                    f"; if it is meant, say so: practice: {{{limit.key}: {write_number(round(share, 4))} %}}"
                    if ruled
                    else _MEANT
                )
                yield Diagnostic(
                    Code.ABOVE_USUAL, f"{limit.said}: {_usual(most)}", f"{_ADVICE}{more}", place_in(sheet, limit)
                )


def place_in(sheet: GoalSheet, limit: Limit) -> Span | None:
    """Where a limit stands: what a recipe in hand brings, where that is named, or nowhere if it was typed."""
    told = limit.span if limit.span.line or sheet.near is None else sheet.near.span
    return told if told.line else None


def recipe_warnings(sheet: RecipeSheet, shelf: Shelf | None = None) -> Iterator[Diagnostic]:
    """Additives of which a recipe holds more than is usual."""
    fats = sum(item.grams for item in sheet.fats)
    own = {} if shelf is None else {name: item.additive for name, item in shelf.additives.items()}
    for item in sheet.additives:
        most, share = extra_named(item.name, own).usual_high, 100.0 * item.grams / fats
        if share > most + 1e-9 and not _meant_by(sheet.techniques, item.name, share):
            message = f"{_plain(item.grams)} g of {item.name} are {_plain(share)} % of the fats: {_usual(most)}"
            yield Diagnostic(Code.ABOVE_USUAL, message, f"{_ADVICE}{_MEANT}", item.span)


def _meant_by(techniques: Sequence[Design], name: str, share: float) -> bool:
    """Whether much of an additive is meant: a design sets the rule on it aside, or without one it makes a soap of another kind.

    More than there is of fats is asked after.
    """
    kinds = (row for row in reference_rows("kind_times") if row["of"] == "additive" and row["figure"] == name)
    if not techniques and any(float(row["at_least"]) <= share <= ALL_FATS for row in kinds):
        return True
    aside = {rule for design in techniques for rule in design.sets_aside}
    return share <= ALL_FATS and any(rule.key == name and rule.name in aside for rule in rules())


_ADVICE = "check it with what the supplier advises"
_MEANT = "; if it is meant, let it stand"


def _plain(value: float) -> str:
    """Three digits or the whole ones, never by powers of ten."""
    return write_number(round(value) if value >= 100 else float(f"{value:.3g}"))


def _usual(most: float) -> str:
    return f"the usual most is {write_number(most)} % of the fats"

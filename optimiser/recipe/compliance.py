"""Wishes held against a recipe that has been weighed: plain sums over what is in the pot, no row and no matrix."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from optimiser.materials.fat import PLURALS, Fat
from optimiser.maths.units import MASS
from optimiser.measures.quantities import quantities
from optimiser.measures.sides import Side, SubjectKind
from optimiser.measures.telling import needed as needed_digits
from optimiser.problem.goals import GoalSheet
from optimiser.problem.house_rules import of_design, of_rule, standing
from optimiser.problem.limits import GRAMS, PER_KILO, Limit
from optimiser.problem.untold import needed
from optimiser.problem.wishes import EACH_FAT, Origin, Section, Whose, WishId
from optimiser.recipe.batch_size import bar_kg
from optimiser.recipe.evaluation import Judgement, Recipe

BLUR = 0.02  # of a figure's small step: what a balance blurs is not held against a recipe
EXACT_BAND = 0.5  # a bare figure for a bar measure means within half a point
BALANCE = 0.1  # g: the step of a balance for alkali that is taken for granted
SUPERFATS = ("superfat", "likely_superfat", "worst_case_superfat")
LYES = ("lye_concentration", "water_to_alkali", "water_share_of_fats")
EXTRAS = (SubjectKind.ADDITIVE, SubjectKind.LIQUID)
SHARE_STEP = 5.0  # per cent: a small change of a share
ADDITIVE_STEP = 1.0  # per cent of the fats: a small change of an additive, as in its row
A_HAIR = 1e-6  # of the last digit of a figure: half a digit is told as the next


class Verdict(NamedTuple):
    """One wish against a recipe: the value reached, and whether the wish holds to within what a balance blurs.

    `blurred`: it holds only so, and told in the digits that its limit is written in it lies beyond it.
    """

    id: WishId
    limit: Limit
    value: float
    holds: bool
    why: str = "the maker's goal"
    blurred: bool = False

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return self.id.origin

    @property
    def as_weighed(self) -> float | None:
        """The value where it must be told that a balance makes it another than was asked."""
        return None if self.holds and not self.blurred else self.value


def verdicts(sheet: GoalSheet, recipe: Recipe, judged: Judgement) -> list[Verdict]:
    """Every wish of a goal file against a recipe; preferences are not among them.

    The cost is left out where the recipe's prices are not known.
    """
    out = [
        verdict(wish, recipe, judged, bar_kg(sheet.batch, recipe))
        for wish in wishes(sheet, tuple(dict.fromkeys(fat.group for fat, _ in recipe.fats)))
        if wish.limit.key != "cost" or judged.cost_per_kg is not None
    ]
    out.extend(exclusion_verdicts(sheet, recipe))
    out.extend(count_verdicts(sheet, recipe))
    return out


class Wish(NamedTuple):
    """A limit on a figure, with the id that the answer knows it by."""

    id: WishId
    limit: Limit
    why: str = "the maker's goal"

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return self.id.origin


def wishes(sheet: GoalSheet, bases: Sequence[str]) -> Iterator[Wish]:
    """Every wish on a figure: the maker's, those of designs, and the rules of the house that stand beside them."""
    for section, limits in (
        (Section.GOALS, sheet.goals),
        (Section.SHARES, sheet.shares),
        (Section.ADDITIVES, sheet.additives),
        (Section.LIQUIDS, sheet.liquids),
    ):
        for limit in limits:
            yield Wish(limit.wish(section), limit)
    for change in sheet.practice:
        for limit in change.limits:
            for within, own in each_fat(limit, bases):
                yield Wish(WishId(Section.PRACTICE, change.rule, limit.side, within), own, "the maker's own figure")
    for item in sheet.brought:
        for limit in of_design(sheet, item):
            yield Wish(item.wish, limit, item.why)
    for wish, rule in standing(sheet, bases):
        for limit in of_rule(sheet, wish, rule):
            yield Wish(wish, limit, rule.why)


def each_fat(limit: Limit, bases: Sequence[str]) -> Iterator[tuple[str, Limit]]:
    """A limit by the fat that it is on: one on each fat once for every fat, any other as it is."""
    if limit.subject == SubjectKind.PINCH:
        return
    if limit.subject == SubjectKind.EACH:
        yield from (
            (base, limit._replace(subject=SubjectKind.BASE, key=base, said=limit.said._replace(subject=base)))
            for base in bases
        )
    else:
        yield "", limit


def verdict(wish: Wish, recipe: Recipe, judged: Judgement, bar: float) -> Verdict:
    """One wish on a figure."""
    limit = wish.limit
    value = reached(limit, recipe, judged, bar)
    banded = (
        limit.side == Side.EXACTLY and limit.subject == SubjectKind.QUANTITY and quantities()[limit.key].unit == "index"
    )
    under, over = forgiven(limit, recipe, judged)
    band = EXACT_BAND if banded else 0.0
    kept = holds(limit, value, band, under, over)
    strict = as_written(limit, recipe, judged)
    return Verdict(wish.id, limit, value, kept, wish.why, kept and not holds(limit, value, band, *strict))


def forgiven(limit: Limit, recipe: Recipe, judged: Judgement) -> tuple[float, float]:
    """How far a figure may lie under and over its limit for what a balance blurs, in its unit."""
    under = BLUR * small_step(limit) + lye_step(limit, recipe, judged) + additive_step(limit, recipe)
    return under, under + alkali_step(limit, recipe)


def as_written(limit: Limit, recipe: Recipe, judged: Judgement) -> tuple[float, float]:
    """How far a figure may lie under and over its limit and still be told as it, in the digits that the limit is written in.

    No less is forgiven than by `forgiven` of a bare figure, which a balance meets as near as its steps allow; of what others
    wrote, or is worked out from a recipe in hand; nor of what weighing alkali, water and additives on their steps does.
    """
    under, over = forgiven(limit, recipe, judged)
    if limit.side == Side.EXACTLY or limit.relative or limit.said.whose != Whose.OWN:
        return under, over
    off = BLUR * small_step(limit)
    less = off - min(off, (0.5 - A_HAIR) * 10.0 ** -needed_digits(limit.value))
    return under - less, over - less


def alkali_step(limit: Limit, recipe: Recipe) -> float:
    """How far above its limit a superfat may come because alkali is rounded down on a balance: the safe side."""
    alkali = recipe.sodium_hydroxide + recipe.potassium_hydroxide
    if limit.subject != SubjectKind.QUANTITY or limit.key not in SUPERFATS or not alkali:
        return 0.0
    return 100.0 * BALANCE / alkali


def additive_step(limit: Limit, recipe: Recipe) -> float:
    """How far an additive or a liquid may come from its limit because it is rounded on a balance, acids up."""
    if limit.subject not in EXTRAS:
        return 0.0
    if limit.unit == GRAMS:
        return BALANCE
    if limit.unit == PER_KILO:
        return 1000.0 * BALANCE / recipe.fat_grams
    whole = recipe.jug if limit.subject == SubjectKind.LIQUID else recipe.fat_grams
    return 200.0 * BALANCE / whole if limit.subject == SubjectKind.LIQUID else 100.0 * BALANCE / whole


def lye_step(limit: Limit, recipe: Recipe, judged: Judgement) -> float:
    """How far a lye's strength may come from its limit because alkali and water are rounded on a balance."""
    alkali = judged.pure_sodium_hydroxide + judged.pure_potassium_hydroxide
    water = judged.total_water
    if limit.subject != SubjectKind.QUANTITY or limit.key not in LYES or not alkali or not water:
        return 0.0
    off = BALANCE / alkali + 0.5 * BALANCE / water
    strength = judged.lye_concentration / 100.0
    return {
        "lye_concentration": 100.0 * strength * (1.0 - strength) * off,
        "water_to_alkali": judged.water_to_alkali * off,
        "water_share_of_fats": 100.0 * 0.5 * BALANCE / recipe.fat_grams,
    }[limit.key]


def reached(limit: Limit, recipe: Recipe, judged: Judgement, bar: float) -> float:
    """The figure that a limit is on, in its unit, `bar` being what one weighs (kg); nan where it is not known of some fat in the pot."""
    if limit.subject == SubjectKind.QUANTITY:
        value = judged.values[limit.key]
        return value * {"bar": bar, "lb": MASS["lb"]}.get(limit.per, 1.0)
    if limit.subject in EXTRAS:
        return amount(limit, recipe)
    if any(needed(limit) in fat.untold for fat, _ in recipe.fats):
        return math.nan
    grams = math.fsum(grams for fat, grams in recipe.fats if falls_under(limit, fat))
    return 100.0 * grams / recipe.fat_grams


def amount(limit: Limit, recipe: Recipe) -> float:
    """How much of an additive or a liquid a recipe holds, in the unit of a limit on it.

    Grams are those of the recipe as it stands. The share of a liquid is of all that is weighed in water's place.
    """
    grams = math.fsum(grams for item, grams in recipe.additives if item.name == limit.key)
    if limit.unit == GRAMS:
        return grams
    if limit.unit == PER_KILO:
        return 1000.0 * grams / recipe.fat_grams
    whole = recipe.jug if limit.subject == SubjectKind.LIQUID else recipe.fat_grams
    return 100.0 * grams / whole if whole else 0.0


def falls_under(limit: Limit, fat: Fat) -> bool:
    """Whether a fat counts towards a limit on shares."""
    if limit.subject == SubjectKind.BASE:
        return limit.key == fat.group
    if limit.subject == SubjectKind.FAT:
        return limit.key in fat.called
    if limit.subject == SubjectKind.TAG:
        return limit.key in fat.tags
    if limit.subject == SubjectKind.GROUP:
        return fat.kind in ("hard oil", "butter")
    return limit.key in (fat.kind, PLURALS[fat.kind])


def holds(limit: Limit, value: float, band: float = 0.0, under: float | None = None, over: float | None = None) -> bool:
    """Whether a value meets a limit, or the band around it, and lies no more `under` or `over` it than that; else what blurs."""
    blur = BLUR * small_step(limit)
    below = limit.value - value <= band + (blur if under is None else under)
    above = value - limit.value <= band + (blur if over is None else over)
    return {Side.AT_LEAST: below, Side.AT_MOST: above}.get(limit.side, below and above)


def small_step(limit: Limit) -> float:
    """A small change of the figure, in its unit."""
    if limit.subject != SubjectKind.QUANTITY:
        if limit.unit == GRAMS:
            return 0.0  # what the balance blurs is all that is forgiven
        of_fats = limit.subject == SubjectKind.ADDITIVE or limit.unit == PER_KILO
        return (10.0 if limit.unit == PER_KILO else 1.0) * ADDITIVE_STEP if of_fats else SHARE_STEP
    known = quantities()[limit.key]
    return 0.05 * limit.value if known.id == "cost" else known.scale


def exclusion_verdicts(sheet: GoalSheet, recipe: Recipe) -> Iterator[Verdict]:
    """Whether what was excluded is in the pot."""
    for exclusion in sheet.free_from:
        fats = math.fsum(grams for fat, grams in recipe.fats if exclusion.tag in fat.tags)
        if any("tags" in fat.untold for fat, _ in recipe.fats):
            fats = math.nan
        extra = math.fsum(grams for item, grams in recipe.additives if exclusion.tag in item.tags)
        value = 100.0 * (fats + extra) / recipe.fat_grams
        limit = Limit(exclusion.tag, SubjectKind.TAG, Side.AT_MOST, 0.0, "%", exclusion.said, exclusion.span)
        yield Verdict(exclusion.wish, limit, value, value <= 0.0)


def count_verdicts(sheet: GoalSheet, recipe: Recipe) -> Iterator[Verdict]:
    """How many fats there are, and the smallest of them."""
    together: dict[str, float] = {}
    for fat, grams in recipe.fats:
        together[fat.known_as] = together.get(fat.known_as, 0.0) + grams
    shares = [100.0 * grams / recipe.fat_grams for grams in together.values() if grams > 0]
    for limit in sheet.fat_count:
        each = limit.key == EACH_FAT
        value = min(shares) if each else float(len(shares))
        kept = holds(limit, value) if each else holds(limit, value, band=-0.1)
        yield Verdict(limit.wish(Section.FATS), limit, value, kept)

"""What is asked of a bar, as values; knows no files."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.additives import Additive, additives
from optimiser.materials.liquids import liquids
from optimiser.measures.practice import Rule, own_most, rules, usual_most
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buying
from optimiser.problem.known_ranges import unknown_measures
from optimiser.problem.limits import AT_LEAST, AT_MOST, GRAMS, PER_KILO, Limit
from optimiser.problem.units import Units, units_of_scale
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Brought, Design
    from optimiser.problem.near import Near
    from optimiser.problem.shelf import Shelf


class Exclusion(NamedTuple):
    """A tag that no part of the bar may bear."""

    tag: str
    span: Span

    @property
    def wish(self) -> WishId:
        """What it is known by."""
        return WishId(Section.FREE_FROM, self.tag, Side.AT_MOST)

    @property
    def said(self) -> Said:
        """The words of it."""
        return Said(f"free from {self.tag}")


class PracticeChange(NamedTuple):
    """A rule of the house that the maker overrides; without limits the rule is off."""

    rule: str
    limits: tuple[Limit, ...]
    span: Span


class MayUse(NamedTuple):
    """Something that the pot may hold if it pays: an additive, or a wax or fatty acid of the shelf (subject "fat")."""

    name: str
    subject: SubjectKind
    span: Span


class UseUp(NamedTuple):
    """How much of a fat (or of one lot of it) is to be used up in this batch, kg; None for all that the shelf has."""

    key: str
    kilograms: float | None
    span: Span

    @property
    def wish(self) -> WishId:
        """What it is known by."""
        return WishId(Section.USE_UP, self.key, Side.AT_LEAST)


class Water(NamedTuple):
    """The water that the soap will meet: hardness in mg/L as calcium carbonate, and as the maker wrote it."""

    hardness: float
    said: str
    span: Span


class Eased(NamedTuple):
    """Between which figures a rule of the house stands that gave way; an end that it has not is infinite."""

    low: float
    high: float


A_KILO = Batch()
NOT_EASED: Mapping[WishId, Eased] = MappingProxyType({})
NO_EXTRAS: Mapping[str, Additive] = MappingProxyType({})


def extra_named(name: str, own: Mapping[str, Additive] = NO_EXTRAS) -> Additive:
    """The additive or liquid of a canonical name: the maker's own before that of the table.

    Raises:
        KeyError: there is none.
    """
    if name in own:
        return own[name]
    return additives()[name] if name in additives() else liquids()[name]


def heating_names(items: Iterable[Additive]) -> tuple[str, ...]:
    """Those of additives and liquids that heat a batter by themselves, each once."""
    return tuple(dict.fromkeys(item.name for item in items if item.heats == "yes"))


class GoalSheet(NamedTuple):
    """What is asked of a bar, from a goal file or a Python caller: every wish with its own words and its place.

    `shelf` is the shelf that the file names, found from the file's own folder, or None where it names none;
    `shelf_span` is where. `prefer` holds one tuple of limits for each step, in order. `fat_count` has the key "number of
    fats" (unit "fats") or "each fat" (unit "%"). `techniques` are the designs and people that the file names, in order (`technique_spans`: where),
    `brought` the limits of theirs that nothing of the maker's replaces, and `design_notes` what was replaced or chosen.
    `yielded` names the rules of the house for which the goals turned out to leave no room, and `most_superfat` is then the
    most superfat that they do leave room for (%): no blend is shown with less.
    `eased` are the rules of the house, and the limits brought, that gave way to them, each with the figures at which it
    stands instead. `is_bare`: without all that gives way, since there is no blend even so.
    `no_pinch` are the fats that are left out (at most) or brought up to the rule (at least), since there would be but a pinch.
    `cure` is how long the bars are to be cured, weeks: a choice of the batch for a blend, judged of a recipe in hand.
    `most_that_helps` is how much (% of the fats) of an additive that may be used does something for the bar: no more goes in.
    `estimate`: by how much amounts are taken for more of the fats than they ordinarily are, where that is not sure.
    `recipe` is the file of a recipe in hand that it names (`recipe_span`: where); `near` is that recipe itself, which the blend is to stay near to; `between`: shares that fats are held between then (per cent), so that few fats change.
    `buying` is what may be bought beyond the stock, and what is to be least; None where the file says nothing of it.
    `made` is the day of the batch (ISO 8601), by which lots are in date or not; empty where nobody asks. `use_up` is met as far as all
    else allows but preferences and the cost. `older_first`: lots of which none is taken yet (at most), or which are used up first (at least).
    `extras` are additives and liquids as the shelf has them, by name: the maker's own, and those with an end of their own.
    """

    path: str = ""
    title: str = ""
    shelf: Path | None = None
    batch: Batch = A_KILO
    designs: tuple[tuple[str, Span], ...] = ()
    goals: tuple[Limit, ...] = ()
    shares: tuple[Limit, ...] = ()
    free_from: tuple[Exclusion, ...] = ()
    fat_count: tuple[Limit, ...] = ()
    prefer: tuple[tuple[Limit, ...], ...] = ()
    practice_off: bool = False
    practice: tuple[PracticeChange, ...] = ()
    additives: tuple[Limit, ...] = ()
    shelf_span: Span | None = None
    techniques: tuple[Design, ...] = ()
    technique_spans: tuple[Span, ...] = ()
    brought: tuple[Brought, ...] = ()
    design_notes: tuple[str, ...] = ()
    may_use: tuple[MayUse, ...] = ()
    water: Water | None = None
    yielded: frozenset[str] = frozenset()
    most_superfat: float | None = None
    liquids: tuple[Limit, ...] = ()
    extras: Mapping[str, Additive] = NO_EXTRAS
    eased: Mapping[WishId, Eased] = NOT_EASED
    is_bare: bool = False
    buying: Buying | None = None
    no_pinch: Mapping[str, Side] = MappingProxyType({})
    estimate: float = 1.0
    most_that_helps: Mapping[str, float] = MappingProxyType({})
    cure: tuple[Limit, ...] = ()
    recipe: Path | None = None
    recipe_span: Span | None = None
    near: Near | None = None
    between: Mapping[str, tuple[float, float]] = MappingProxyType({})
    made: str = ""
    use_up: tuple[UseUp, ...] = ()
    older_first: Mapping[str, Side] = MappingProxyType({})

    @property
    def asked(self) -> frozenset[str]:
        """Every quantity that a goal or a design speaks of: house practice that gives way to it stands aside."""
        limits = (*self.goals, *(item.limit for item in self.brought))
        return frozenset(limit.key for limit in limits if limit.subject == SubjectKind.QUANTITY)

    def stands_aside(self, rule: Rule) -> bool:
        """Whether a rule of the house gives way: to a goal, to a design, to `practice: off`, or as its measure is not known.

        What the alkali and the water cannot do without stays then, and so does the usual most of what may be used, and
        the end that the shelf itself sets to an additive.
        """
        if rule.subject == SubjectKind.ADDITIVE and rule.key in self.extras and rule == self._own_end(rule.key):
            return False
        if (
            rule.name in self.yielded
            or self.asked & set(rule.gives_way)
            or self._has_own_most(rule)
            or not self._is_for(rule)
        ):
            return True
        if self.is_bare and rule.side != Side.EXACTLY:
            return True
        if rule.subject == SubjectKind.QUANTITY and rule.key in unknown_measures(self):
            return True
        if any(rule.name in design.sets_aside for design in self.techniques):
            return True
        levers = {item.name for item in self.may_use} - {item.key for item in self.additives if item.side != AT_LEAST}
        return self.practice_off and rule.side != Side.EXACTLY and not rule.yields and rule.key not in levers

    def _is_for(self, rule: Rule) -> bool:
        """Whether a rule is for what is asked: one for pastes alone is where so much potassium is asked for."""
        if rule.only_with is None:
            return True
        quantity, value = rule.only_with
        limits = (*self.goals, *(item.limit for item in self.brought))
        return any(limit.key == quantity and limit.side != AT_MOST and limit.value >= value for limit in limits)

    def _has_own_most(self, rule: Rule) -> bool:
        """Whether the maker, or what the bar is for, tells how much of the very thing may go in that the rule is on."""
        own = (*self.shares, *self.additives, *(item.limit for item in self.brought))
        return rule.side == Side.AT_MOST and any(
            limit.key == rule.key and limit.subject == rule.subject and limit.side != AT_LEAST for limit in own
        )

    def most_of(self, rule: Rule) -> float:
        """The figure of a rule on a fat and all that is built on it: no less than the maker lets in of that fat itself."""
        own = (*self.shares, *(item.limit for item in self.brought))
        told = [
            limit.value
            for limit in own
            if limit.subject == SubjectKind.FAT and limit.key == rule.key and limit.side != AT_LEAST
        ]
        return max([rule.value, *told])

    def _own_end(self, name: str) -> Rule | None:
        """The rule that the shelf sets to an additive, if it does."""
        own = self.extras.get(name)
        if own is None or own.most is None:
            return None
        called = next((rule.name for rule in rules() if (rule.subject, rule.key) == (SubjectKind.ADDITIVE, name)), name)
        return own_most(own)._replace(name=called)

    @property
    def extras_named(self) -> tuple[str, ...]:
        """Every additive and liquid that may go in, by name, in the order in which the file has them."""
        named = dict.fromkeys(limit.key for limit in self.additives)
        named |= dict.fromkeys(item.name for item in self.may_use if item.subject == SubjectKind.ADDITIVE)
        return tuple(named | dict.fromkeys(limit.key for limit in self.liquids))

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules of the house; the end that the shelf sets to an additive is the rule on it.

        There is one as well for each additive that may be used and has none of its own.
        """
        ends = {name: end for name in self.extras_named for end in [self._own_end(name)] if end is not None}
        house = tuple(ends.pop(rule.key, rule) if rule.subject == SubjectKind.ADDITIVE else rule for rule in rules())
        ruled = {rule.key for rule in house if rule.subject == SubjectKind.ADDITIVE} | set(ends)
        ruled |= {limit.key for limit in self.additives if limit.side != AT_LEAST}
        free = [item.name for item in self.may_use if item.subject == SubjectKind.ADDITIVE and item.name not in ruled]
        every = (*house, *ends.values(), *(usual_most(extra_named(name, self.extras)) for name in free))
        return every if self.near is None else tuple(map(self.near.rule, every))


def near_to(sheet: GoalSheet) -> str:
    """What the recipe in hand is called that a blend is to be near to; nothing where there is none."""
    return "" if sheet.near is None else sheet.near.title or "the recipe in hand"


def told_in(sheet: GoalSheet, units: Units) -> GoalSheet:
    """The goals with their weights told in such units, where they say none of their own but grams; a balance in ounces says ounces."""
    if sheet.batch.units != Units.GRAMS:
        return sheet
    units = units_of_scale(sheet.batch.scale_g) if units == Units.GRAMS else units
    return sheet._replace(batch=sheet.batch._replace(units=units))


def over(sheet: GoalSheet, shelf: Shelf) -> GoalSheet:
    """The goals with the additives and liquids that they name as the shelf has them."""
    found = {name: shelf.extras[name].additive for name in sheet.extras_named if name in shelf.extras}
    return sheet._replace(extras={**sheet.extras, **found}) if found else sheet


def with_usual_most(
    limits: tuple[Limit, ...],
    *,
    practice_off: bool = False,
    own: Mapping[str, Additive] = NO_EXTRAS,
    fats_kg: float | None = None,
    aside: Collection[str] = (),
) -> tuple[Limit, ...]:
    """Additives that a file asks for without an end go no further than is usual, or than asked for.

    An additive cheaper than soap would else fill the pot. Where house practice has a rule on it, the rule serves.

    Args:
        limits: what is asked of additives.
        practice_off: whether the file drops house practice.
        own: additives as the shelf has them.
        fats_kg: what the fats of the batch weigh, where that is told.
        aside: rules of the house that designs set aside.
    """
    serve = () if practice_off else tuple(rule for rule in rules() if rule.name not in aside)
    ruled = {rule.key for rule in serve if rule.subject == SubjectKind.ADDITIVE}
    ended = {limit.key for limit in limits if limit.side != AT_LEAST}
    most = [
        limit._replace(
            side=AT_MOST,
            value=most,
            unit="%",
            said=Said(limit.key, AT_MOST, f"{most:g} %", remark="as is usual, for want of a word"),
        )
        for limit in limits
        if limit.key not in ruled | ended
        for most in [max(share_of_fats(limit, fats_kg) or 0.0, extra_named(limit.key, own).usual_high)]
    ]
    return (*limits, *most)


def share_of_fats(limit: Limit, fats_kg: float | None) -> float | None:
    """The figure of a limit on an additive in per cent of the fats; None where the fats of the batch are not told."""
    if limit.unit == PER_KILO:
        return limit.value / 10.0
    if limit.unit == GRAMS:
        return None if fats_kg is None else limit.value / fats_kg / 10.0
    return limit.value

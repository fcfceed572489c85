"""What is asked of a bar, as values; knows no files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from optimiser.materials.additives import additives
from optimiser.measures.practice import Rule, rules, usual_most
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.limits import AT_LEAST, AT_MOST, Limit
from optimiser.problem.wishes import Said, Section, WishId
from optimiser.text.spans import Span

if TYPE_CHECKING:
    from optimiser.problem.designs import Brought, Design


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


class Water(NamedTuple):
    """The water that the soap will meet: hardness in mg/L as calcium carbonate, and as the maker wrote it."""

    hardness: float
    said: str
    span: Span


A_KILO = Batch()


class GoalSheet(NamedTuple):
    """What is asked of a bar, from a goal file or a Python caller: every wish with its own words and its place.

    `shelf` is the shelf that the file names, found from the file's own folder, or None where it names none;
    `shelf_span` is where. `prefer` holds one tuple of limits for each step, in order. `fat_count` has the key "number of
    fats" (unit "fats") or "each fat" (unit "%"). `techniques` are the designs and people that the file names, in order (`technique_spans`: where),
    `brought` the limits of theirs that nothing of the maker's replaces, and `design_notes` what was replaced or chosen.
    `yielded` names the rules of the house for which the goals turned out to leave no room.
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

    @property
    def asked(self) -> frozenset[str]:
        """Every quantity that a goal or a design speaks of: house practice that gives way to it stands aside."""
        limits = (*self.goals, *(item.limit for item in self.brought))
        return frozenset(limit.key for limit in limits if limit.subject == SubjectKind.QUANTITY)

    def stands_aside(self, rule: Rule) -> bool:
        """Whether a rule of the house gives way: to a goal, or to `practice: off`.

        What the alkali and the water cannot do without stays then, and so does the usual most of what may be used.
        """
        if rule.name in self.yielded or self.asked & set(rule.gives_way):
            return True
        levers = {item.name for item in self.may_use} - {item.key for item in self.additives if item.side != AT_LEAST}
        return self.practice_off and rule.side != Side.EXACTLY and not rule.yields and rule.key not in levers

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules of the house, with one for each additive that may be used and has none of its own."""
        ruled = {rule.key for rule in rules() if rule.subject == SubjectKind.ADDITIVE}
        ruled |= {limit.key for limit in self.additives if limit.side != AT_LEAST}
        free = [item.name for item in self.may_use if item.subject == SubjectKind.ADDITIVE and item.name not in ruled]
        return (*rules(), *(usual_most(additives()[name]) for name in free))


def with_usual_most(limits: tuple[Limit, ...], *, practice_off: bool = False) -> tuple[Limit, ...]:
    """Additives that a file asks for without an end go no further than is usual, or than asked for.

    An additive cheaper than soap would else fill the pot. Where house practice has a rule on it, the rule serves.
    """
    ruled = {rule.key for rule in rules() if rule.subject == SubjectKind.ADDITIVE and not practice_off}
    ended = {limit.key for limit in limits if limit.side != AT_LEAST}
    most = [
        limit._replace(
            side=AT_MOST,
            value=most,
            said=Said(limit.key, AT_MOST, f"{most:g} %", remark="as is usual, for want of a word"),
        )
        for limit in limits
        if limit.key not in ruled | ended
        for most in [max(limit.value, additives()[limit.key].usual_high)]
    ]
    return (*limits, *most)

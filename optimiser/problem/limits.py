"""One side of one wish, as a value."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.measures.practice import Rule
from optimiser.measures.sides import Side, SubjectKind
from optimiser.problem.wishes import Said, Section, Whose, WishId
from optimiser.text.spans import Span

AT_LEAST = Side.AT_LEAST
AT_MOST = Side.AT_MOST
EXACTLY = Side.EXACTLY
GRAMS = "g"  # in this batch: the unit of a mass of an additive or a liquid
BY = "by"  # of a limit told from a recipe in hand: its value is the difference
AS_IT_IS = "as it is"  # the same: within what the measure is sure to
PER_KILO = "g/kg"  # the same for each kilo of fats
NOWHERE = Span("", 0, 0, 0, "")


def as_limit(rule: Rule) -> Limit:
    """A rule of the house, or an end of the shelf's own, as a limit."""
    figure = f"{round(rule.value, 2) if rule.is_of_recipe else rule.value:g}{' %' if rule.unit == '%' else ''}"
    whose = Whose.SHELF if rule.is_own_end else Whose.RECIPE if rule.is_of_recipe else Whose.HOUSE
    said = Said(rule.words, rule.side, figure, whose=whose)
    return Limit(rule.key, rule.subject, rule.side, rule.value, rule.unit, said, NOWHERE)


class Limit(NamedTuple):
    """One side of one wish.

    `key` is the canonical name (a quantity's id, a fat, "hard oils", "solid fats", a tag, an additive, a liquid); `subject` says
    which of these it is. `unit` is the unit of `value`: of an additive or a liquid "%", "g" (in this batch) or "g/kg" (of
    fats). `said` are the maker's own words with the unit. `per` ("kg", "bar" or "lb") and `currency` (as
    written, or "") belong to the cost alone. `relative` is BY or AS_IT_IS where it is told from a recipe in hand: `value` is then the
    difference, until `optimiser.problem.relative` sets the figure itself in its place.
    """

    key: str
    subject: SubjectKind
    side: Side
    value: float
    unit: str
    said: Said
    span: Span
    per: str = ""
    currency: str = ""
    relative: str = ""

    def wish(self, section: Section, within: str = "") -> WishId:
        """What the limit is known by as a wish of a section."""
        return WishId(section, self.key, self.side, within)

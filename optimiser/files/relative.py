"""Limits told from a recipe in hand: "+3", "-2", "as it is", "no dearer"."""

from __future__ import annotations

import re

from optimiser.files.limit_values import Subject, read_bound
from optimiser.measures.sides import Side
from optimiser.problem.limits import AS_IT_IS, AT_LEAST, AT_MOST, BY, EXACTLY, Limit
from optimiser.problem.relative import NO_RELATIVE, better
from optimiser.problem.wishes import EACH_FAT, Said
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, told
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Text
from optimiser.text.spans import Span

_SIGN = re.compile(r"\s*([+\-\u2212\u2013])\s*(?=[0-9.])")
_AS_IT_IS = frozenset({"as it is", "as is", "as in the recipe", "unchanged", "the same"})
_NO_DEARER = frozenset({"no dearer", "not dearer"}) | _AS_IT_IS


def read_relative(subject: Subject, text: Text, side: Side | None) -> Limit | None:
    """The limit that a text sets from the recipe in hand; None where it is no such text.

    Without a side a better figure than the recipe's is meant, or for figures of which none is better that to which the sign points.

    Args:
        subject: what the limit is on.
        text: what stands there, quoted or not: a sign before a figure always tells a difference.
        side: that under which it stands; None where it stands alone.

    Raises:
        Faults: a difference that is none, or there is no recipe to tell it from.
    """
    word, found = fold(text), _SIGN.match(text)
    if subject.key == EACH_FAT and found is not None:
        message = (
            f"{shown(text.strip())}: how much of each fat there is at the least is told by itself, not from a recipe"
        )
        raise Faults(
            Diagnostic(Code.NO_RECIPE, message, "write it without a sign, as in each_at_least: 4 %", text.span)
        )
    if subject.key == EACH_FAT or subject.key in NO_RELATIVE:
        return None
    is_word = word in _AS_IT_IS or (subject.key == "cost" and word in _NO_DEARER)
    if not subject.from_recipe and (is_word or (found is not None and is_difference(subject, found[1], side))):
        raise _no_recipe(subject, text)
    if not subject.from_recipe:
        return None
    if word in _AS_IT_IS and subject.key != "cost":
        said = Said(subject.words, side or EXACTLY, "as it is")
        return _limit(subject, side or EXACTLY, 0.0, said, text.span, BY if side else AS_IT_IS)
    if is_word:
        return _limit(subject, side or AT_MOST, 0.0, Said(subject.words, AT_MOST, "no dearer"), text.span, BY)._replace(
            per="kg"
        )
    if found is None:
        return None
    sign = "+" if found[1] == "+" else "-"
    bare = subject._replace(lowest=0.0, bands=())
    bound = told(text, lambda: read_bound(bare, text[found.end() :], side or AT_LEAST))
    by = bound.value if sign == "+" else -bound.value
    asked = side or better(subject.key) or (AT_LEAST if by >= 0.0 else AT_MOST)
    said = Said(subject.words, asked, f"{sign}{bound.told}")
    limit = _limit(subject, asked, by, said, text.span, BY)
    return limit._replace(per=bound.per, currency=bound.currency, unit=bound.unit or subject.unit)


def is_difference(subject: Subject, sign: str, side: Side | None) -> bool:
    """Whether a sign can only mean a difference, where there is no recipe in hand.

    Some measures go below 0, so "at_least: -2" is a figure as good as any; "-2" alone would be a measure just so, which nobody asks.
    """
    return sign == "+" or (subject.unit == "index" and side is None)


def _limit(subject: Subject, side: Side, value: float, said: Said, span: Span, relative: str) -> Limit:
    return Limit(subject.key, subject.kind, side, value, subject.unit, said, span, relative=relative)


def _no_recipe(subject: Subject, text: Text) -> Faults:
    message = f"{subject.words}: {shown(text.strip())} is told from a recipe in hand, and there is none here"
    help_ = "name it in a line 'near: RECIPE' or with --near RECIPE; a figure of its own has no sign"
    return Faults(Diagnostic(Code.NO_RECIPE, message, help_, text.span))

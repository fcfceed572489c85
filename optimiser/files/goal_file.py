"""The goal file as a form: which keys it has, and how each is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from optimiser.files.batch import BatchForm, read_batch
from optimiser.files.buying import AIM_SCHEMA, Aim, MayBuy, read_aim, read_buy
from optimiser.files.cure import KEY as CURE_KEY
from optimiser.files.cure import UNIT as CURE_UNIT
from optimiser.files.cure import is_cure
from optimiser.files.extra_keys import additive_subject, liquid_subject
from optimiser.files.fat_count import read_fat_count
from optimiser.files.fields import OFF, TEXT, as_path, as_title, listed, read_date
from optimiser.files.keys import (
    Known,
    lever_named,
    quantity_subject,
    rule_named,
    rule_subject,
    share_subject,
    tag_named,
    wish_subject,
)
from optimiser.files.limit_values import Subject
from optimiser.files.limits import read_limits, read_section
from optimiser.files.named_designs import named_by, read_water
from optimiser.files.pointers import place_of
from optimiser.files.use_up import read_use_up
from optimiser.measures.practice import Rule
from optimiser.measures.sides import SubjectKind
from optimiser.problem.batch import Batch
from optimiser.problem.buying import Buy
from optimiser.problem.goals import Exclusion, MayUse, PracticeChange, UseUp, Water
from optimiser.problem.limits import EXACTLY, Limit
from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, Form, Gathering, Read, field, form_schema, names_of, scalar, table
from optimiser.text.names import fold, shown
from optimiser.text.nodes import Node, Row, Text, kind_of
from optimiser.text.quantities import write_number
from optimiser.text.spans import Span

CURED = Subject(CURE_KEY, SubjectKind.QUANTITY, "cure", CURE_UNIT)


Practice = tuple[PracticeChange, ...] | Span
"""Changes to single rules, or the place where all of them are switched off."""


def _goals(node: Node, what: str, known: Known) -> tuple[Limit, ...]:
    entries = table(node, f"'{what}'", "goals: {hardness: {at_least: 45}}")
    return read_section(
        entries, lambda key, value: CURED if is_cure(key) else quantity_subject(key, value, known), known.from_recipe
    )


def _shares(node: Node, what: str, known: Known) -> tuple[Limit, ...]:
    entries = table(node, f"'{what}'", "shares: {coconut oil: {at_most: 28 %}}")
    limits = read_section(entries, lambda key, value: share_subject(key, value, known), known.from_recipe)
    _not_too_much(limits)
    return limits


def _not_too_much(limits: tuple[Limit, ...], kind: SubjectKind = SubjectKind.FAT) -> None:
    """Refuses exact shares of single fats, or liquids, that add up to more than there is."""
    exact = [limit for limit in limits if limit.side == EXACTLY and limit.subject == kind and limit.unit == "%"]
    total = sum(limit.value for limit in exact)
    if total > 100 + 1e-9:
        notes = tuple((str(limit.said), limit.span) for limit in exact[:-1])
        message = (
            f"the shares that are given exactly add up to {write_number(round(total, 6))} %, which is more than all"
        )
        raise Faults(Diagnostic(Code.TOO_MUCH, message, "make them add up to 100 % at most", exact[-1].span, notes))


def _free_from(node: Node, what: str, _: Any) -> tuple[Exclusion, ...]:
    faults, out = Gathering(), dict[str, Exclusion]()
    for item in listed(node, what, "free_from: [palm, animal]"):
        with faults:
            text = scalar(item, what)
            tag = tag_named(text)
            if tag in out:
                note = (("first given here", out[tag].span),)
                raise Faults(
                    Diagnostic(
                        Code.REPEATED_KEY, f"{shown(text)} is given twice", "keep one of the two", text.span, note
                    )
                )
            out[tag] = Exclusion(tag, text.span)
    faults.settle()
    return tuple(out.values())


def _prefer(node: Node, what: str, known: Known) -> tuple[tuple[Limit, ...], ...]:
    if not isinstance(node, Row):
        help_ = "start each wish with '- ', the dearest first: - mildness: {at_least: 60}"
        raise Faults(
            Diagnostic(
                Code.WRONG_SHAPE,
                f"'{what}' is a list in order of weight, and this is {kind_of(node)}",
                help_,
                node.span,
            )
        )
    faults, out = Gathering(), []
    for item in node:
        with faults:
            entries = table(item, f"a wish under '{what}'", "- mildness: {at_least: 60}")
            if not entries:
                raise Faults(
                    Diagnostic(
                        Code.NO_VALUE, "this wish says nothing", "write - mildness: {at_least: 60}", entries.span
                    )
                )
            out.append(read_section(entries, lambda key, value: wish_subject(key, value, known), known.from_recipe))
    faults.settle()
    return tuple(out)


def _practice(node: Node, what: str, known: Known) -> Practice:
    if isinstance(node, Text) and fold(scalar(node, what)) in OFF:
        return node.span
    entries = table(node, f"'{what}'", "practice: {castor oil: 20 %}, or practice: off")
    faults, out = Gathering(), dict[str, PracticeChange]()
    keys: dict[str, Text] = {}
    for key, value in entries.items():
        with faults:
            rule = rule_named(key, known)
            if rule.name in keys:
                raise Faults(repeated(key, keys[rule.name]))
            keys[rule.name] = key
            off = isinstance(value, Text) and fold(value) in OFF
            subject = rule_subject(rule)._replace(whole_kg=known.fats_kg, scales=known.scales)
            limits = () if off else _of_its_side(rule, key, read_limits(subject, value, rule.side))
            out[rule.name] = PracticeChange(rule.name, limits, value.span)
    faults.settle()
    return tuple(out.values())


def _of_its_side(rule: Rule, key: Text, limits: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Figures for a rule; one on each fat, or on pinches, has the side of the rule and no other.

    Raises:
        Faults: another side.
    """
    if rule.subject in (SubjectKind.EACH, SubjectKind.PINCH) and any(limit.side != rule.side for limit in limits):
        message = f"the rule on {rule.name} is one of {rule.side.words} so much, and of nothing else"
        help_ = f"write {rule.name}: {{{rule.side}: {rule.value:g} {rule.unit}}}, or off"
        raise Faults(Diagnostic(Code.CONTRADICTION, message, help_, key.span))
    return limits


def _additives(node: Node, what: str, known: Known) -> tuple[Limit, ...]:
    entries = table(node, f"'{what}'", "additives: {sodium lactate: 2 %, kaolin: 10 g / kg}")
    return read_section(entries, lambda key, _: additive_subject(key, known, of_goals=True), known.from_recipe)


def _liquids(node: Node, what: str, known: Known) -> tuple[Limit, ...]:
    entries = table(node, f"'{what}'", "liquids: {goat milk: 50 %}")
    limits = read_section(entries, lambda key, _: liquid_subject(key, known, of_goals=True), known.from_recipe)
    _not_too_much(limits, SubjectKind.LIQUID)
    return limits


def _may_use(node: Node, what: str, known: Known) -> tuple[MayUse, ...]:
    faults, out = Gathering(), dict[str, MayUse]()
    for item in listed(node, what, "may_use: [sodium lactate, salt]"):
        with faults:
            text = scalar(item, what)
            name, subject = lever_named(text, known)
            out.setdefault(name, MayUse(name, subject, text.span))
    faults.settle()
    return tuple(out.values())


class GoalForm(Form):
    """One bar: what it must be, what it may cost, and what it may hold."""

    what: ClassVar[str] = "a goal file"
    example: ClassVar[str] = "goals: {hardness: {at_least: 45}}"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("name",), "title"),
        **dict.fromkeys(("goal", "limits", "measures", "targets"), "goals"),
        **dict.fromkeys(("share", "oils", "parts", "percentages"), "shares"),
        **dict.fromkeys(("without", "exclude", "avoid", "free"), "free_from"),
        **dict.fromkeys(("inventory", "stock"), "shelf"),
        **dict.fromkeys(("preferences", "wishes"), "prefer"),
        **dict.fromkeys(("count", "number of fats"), "fats"),
        **dict.fromkeys(("designs",), "design"),
        **dict.fromkeys(("for whom", "skin", "user", "people"), "for"),
        **dict.fromkeys(("may", "levers", "use"), "may_use"),
        **dict.fromkeys(("liquid", "milk", "milks", "in place of water", "instead of water"), "liquids"),
        **dict.fromkeys(("hardness of water", "hard water"), "water_hardness"),
        **dict.fromkeys(("buying", "purchases"), "buy"),
        **dict.fromkeys(("objective", "aim for"), "aim"),
        **dict.fromkeys(("finish", "use first", "clear", "finish up"), "use_up"),
        **dict.fromkeys(("on", "date", "day", "made on"), "made"),
        **dict.fromkeys(("near to", "nearest to", "recipe in hand", "starting from"), "near"),
    }
    blank_is_absent: ClassVar[bool] = True

    @classmethod
    def unknown(cls, key: Text, value: Node) -> Diagnostic:
        """The fault of a key that no field answers to: a maker's word is told its place."""
        fault = super().unknown(key, value)
        return fault if fold(key) in cls.usual else fault._replace(help=place_of(key, "") or fault.help)

    title: str = field(Read("title", as_title, TEXT), default="", description="What the bar is called.")
    shelf: Text | None = field(
        Read("shelf", as_path, TEXT),
        default=None,
        description="The shelf's file, as a path from this file's folder; without it, the nearest inventory/ folder's only shelf.",
    )
    batch: Batch | None = field(
        Read("batch", read_batch, form_schema(BatchForm)),
        default=None,
        description="How much is made: bars, fats or a mould; 1 kg of fats where nothing is told.",
    )
    made: str = field(
        Read("made", read_date, TEXT),
        default="",
        description="The day of the batch, as in 2026-11-28, by which lots are in date; today where it is not told.",
    )
    design: tuple[tuple[str, Span], ...] = field(
        Read("design", named_by("design", "design: fine swirl"), names_of("design")),
        default=(),
        description="A named design, or a list of them; each brings goals of its own.",
    )
    for_: tuple[tuple[str, Span], ...] = field(
        Read("for", named_by("for", "for: mature skin"), names_of("for")),
        default=(),
        alias="for",
        description="Whom the bar is for, as in mature skin; brings goals of its own.",
    )
    goals: tuple[Limit, ...] = field(
        Read("goals", _goals, names_of("goals")),
        default=(),
        description="What the bar and the batch must be: bar measures, superfat, lye, cost, acids.",
    )
    shares: tuple[Limit, ...] = field(
        Read("shares", _shares, names_of("shares")),
        default=(),
        description="Shares of all fats, in per cent, by fat, kind or tag; a bare figure means exactly.",
    )
    free_from: tuple[Exclusion, ...] = field(
        Read("free_from", _free_from, names_of("free_from")),
        default=(),
        description="Tags that nothing in the bar may bear, as in [palm, animal].",
    )
    fats: tuple[Limit, ...] = field(
        Read("fats", read_fat_count, names_of("fats")),
        default=(),
        description="How many fats there may be, and the least of each that is used.",
    )
    near: Text | None = field(
        Read("near", as_path, TEXT),
        default=None,
        description="A recipe in hand, as a path from this file's folder: the nearest blend to it that meets the goals, then the cheapest.",
    )
    use_up: tuple[UseUp, ...] = field(
        Read("use_up", read_use_up, names_of("use_up")),
        default=(),
        description="Fats to use up in this batch, a mass or all, as far as the goals allow; before the cost, in this order.",
    )
    prefer: tuple[tuple[Limit, ...], ...] = field(
        Read("prefer", _prefer, names_of("prefer")),
        default=(),
        description="Wishes met as far as everything else allows, in this order.",
    )
    practice: Practice = field(
        Read("practice", _practice, names_of("practice")),
        default=(),
        description="House practice: a figure of your own for a rule, 'off' for a rule, or 'off' for all.",
    )
    additives: tuple[Limit, ...] = field(
        Read("additives", _additives, names_of("additives")),
        default=(),
        description="Additives in per cent of the fats, a mass in this batch or a mass for a kilo of fats; a bare figure means exactly.",
    )
    liquids: tuple[Limit, ...] = field(
        Read("liquids", _liquids, names_of("liquids")),
        default=(),
        description="What stands for the water: a share of all that is poured in its place, or a mass.",
    )
    may_use: tuple[MayUse, ...] = field(
        Read("may_use", _may_use, names_of("may_use")),
        default=(),
        description="Additives, waxes and fatty acids that may go in where they pay, up to the usual most.",
    )
    water_hardness: Water | None = field(
        Read("water_hardness", read_water, TEXT),
        default=None,
        description="How hard the wash water is, as in 250 mg/L (as CaCO3), 14 dH or 15 gpg.",
    )
    buy: MayBuy | None = field(
        Read("buy", read_buy, {"enum": [str(one) for one in Buy]}),
        default=None,
        description="What may be bought beyond the stock: none, packs (whole ones), or any mass at the price per kilo.",
    )
    aim: Aim | None = field(
        Read("aim", read_aim, AIM_SCHEMA),
        default=None,
        description="What is to be least: cheapest to make (what is used), or least cash (what is paid today).",
    )

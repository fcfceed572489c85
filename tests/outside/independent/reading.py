"""A goal file and a shelf as a maker writes them become a question: a pot, wishes with sides, preferences in order."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import yaml
from outside.independent import tables
from outside.independent.house import Rule, house_rules
from outside.independent.pot import Batch, Figure, Pot, Stocked, Vector
from outside.independent.tables import Tree, fold

SIDES = ("at_least", "at_most", "exactly")
BAND = 0.5  # a bare figure for a bar measure means within half a point
ALIKE = (
    frozenset({"lye_concentration", "water_to_alkali", "water_share_of_fats"}),
    frozenset({"harshness", "mildness"}),
)
EXACT_GIVES, BROUGHT_GIVES = 2.0, 3.0  # what a small change is worth of what alkali and water stand at, and of designs
SHARE_SCALE = 5.0  # per cent of the fats: a small change of a share
MOST_BASES = 300  # on a shelf to which a rule on each fat is put
COUNTED = 1.0  # per cent of the fats from which a fat counts as one of at least so many
Written = tuple[str, float, str]  # side, figure, what the money is for; of an amount its unit, "" for per cent


@dataclass(frozen=True)
class Side:
    """One side of a figure: at least, at most or exactly `limit`."""

    figure: Figure = field(repr=False)
    side: str
    limit: float
    strays: bool = False  # the figure less a hundred times the length of what lots stray


@dataclass(frozen=True)
class Wish:
    """What may be given up as one: its sides, or a number for what is counted. `about` is the figure's name.

    `scale` is a small change of the figure. What `gives` way where the goals leave no room for it does so at so much for a
    small change; nothing is for what stands. One with `ends` gives way first of all, and no further than to these; where nothing else
    leaves a blend, it does so to those of `last`.
    """

    id: str
    origin: str
    about: str
    sides: tuple[Side, ...] = ()
    count: float = 0.0
    scale: float = 1.0
    gives: float = 0.0
    ends: tuple[Side, ...] = ()
    last: tuple[Side, ...] = ()


@dataclass(frozen=True)
class Question:
    """All that is asked; `floors` are the shares (fractions) from which each fat counts towards a least number.

    `is_guessed`: an amount in grams, or a share of the jug, may lie on either side of an end of what is known of it.
    `may` are the additives that may be used, and go in no further than they help.
    `pinch` is the least share (per cent) of a fat that nobody of `named` names; None where that is not asked.
    """

    pot: Pot
    wishes: Mapping[str, Wish]
    prefer: tuple[Wish, ...]
    physics: tuple[Side, ...]
    floors: Vector
    pinch: float | None = None
    of_least: Mapping[str, float] = field(default_factory=dict)
    named: frozenset[str] = frozenset()
    is_guessed: bool = False
    may: tuple[str, ...] = ()

    def without(self, *gone: str) -> Question:
        """The same less some wishes, all else as it stands."""
        return replace(self, wishes={name: wish for name, wish in self.wishes.items() if name not in gone})

    def with_(self, *more: Wish) -> Question:
        """The same with some wishes more, or in place of those of the same name."""
        return replace(self, wishes={**self.wishes, **{wish.id: wish for wish in more}})

    @property
    def counts(self) -> bool:
        """Whether fats are counted."""
        return any(wish.origin == "count" for wish in self.wishes.values())


# -- figures as they are written -----------------------------------------------------------------------------------


def tree(text: str) -> Tree:
    """A file as nested text; what is near to a recipe in hand is stated anew elsewhere (`test_near_linprog.py`)."""
    found = dict(yaml.load(text, tables.LOADER) or {})  # noqa: S506
    assert "near" not in found, "the nearest blend to a recipe is no part of this statement"
    return found


def number(text: str) -> float:
    """The figure in front of a unit."""
    found = re.match(r"\s*(?:>=|<=)?\s*(-?[\d.]+)", str(text))
    assert found, text
    return float(found.group(1))


def per(text: str) -> str:
    """What money is for."""
    return str(text).rpartition("/")[2].strip() if "/" in str(text) else ""


def end_of(key: str, text: str, side: str) -> float:
    """A figure, or the end of a band that a word names."""
    words = tables.bands().get(key, {})
    if text in words:
        return float(words[text][0 if side == "at_least" else 1])
    return number(text)


def written(key: str, value: Any, bare: str = "exactly") -> list[Written]:
    """The sides of a limit as written."""
    if isinstance(value, Mapping):
        if "between" in value:
            low, high = value["between"]
            return [("at_least", end_of(key, low, "at_least"), per(low)), ("at_most", number(high), per(high))]
        return [(side, end_of(key, value[side], side), per(value[side])) for side in SIDES if side in value]
    words = tables.bands().get(key, {})
    if value in words:
        ends = zip(("at_least", "at_most"), words[value], strict=True)
        return [(side, float(end), "") for side, end in ends if end]
    return [(bare, number(value), per(value))]


GRAMS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}


def amount(text: str) -> tuple[float, str]:
    """An amount of an additive or a liquid with its unit: "" (per cent), "g" or "g/kg"."""
    mass, _, each = str(text).partition("/")
    unit = mass.strip().rpartition(" ")[2]
    if unit not in GRAMS:
        return number(text), ""
    grams = number(mass) * GRAMS[unit]
    return (grams / GRAMS[each.strip()] * 1000.0, "g/kg") if each else (grams, "g")


def amounts(value: Any) -> list[Written]:
    """The sides of a limit on an additive or a liquid."""
    if isinstance(value, Mapping):
        sides = dict(zip(("at_least", "at_most"), value["between"], strict=True)) if "between" in value else value
        return [(side, *amount(sides[side])) for side in SIDES if side in sides]
    return [("exactly", *amount(value))]


def kilograms(text: str) -> float:
    """A mass."""
    unit = str(text).strip().rpartition(" ")[2]
    return number(text) * {"kg": 1.0, "g": 0.001}[unit]


# -- the shelf and the batch ---------------------------------------------------------------------------------------


def lot_of(entry: Mapping[str, Any], others: Sequence[Mapping[str, Any]]) -> Mapping[str, Any] | None:
    """Its certificate; of an infusion without one that of its oil on the same shelf, of several the lowest."""
    if "lot" in entry or not tables.is_infused(entry["fat"]):
        return entry.get("lot")
    oil = tables.fat(entry["like"]).name
    lots = [
        {name: figure for name, figure in other["lot"].items() if name != "iodine_value"}
        for other in others
        if "lot" in other and tables.fat(other.get("like", other["fat"])).name == oil
    ]
    return min(lots, key=lambda lot: number(lot["saponification_value"]), default=None)


def stocked(entry: Mapping[str, Any], others: Sequence[Mapping[str, Any]] = ()) -> Stocked:
    """A fat of the shelf, beside the entries of the whole of it."""
    figures = tables.fat(entry["fat"]) if "like" not in entry else tables.lent(tables.fat(entry["like"]), entry["fat"])
    lot = lot_of(entry, others)
    if lot is not None:
        iodine = number(lot["iodine_value"]) if "iodine_value" in lot else None
        value, tolerance = number(lot["saponification_value"]), number(lot["tolerance"])
        figures = tables.certified(figures, value, tolerance, iodine)
    return Stocked(figures, number(entry["price"]), kilograms(entry["stock"]) if "stock" in entry else None)


def heats(goals: Tree) -> bool:
    """Whether what surely goes into the pot heats it by itself: then no design covers it or warms it more."""
    hot = {fold(row["additive"]) for row in tables.table("additives") if row["heats"] == "yes"}
    hot |= {fold(row["liquid"]) for row in tables.table("liquids") if row["heats"] == "yes"}
    told = {**goals.get("additives", {}), **goals.get("liquids", {})}
    return any(
        fold(name) in hot and any(side != "at_most" and figure > 0.0 for side, figure, _ in amounts(value))
        for name, value in told.items()
    )


def batch_of(goals: Tree, chosen: Sequence[Mapping[str, Any]]) -> Batch:
    """The batch, with what the designs choose where the maker does not; the first design goes first."""
    told = dict(goals.get("batch", {}))
    for design in chosen:
        for name, choice in design.get("batch", {}).items():
            warm = (name == "gel" and choice["use"] == "yes") or (
                name == "batter_temperature" and number(choice["use"]) > 35.0
            )
            if not (warm and heats(goals)):
                told.setdefault(name, choice["use"])
    mould = told.get("mould")
    sized = "bars" in told or mould is not None
    litres = np.prod([number(mould[side]) for side in ("length", "width", "depth")]) / 1000.0 if mould else None
    return Batch(
        fats=kilograms(told["fats"]) if "fats" in told else None if sized else 1.0,
        bars=number(told["bars"]) if "bars" in told else None,
        mould=None if litres is None else float(litres),
        weight=kilograms(told.get("cured_weight", "100 g")),
        batter=number(told.get("batter_temperature", "35 degC")),
        gel=told.get("gel", "no") in ("yes", "true", "on"),
        cured_water=number(told.get("cured_water", "10 %")) / 100.0,
    )


def cured(batch: Batch, goals: Tree, chosen: Sequence[Mapping[str, Any]]) -> Batch:
    """The batch at its cure in weeks: 6, or what a design chooses, or the nearest to 6 that the goals allow."""
    weeks = next(
        (number(design["batch"]["cure"]["use"]) for design in chosen if "cure" in design.get("batch", {})), 6.0
    )
    wish = goals.get("goals", {}).get("cure")
    if wish is not None:
        sides = (
            {side: number(text) for side, text in wish.items()}
            if isinstance(wish, Mapping)
            else {"exactly": number(wish)}
        )
        weeks = max(6.0, sides.get("at_least", 0.0), sides.get("exactly", 0.0))
        weeks = min(weeks, sides.get("at_most", weeks), sides.get("exactly", weeks))
    told = "cured_water" in goals.get("batch", {})
    rows = tables.table("cured_water")
    at, wet = [float(np.log(float(row["weeks"]))) for row in rows], [float(row["water"]) for row in rows]
    water = batch.cured_water if told else round(float(np.interp(float(np.log(weeks)), at, wet)), 3)
    return replace(batch, cure=weeks, cured_water=water)


def purity_of(name: str, entry: Mapping[str, Any]) -> tuple[float, float]:
    """How pure an alkali is told to be, and how pure it may be, as fractions."""
    told = number(entry["purity"])
    more = number(entry["purity_tolerance"]) if "purity_tolerance" in entry else tables.usual_tolerance(name, told)
    return told / 100.0, min(100.0, told + more) / 100.0


def pot_of(goals: Tree, shelf: Tree, chosen: Sequence[Mapping[str, Any]] = ()) -> Pot:
    """The pot that two files lay out: every fat of the shelf, and the additives that the goal file names."""
    known = {fold(name): name for name in tables.additives()}
    named = [known[fold(name)] for name in goals.get("additives", {})]
    named += [known[fold(name)] for name in goals.get("may_use", []) if fold(name) in known]
    prices = {known[fold(item["additive"])]: number(item["price"]) for item in shelf.get("additives", [])}
    prices |= {item["liquid"]: number(item["price"]) for item in shelf.get("liquids", [])}
    alkalis = {name: (number(item["price"]), *purity_of(name, item)) for name, item in shelf["alkalis"].items()}
    fats = sorted((stocked(entry, shelf["fats"]) for entry in shelf["fats"]), key=lambda item: item.figures.name)
    every = {**tables.additives(), **tables.liquids()}
    named += goals.get("liquids", {})
    extra = tuple((every[name], prices.get(name, 0.0)) for name in dict.fromkeys(named))
    return Pot(tuple(fats), alkalis, extra, cured(batch_of(goals, chosen), goals, chosen))


# -- wishes --------------------------------------------------------------------------------------------------------


class Reader:
    """Reads one question; `shelf` and `goals` are trees of text."""

    def __init__(self, goals: Tree, shelf: Tree) -> None:
        self.goals = goals
        self.chosen = [
            (family, tables.designs(family)[fold(name)])
            for family in ("design", "for")
            for name in listed(goals.get(family, []))
        ]
        self.pot = pot_of(goals, shelf, [design for _, design in self.chosen])
        practice = goals.get("practice", {})
        self.off = practice == "off"
        self.changes = {} if self.off else {fold(name): value for name, value in practice.items()}
        self.own = dict(self._own())
        self.brought = list(self._brought())
        self.beyond = set(self._beyond())
        self.brought = [item for item in self.brought if not self._unknown(item[2])]
        self.guessed: set[str] = set()
        self.pot = replace(self.pot, least=dict(self._least()))

    def question(self) -> Question:
        """Everything that the two files ask."""
        wishes = [*self._makers(), *self._exclusions(), *self._rules(), *self._stock(), *self._counts()]
        return Question(
            self.pot,
            {wish.id: wish for wish in wishes},
            tuple(self._preferences()),
            tuple(self._physics()),
            self._floors(),
            self._pinch(),
            self._of_least(),
            frozenset(item.figures.name for item in self.pot.fats if self._names(item.figures.name, 0.0)),
            self._is_guessed(),
            tuple(self._may()),
        )

    def _may(self) -> Iterator[str]:
        """The additives that may be used."""
        known = {fold(name): name for name in tables.additives()}
        yield from (known[fold(name)] for name in self.goals.get("may_use", []) if fold(name) in known)

    def _is_guessed(self) -> bool:
        """Whether an estimate lies so near an end of what is known that the other side of it may be meant."""
        return any(
            0.7 * self.pot.least.get(name, 0.0) <= end <= 1.4 * self.pot.least.get(name, 0.0)
            for name in self.guessed
            for end in (2.0, 3.0, 10.0, 20.0)
        )

    def _wish(self, prefix: str, origin: str, place: tuple[str, str], limit: Written, name: str = "") -> Wish:
        """One wish; a bare figure of a bar measure has two sides."""
        (subject, key), (side, value, money_per) = place, limit
        quantity = subject == "quantity"
        figure = self.pot.figure(key, money_per or "kg") if quantity else self.pot.share(subject, key, money_per)
        sides = [Side(figure, side, value, strays=key == "likely_superfat")]
        if side == "exactly" and quantity and key in tables.MEASURES:
            sides = [Side(figure, "at_least", value - BAND), Side(figure, "at_most", value + BAND)]
        if quantity and key in tables.floors():  # never told below it, so that asking for no more asks nothing
            sides = [one for one in sides if one.side != "at_least" or one.limit > tables.floors()[key]]
        scale = tables.scales()[key] if quantity else SHARE_SCALE
        return Wish(f"{prefix}.{name or key}.{side}", origin, key, tuple(sides), scale=scale)

    def _own(self) -> Iterator[tuple[tuple[str, str], list[Written]]]:
        """The maker's own limits by (subject, key)."""
        for name, value in self.goals.get("goals", {}).items():
            if fold(name) == "cure":
                continue
            key = tables.goal_keys()[fold(name)]
            yield ("quantity", key), written(key, value)
        for name, value in self.goals.get("shares", {}).items():
            yield tables.share_keys()[fold(name)], written("", value)

    def _beyond(self) -> Iterator[str]:
        """What is asked for, at the least, beyond what is known of it."""
        asked = [*self.own.items(), *((place, limits) for _, _, place, limits, _ in self.brought)]
        practice = self.goals.get("practice", {})
        for name, value in practice.items() if isinstance(practice, Mapping) else ():
            row = next((row for row in tables.table("practice") if fold(row["rule"]) == fold(name)), None)
            if row is not None and value != "off":
                asked.append(((row["subject"], row["key"]), written(row["key"], value, row["side"])))
        for (_, key), limits in asked:
            for side, value, _ in limits:
                low, high = side != "at_least", side != "at_most"
                if high and value > 25.0 and "superfat" in key:
                    yield "free oil"
                if high and value > 60.0 and key == "potassium_share":
                    yield "potassium"
                wet = high and value > {"water_to_alkali": 4.0, "water_share_of_fats": 76.0}.get(key, np.inf)
                dry = low and value < {"lye_concentration": 20.0, "water_share_of_fats": 10.0}.get(key, -np.inf)
                if wet or dry:
                    yield "water"

    def _unknown(self, place: tuple[str, str]) -> bool:
        """Whether a figure is of a measure that what is asked for beyond all ranges moves."""
        return place[1] in tables.MEASURES and any(tables.levers(place[1])[name] for name in self.beyond)

    def _least(self) -> Iterator[tuple[str, float]]:
        """What is asked of each lever that levels off, per cent of the fats; `guessed` where grams or a jug had to be."""
        parts: dict[str, float] = {}
        for key, limits in self._additives().items():
            for side, value, unit in limits:
                if side != "at_most":
                    parts[key] = max(parts.get(key, 0.0), self._per_cent(key, value, unit))
        for key, value in self.goals.get("liquids", {}).items():
            for side, figure, unit in amounts(value):
                if side != "at_most":
                    guess = unit == ""
                    self.guessed |= {"sugar"} if guess else set()
                    share = 0.28 * figure if guess else self._per_cent("sugar", figure, unit)
                    parts["sugar"] = parts.get("sugar", 0.0) + share * tables.liquids()[key].sugar
        yield from parts.items()
        yield "hard waxes", self._least_wax()

    def _per_cent(self, key: str, value: float, unit: str) -> float:
        if unit != "g":
            return value / 10.0 if unit else value
        batch = self.pot.batch
        if batch.fats is not None:
            return value / batch.fats / 10.0
        self.guessed.add(key)
        return (
            value
            / 10.0
            / (0.65 * batch.mould if batch.mould is not None else 0.75 * (batch.bars or 1.0) * batch.weight)
        )

    def _least_wax(self) -> float:
        """The least of hard waxes: of every limit that nothing else can meet, single fats together or a group of them."""
        alone: dict[str, float] = {}
        groups = [0.0]
        hard = [item.figures for item in self.pot.fats if item.figures.hard_wax]
        places = [*self.own.items(), *((place, limits) for _, _, place, limits, _ in self.brought)]
        for (subject, key), limits in places:
            least = max((value for side, value, _ in limits if side != "at_most"), default=0.0)
            if subject == "quantity" or not least:
                continue
            met = [item.figures for item in self.pot.fats if self.pot._falls_under(subject, key, item.figures)]
            if met and all(figures in hard for figures in met):
                if len(met) == 1:
                    alone[met[0].name] = max(alone.get(met[0].name, 0.0), least)
                else:
                    groups.append(least)
        return max(sum(alone.values()), *groups)

    def _brought(self) -> Iterator[tuple[str, str, tuple[str, str], list[Written], bool]]:
        """(family, name, (subject, key), sides, whether it gives way) of what designs bring and nothing of the maker's replaces."""
        asked = {other for place in self.own for other in alike(place)}
        people = {
            other
            for family, design in self.chosen
            if family == "for"
            for place, _ in limits_of(design)
            for other in alike(place)
        }
        for family, design in self.chosen:
            for place, value in limits_of(design):
                gives_way = family == "for" or value.get("gives_way") == "yes"
                replaced = gives_way and family == "design" and place in people
                if place not in asked and not replaced:
                    yield family, design["name"], place, written(place[1], value), gives_way

    def _makers(self) -> Iterator[Wish]:
        for place, limits in self.own.items():
            section, origin = ("goals", "goal") if place[0] == "quantity" else ("shares", "share")
            yield from (self._wish(section, origin, place, limit) for limit in limits)
        for key, limits in self._additives().items():
            yield from (self._wish("additives", "additive", ("additive", key), limit) for limit in limits)
        for key, value in self.goals.get("liquids", {}).items():
            yield from (self._wish("liquids", "liquid", ("liquid", key), limit) for limit in amounts(value))
        for family, name, place, limits, gives_way in self.brought:
            wishes = [self._wish(f"{family}.{name}", "design", place, limit) for limit in limits]
            yield from (replace(wish, gives=BROUGHT_GIVES if gives_way else 0.0) for wish in wishes)

    def _additives(self) -> dict[str, list[Written]]:
        """Limits on additives; one without an end goes no further than is usual, or than asked for."""
        known = {fold(name): name for name in tables.additives()}
        aside = self._set_aside() - self.changes.keys()
        ruled = {
            row["key"]
            for row in tables.table("practice")
            if row["subject"] == "additive" and not self.off and fold(row["rule"]) not in aside
        }
        out = {}
        for name, value in self.goals.get("additives", {}).items():
            key = known[fold(name)]
            out[key] = amounts(value)
            if all(side == "at_least" for side, _, _ in out[key]) and key not in ruled:
                _, least, unit = out[key][0]
                fats = self.pot.batch.fats
                share = {"": least, "g/kg": least / 10.0, "g": 0.0 if fats is None else least / fats / 10.0}[unit]
                out[key].append(("at_most", max(share, tables.additives()[key].usual), ""))
        return out

    def _set_aside(self) -> set[str]:
        """The rules, folded, that are not for the designs."""
        return {fold(name) for _, design in self.chosen for name in design.get("sets_aside", ())}

    def _exclusions(self) -> Iterator[Wish]:
        for tag in listed(self.goals.get("free_from", [])):
            top = self.pot.share("tag", tag).top
            top = top + 100.0 * self.pot.of_additives(
                {item.name: float(tag in item.tags) for item, _ in self.pot.additives}
            )
            side = Side(Figure(top, self.pot.one), "at_most", 0.0)
            yield Wish(f"free_from.{tag}", "exclusion", tag, (side,))

    def _rules(self) -> Iterator[Wish]:
        """House practice, less what the maker overrides, what gives way, and what `practice: off` drops."""
        for rule in house_rules(self._levers()):
            extra = {item.name for item, _ in self.pot.additives}
            if rule.subject == "pinch" or (rule.subject == "additive" and rule.key not in extra):
                continue
            own = self.changes.get(fold(rule.name))
            if own is None and (self._unknown((rule.subject, rule.key)) or self._stands_aside(rule)):
                continue
            limits = [(rule.side, self._end(rule), "")] if own is None else self._changed(rule, own)
            for limit in limits:
                wishes = [
                    self._wish(prefix, "practice", place, limit, rule.name)
                    for prefix, place in self._places(rule, is_own=own is not None)
                ]
                gives = 0.0 if own is not None else self._gives(rule)
                for wish in wishes:
                    figure, is_exact = wish.sides[0].figure, rule.side == "exactly" and own is None
                    ends, last = (
                        tuple(
                            Side(figure, side, end)
                            for side, end in zip(("at_least", "at_most"), self._from_own(rule, pair), strict=False)
                        )
                        for pair in (rule.within, rule.at_last)
                    )
                    yield replace(
                        wish, scale=rule.scale, gives=gives, ends=ends if gives else (), last=last if is_exact else ()
                    )

    def _end(self, rule: Rule) -> float:
        """The figure of a rule; one on a fat and its likes lets in as much as is let in of the fat itself."""
        limits = [*self.own.items(), *((place, sides) for _, _, place, sides, _ in self.brought)]
        named = [
            value
            for place, sides in limits
            if place == ("fat", rule.key)
            for side, value, _ in sides
            if side != "at_least"
        ]
        return max([rule.value, *named]) if rule.subject == "base" and rule.side == "at_most" else rule.value

    def _gives(self, rule: Rule) -> float:
        """What a small change of a rule is worth; what alkali and water stand at moves only for what is asked of the same kind."""
        if rule.side != "exactly":
            return 0.0 if rule.yields else 1.0
        is_up = bool(rule.within) and np.isinf(rule.within[0])
        return EXACT_GIVES if is_up or self._asked() & set(rule.moved_by) else 0.0

    def _from_own(self, rule: Rule, pair: tuple[float, ...]) -> tuple[float, ...]:
        """The ends of a rule; what moves upwards alone does so from its own figure, or from none for what it is moved by."""
        if not pair or not np.isinf(pair[0]):
            return pair
        return 0.0 if self._asked() & set(rule.moved_by) else rule.value, pair[1]

    def _asked(self) -> set[str]:
        """The quantities that the maker or a design speaks of."""
        return {place[1] for place in (*self.own, *(item[2] for item in self.brought)) if place[0] == "quantity"}

    @staticmethod
    def _changed(rule: Rule, own: Any) -> list[Written]:
        """A figure of the maker's own for a rule; nothing where it is off."""
        return [] if own == "off" else written(rule.key, own, rule.side)

    def _places(self, rule: Rule, *, is_own: bool) -> Iterator[tuple[str, tuple[str, str]]]:
        """What a rule is on: one figure, or every fat by itself but those that the maker names with as much."""
        if rule.subject != "each":
            yield "practice", (rule.subject, rule.key)
            return
        bases = dict.fromkeys(item.figures.base for item in self.pot.fats)
        for base in bases:
            if is_own or (len(bases) <= MOST_BASES and not self._names(base, rule.value)):
                yield f"practice.{base}", ("base", base)

    def _names(self, fat: str, least: float) -> bool:
        """Whether a share of the maker's, or of a design, names a fat with so much or more."""
        limits = [*self.own.items(), *((place, sides) for _, _, place, sides, _ in self.brought)]
        return any(place == ("fat", fat) and value >= least for place, sides in limits for _, value, _ in sides)

    def _stands_aside(self, rule: Rule) -> bool:
        """Whether a rule stands aside for what the maker or a design speaks of, or where practice is off."""
        if self._asked() & set(rule.gives_way) or fold(rule.name) in self._set_aside():
            return True
        if rule.only_with and not self._asks_for(rule.only_with, rule.only_from):
            return True
        ended = [(place, sides) for place, sides in self.own.items() if place[0] != "quantity"]
        ended += [(("additive", key), sides) for key, sides in self._additives().items()]
        ended += [(place, sides) for _, _, place, sides, _ in self.brought]
        if rule.side == "at_most" and any(
            place == (rule.subject, rule.key) and any(side != "at_least" for side, _, _ in sides)
            for place, sides in ended
        ):
            return True
        return self.off and rule.side != "exactly" and rule.key not in self._levers() and not rule.yields

    def _asks_for(self, quantity: str, least: float) -> bool:
        """Whether the maker or a design asks for so much of a quantity."""
        limits = [*self.own.items(), *((place, sides) for _, _, place, sides, _ in self.brought)]
        return any(
            place == ("quantity", quantity) and any(side != "at_most" and value >= least for side, value, _ in sides)
            for place, sides in limits
        )

    def _pinch(self) -> float | None:
        """The least share of a fat that is no pinch; None where fats are counted, or the rule is off."""
        rule = next(rule for rule in house_rules(set()) if rule.subject == "pinch" and not rule.key)
        if self.goals.get("fats"):
            return None
        own = self.changes.get(fold(rule.name))
        if own is not None:
            return max((value for _, value, _ in self._changed(rule, own)), default=None)
        return None if self.off else rule.value

    def _of_least(self) -> dict[str, float]:
        """What is a pinch of each kind that has a rule of its own, as a part of what is one of the others."""
        every, *kinds = (rule for rule in house_rules(set()) if rule.subject == "pinch")
        out = {}
        for rule in kinds:
            own = self.changes.get(fold(rule.name))
            told = [rule.value] if own is None else [value for _, value, _ in self._changed(rule, own)]
            out[rule.key] = max(told, default=0.0) / every.value
        return out

    def _levers(self) -> set[str]:
        """Additives that may be used and to which nothing of the maker's sets an end."""
        return set(self._may()) - {
            name for name, limits in self._additives().items() if any(side != "at_least" for side, _, _ in limits)
        }

    def _stock(self) -> Iterator[Wish]:
        batch, pot = self.pot.batch, self.pot
        for place, item in enumerate(pot.fats):
            if item.stock is None:
                continue
            made, bottom = batch.fats, pot.one
            if batch.bars is not None:
                made, bottom = batch.bars * batch.weight, pot.cured
            elif batch.mould is not None:
                made, bottom = batch.mould, pot.litres
            top = np.zeros(pot.size)
            top[place] = made or 0.0
            name = item.figures.name
            yield Wish(f"stock.{name}", "stock", name, (Side(Figure(top, bottom), "at_most", item.stock),))

    def _counts(self) -> Iterator[Wish]:
        for name, value in self.goals.get("fats", {}).items():
            figure = number(value) / 100.0 if name == "each_at_least" else number(value)
            yield Wish(f"fats.{name}", "count", "fats", (), figure)

    def _floors(self) -> Vector:
        """A fat counts from 1 %, or from the smaller share that the maker names for it or for each."""
        each = number(self.goals.get("fats", {}).get("each_at_least", f"{COUNTED} %"))
        floors = np.full(self.pot.count, min(COUNTED, each))
        for (subject, key), limits in self.own.items():
            for place, item in enumerate(self.pot.fats):
                if subject == "fat" and item.figures.name == key:
                    named = [value for side, value, _ in limits if side != "at_most" and value > 0.0]
                    floors[place] = min([floors[place], *named])
        return floors / 100.0

    def _preferences(self) -> Iterator[Wish]:
        for place, entry in enumerate(self.goals.get("prefer", [])):
            ((name, value),) = entry.items()
            folded = fold(name)
            quantity = folded in tables.goal_keys()
            where = ("quantity", tables.goal_keys()[folded]) if quantity else tables.share_keys()[folded]
            wishes = [self._wish(f"prefer.{place}", "preference", where, limit) for limit in written(where[1], value)]
            sides = tuple(side for wish in wishes for side in wish.sides)
            yield Wish(wishes[0].id, "preference", where[1], sides)

    def _physics(self) -> Iterator[Side]:
        """No more alkali than fat, at most 25 % unreacted, lye as mixed at most 50 %, water that is brought stays.

        Water and potassium stay within what is known of them, and so does free oil, up to 40 % unreacted where more is asked
        for; what levels off stays within its stretch.
        """
        pot, one = self.pot, self.pot.one
        yield Side(Figure(pot.free, one), "at_least", 0.0)
        yield Side(Figure(pot.free, pot.demand), "at_most", 0.40 if "free oil" in self.beyond else 0.25)
        yield Side(Figure(pot.alkali, pot.alkali + pot.lye_water), "at_most", 0.50)
        yield Side(Figure(pot.water - pot.brought, one), "at_least", 0.0)
        asked = {key for _, key in self.own} | {item[2][1] for item in self.brought}
        if "potassium_share" not in asked:
            yield Side(Figure(pot.of(rest={1: 1.0}), one), "at_most", 0.0)
        if "potassium" not in self.beyond:
            yield Side(pot.figure("potassium_share"), "at_most", 60.0)
        if "water" not in self.beyond:
            yield Side(Figure(pot.water, one), "at_least", 0.100)
            yield Side(Figure(pot.water, one), "at_most", 0.760)
        if "free oil" not in self.beyond:
            fat = pot.of_additives({item.name: item.fat for item, _ in pot.additives})
            yield Side(Figure(100.0 * (pot.free + fat) / 3.45, one), "at_most", 35.0)
        for lever in tables.knots("hardness"):
            low, high = pot.stretch(lever)
            held = Figure(pot.held(lever), one)
            if held.top.any() and high is not None:
                yield Side(held, "at_most", high)
            if held.top.any() and low > 0.0 and lever in self.guessed:
                yield Side(held, "at_least", low)


def limits_of(design: Mapping[str, Any]) -> Iterator[tuple[tuple[str, str], Mapping[str, Any]]]:
    """The limits of a design by (subject, key)."""
    for name, value in design.get("goals", {}).items():
        yield ("quantity", tables.goal_keys()[fold(name)]), value
    for name, value in design.get("shares", {}).items():
        yield tables.share_keys()[fold(name)], value


def alike(place: tuple[str, str]) -> Iterator[tuple[str, str]]:
    """A key and those that say the same in other words."""
    group = next((group for group in ALIKE if place[1] in group), frozenset({place[1]}))
    return ((place[0], key) for key in group)


def listed(value: Any) -> list[str]:
    """A list, or one entry by itself."""
    return [value] if isinstance(value, str) else list(value)


def read(goals: Tree, shelf: Tree) -> Question:
    """The question that two files ask.

    Raises:
        KeyError: a name that this reader does not know.
    """
    return Reader(goals, shelf).question()

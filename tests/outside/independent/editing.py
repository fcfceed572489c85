"""A goal file and a shelf changed as a maker would: a line taken out, a line pasted in, a price moved."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from typing import Any

import yaml
from outside.independent import tables
from outside.independent.reading import SIDES, Question, listed, read, written
from outside.independent.tables import Tree, fold

OPENED = "shares, with "


def key_in(section: Mapping[str, Any], key: str, canonical: Callable[[str], str]) -> str:
    """The spelling under which a key stands in a section."""
    return next(name for name in section if canonical(name) == key)


def canonical_share(name: str) -> str:
    """The key behind a name under shares."""
    return tables.share_keys()[fold(name)][1]


def canonical_additive(name: str) -> str:
    """The additive behind a name."""
    return next(known for known in tables.additives() if fold(known) == fold(name))


CANONICAL: Mapping[str, Callable[[str], str]] = {
    "goals": lambda name: tables.goal_keys().get(fold(name), fold(name)),  # the cure is no figure
    "shares": canonical_share,
    "additives": canonical_additive,
    "liquids": fold,
    "practice": fold,
}


def less_side(key: str, value: Any, side: str) -> dict[str, str] | None:
    """A limit without one of its sides; None where nothing is left of it."""
    if isinstance(value, dict) and "between" not in value:
        return {name: figure for name, figure in value.items() if name != side} or None
    unit = units_of(value)
    left = {name: f"{figure!r}{unit}" for name, figure, _ in written(key, value) if name != side}
    return left or None


def units_of(value: Any) -> str:
    """The unit behind the figures of a limit."""
    first = value if isinstance(value, str) else next(iter(value.values()))
    first = first if isinstance(first, str) else first[0]
    number = first.split(" ", 1)
    return f" {number[1]}" if len(number) == 2 and number[0][:1].isdigit() else ""


def without_line(goals: Tree, shelf: Tree, wish: str) -> tuple[Tree, Tree] | None:
    """Both files without the line (that side of the line) of a wish; None where no line of theirs is that wish."""
    goals, shelf = copy.deepcopy(goals), copy.deepcopy(shelf)
    section, _, rest = wish.partition(".")
    if section == "free_from":
        goals["free_from"] = [tag for tag in listed(goals["free_from"]) if tag != rest]
    elif section == "fats":
        del goals["fats"][rest]
    elif section == "stock":
        for entry in shelf["fats"]:
            if entry["fat"] == rest:
                del entry["stock"]
    elif section == "prefer":
        del goals["prefer"][int(rest.partition(".")[0])]
    elif section in CANONICAL and isinstance(goals.get(section), dict):
        key, _, side = rest.rpartition(".")
        name = next((name for name in goals[section] if CANONICAL[section](name) == fold_rule(section, key)), None)
        if name is None:
            return None
        left = None if section == "practice" else less_side(key, goals[section][name], side)
        if section == "practice" or left is None or side not in SIDES:
            del goals[section][name]
        else:
            goals[section][name] = left
    else:
        return None
    return goals, shelf


def fold_rule(section: str, key: str) -> str:
    """A key of an id as its section is compared by; a rule on each fat has the fat before it."""
    return fold(key.rpartition(".")[2]) if section == "practice" else key


def without_additive(goals: Tree, shelf: Tree, wish: str) -> tuple[Tree, Tree]:
    """Both files without anything said of the additive or the liquid of a wish."""
    goals = copy.deepcopy(goals)
    section, _, rest = wish.partition(".")
    del goals[section][key_in(goals[section], rest.rpartition(".")[0], CANONICAL[section])]
    return goals, shelf


def with_price(shelf: Tree, name: str, price: float) -> Tree:
    """The shelf with another price of one fat."""
    shelf = copy.deepcopy(shelf)
    for entry in shelf["fats"]:
        if entry["fat"] == name:
            entry["price"] = f"{price:.12f} / kg"
    return shelf


def pasted(goals: Tree, shelf: Tree, where: str, text: str, wish: str) -> tuple[Tree, Tree]:
    """Both files with a line put where it is said to belong, in place of what stands there under the same key.

    Raises:
        KeyError: a section that no file has.
    """
    goals, shelf = copy.deepcopy(goals), copy.deepcopy(shelf)
    if not text:  # a design, or whom the bar is for, is left out
        family, _, name = wish.partition(".")
        goals[family] = [one for one in listed(goals[family]) if fold(one) != fold(name)]
        return goals, shelf
    ((key, value),) = yaml.load(text, tables.LOADER).items()  # noqa: S506
    if not where:
        goals[key] = value
        return goals, shelf
    if where == "the shelf":
        for entry in shelf["fats"]:
            if entry["fat"] == wish.removeprefix("stock."):
                entry[key] = value
        return goals, shelf
    if where == "fats":
        goals["fats"] = value
        return goals, shelf
    section = where
    if where.startswith(OPENED):
        tag = where.removeprefix(OPENED).removesuffix(" taken out of free_from")
        goals["free_from"] = [name for name in listed(goals["free_from"]) if name != tag]
        section = "shares"
    canonical = CANONICAL[section]
    lines = goals.setdefault(section, {})
    for name in [name for name in lines if canonical(name) == canonical(key)]:
        del lines[name]
    lines[key] = value
    return goals, shelf


def less_lines(goals: Tree, shelf: Tree, wish: str) -> Question | None:
    """The question of both files without the line of a wish; None where they have no such line."""
    left = without_line(goals, shelf, wish)
    return None if left is None else read(*left)

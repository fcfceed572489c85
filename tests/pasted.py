"""Goal files and shelves as a maker's text: writing them down, and pasting into them what an answer offers."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from random import Random
from typing import Any

import yaml
from reading import read
from strategies import PLAIN

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, Change, Concession, NoBlend
from optimiser.solve.yielding import cheapest
from optimiser.text.names import fold

Tree = dict[str, Any]
OPENED = "shares, with "


def tree(path: Path) -> Tree:
    """A file as text in a tree: no figure is taken for a number."""
    return dict(yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader))  # noqa: S506


def write(path: Path, content: Mapping[str, Any]) -> Path:
    """A tree as a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(yaml.safe_dump(dict(content), sort_keys=False), encoding="utf-8")
    return path


def line_of(change: Change) -> tuple[str, Any]:
    """The key and the value of the line to paste."""
    ((key, value),) = yaml.load(change.paste, yaml.BaseLoader).items()  # noqa: S506
    return key, value


def put(section: Tree, key: str, value: Any) -> None:
    """Write under a key in place of what stands there, whatever its spelling."""
    for name in [name for name in section if fold(name) == fold(key)]:
        del section[name]
    section[key] = value


def paste_into(goals: Tree, shelf: Tree, changes: Iterable[Change]) -> tuple[Tree, Tree]:
    """Both files with every line pasted where the change says that it belongs."""
    goals, shelf = copy.deepcopy(goals), copy.deepcopy(shelf)
    for change in changes:
        key, value = line_of(change)
        if change.where == "the shelf":
            name = change.id.key
            (entry,) = [item for item in shelf["fats"] if fold(item["fat"]) == fold(name)]
            entry[key] = value
        elif change.where == "fats":
            assert key == "fats"
            goals["fats"] = value
        else:
            section = change.where
            if section.startswith(OPENED):
                tag = section.removeprefix(OPENED).removesuffix(" taken out of free_from")
                goals["free_from"] = [name for name in goals["free_from"] if fold(name) != fold(tag)]
                section = "shares"
            assert section in ("goals", "shares", "additives", "practice")
            put(goals.setdefault(section, {}), key, value)
    return goals, shelf


def filed(folder: Path, goals: Tree, shelf: Tree) -> Path:
    """Two trees as files; the goal file."""
    write(folder / "inventory" / "shelf.yaml", shelf)
    return write(folder / "goals" / "bar.yaml", {**goals, "shelf": "../inventory/shelf.yaml"})


def answered(folder: Path, goals: Tree, shelf: Tree) -> Blend | NoBlend:
    """The answer to two trees, by way of files."""
    return answer(filed(folder, goals, shelf))


def is_met(folder: Path, goals: Tree, shelf: Tree, *, keeps_house: bool = False) -> bool:
    """Whether some blend meets two trees, with all rules of the house where these are to be kept; without asking why not."""
    asked = cheapest(*read(filed(folder, goals, shelf)))
    return asked.found is not None and not (keeps_house and (asked.sheet.eased or asked.sheet.yielded))


def opened(folder: Path, goals: Tree, shelf: Tree, way: Concession) -> Blend:
    """The blend that a concession opens once it is written into the files."""
    told = answered(folder, *paste_into(goals, shelf, way.changes))
    assert isinstance(told, Blend), [change.paste for change in way.changes]
    return told


# -- sheets drawn at random ----------------------------------------------------------------------------------------

RANGES = {
    "hardness": (20, 75),
    "wear_life": (20, 70),
    "quick_lather": (10, 60),
    "lasting_lather": (10, 60),
    "harshness": (10, 50),
    "mildness": (40, 85),
    "rancidity": (0.5, 5),
    "trace_speed": (15, 60),
    "scum": (10, 60),
    "iodine_value": (10, 120),
    "saponification_value": (175, 260),
}
SHARES = {"polyunsaturated": (1, 50), "C18:1": (5, 80), "worst_case_superfat": (0, 9), "short_saturated": (0, 60)}
GROUPS = ("hard oils", "butters", "liquid oils", "solid fats", "palm", "lauric", "animal")
BATCHES: tuple[Tree, ...] = (
    {"fats": "2 kg"},
    {"bars": "12", "cured_weight": "100 g"},
    {"mould": {"length": "30 cm", "width": "9 cm", "depth": "7 cm"}},
)


def drawn(seed: int, *, counted: bool) -> tuple[Tree, Tree]:
    """A goal file and a shelf, often at odds; over every section of the file."""
    rng = Random(seed)  # noqa: S311
    names = rng.sample(PLAIN, rng.randint(3, 7))
    shelf: Tree = {"title": "an invented shelf", "currency": "EUR", "fats": [_fat(rng, name) for name in names]}
    shelf["alkalis"] = {"sodium hydroxide": {"price": "2.40 / kg", "purity": "98 %"}}
    goals: Tree = {"title": "a bar", "batch": rng.choice(BATCHES), "goals": _goals(rng, 1 if counted else 3)}
    exact = _some(rng, (*names, *GROUPS), 1 if counted else 3, lambda _: _limit(rng, (2, 30), " %"))
    goals["shares"] = exact
    if rng.random() < 0.4:
        goals["free_from"] = rng.sample(["palm", "lauric", "animal", "nut"], rng.randint(1, 2))
    goals |= rng.choice([{}, {"practice": "off"}, {"practice": {"lauric oils": f"{rng.randint(1, 20)} %"}}])
    if rng.random() < 0.2:
        goals["additives"] = {rng.choice(["sodium lactate", "citric acid"]): _limit(rng, (0.5, 3), " %")}
    if rng.random() < 0.3:
        goals["prefer"] = [{"mildness": {"at_least": str(rng.randint(20, 90))}}]
    each = {"each_at_least": f"{rng.randint(3, 20)} %"}
    if counted:
        goals["fats"] = rng.choice([{"at_most": "2"} | each, {"at_least": "3"} | each, {"exactly": "2"}, each])
    return goals, shelf


def _fat(rng: Random, name: str) -> Tree:
    entry = {"fat": name, "price": f"{rng.uniform(1, 15):.2f} / kg"}
    return entry | ({"stock": f"{rng.uniform(0.02, 0.6):.2f} kg"} if rng.random() < 0.25 else {})


def _goals(rng: Random, most: int) -> Tree:
    goals = _some(rng, tuple(RANGES), most, lambda key: _limit(rng, RANGES[key], ""))
    goals |= _some(rng, tuple(SHARES), 1, lambda key: _limit(rng, SHARES[key], " %"))
    per = rng.choice([None, None, ("kg", 1, 4), ("bar", 0.1, 0.4), ("lb", 0.5, 2)])
    if per is not None:
        goals["cost"] = {"at_most": f"{rng.uniform(per[1], per[2]):.2f} / {per[0]}"}
    if rng.random() < 0.3:
        goals["superfat"] = rng.choice(["3 %", {"between": ["4 %", "7 %"]}])
    if rng.random() < 0.2:
        goals["water_to_alkali"] = {"at_least": "2.1"}
    if rng.random() < 0.2:
        goals["trace_speed"] = rng.choice(["slow", "fast", "very slow"])
    return goals


def _some(rng: Random, keys: Sequence[str], most: int, value: Callable[[str], Any]) -> Tree:
    return {key: value(key) for key in rng.sample(keys, rng.randint(0, most))}


def _limit(rng: Random, ends: tuple[float, float], unit: str) -> Any:
    low, high = sorted(f"{rng.uniform(*ends):.1f}" for _ in range(2))
    if float(low) > float(high):
        low, high = high, low
    sides = {"at_least": f"{low}{unit}", "at_most": f"{high}{unit}"}
    kind = rng.randint(0, 5)
    if kind < 4:
        side = ("at_least", "at_most")[kind % 2]
        return {side: sides[side]}
    return sides if kind == 4 else f"{low}{unit}"

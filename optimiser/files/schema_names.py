"""The parts of the JSON Schemas that list names: goals, shares, tags, rules of the house, additives."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from optimiser.files.designs import designs, people
from optimiser.files.form_schema import json_schema
from optimiser.files.keys import ALKALIS, lever_fats, tag_names
from optimiser.files.limits import LimitForm
from optimiser.materials.additives import additives
from optimiser.materials.fat import GROUPS, HELD, KINDS, PLURALS
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids
from optimiser.measures.practice import rules
from optimiser.measures.quantities import Quantity, quantities
from optimiser.measures.vocabulary import same_as
from optimiser.text.forms import Schema

LIMIT = "limit"
WISH = "wish"
MASS: Schema = {"type": "string", "pattern": r"^\s*[0-9.]", "description": "A mass, as in 700 g, 4 oz or 2.5 kg."}

LOT = r"\(lot .+\)$"
"""How the name of a lot ends."""
ADDED: Schema = MASS | {"description": "A mass, as in 20 g, or for the fats, as in 2 % or 10 g / kg."}
POURED: Schema = {
    "type": "string",
    "description": "A share of what stands for the water, as in 50 %, or a mass.",
}


def _closed(properties: Mapping[str, Schema], description: str = "") -> Schema:
    made: Schema = {"type": "object", "properties": dict(properties), "additionalProperties": False}
    return made | {"description": description} if description else made


def _with_lots(made: Schema, each: Schema) -> Schema:
    """The same with lots let in, by the names that the shelf gives them."""
    return made | {"patternProperties": {LOT: each}}


def _limit(description: str, words: Iterable[str] = ()) -> Schema:
    """A bare figure, a word, or a limit with sides."""
    known = list(words)
    wish: Schema = {"$ref": f"#/definitions/{WISH}"}
    told: Schema = {"description": description} if description else {}
    return told | ({"anyOf": [{"enum": known}, wish]} if known else {"allOf": [wish]})


def _of_quantity(quantity: Quantity) -> Schema:
    unit = "" if quantity.unit in ("index", "money") else f" In {quantity.unit}."
    return _limit(f"{quantity.about}{unit}", [band.word for band in quantity.bands])


def _goals() -> dict[str, Schema]:
    found: dict[str, Schema] = {}
    for quantity in quantities().values():
        schema = _of_quantity(quantity)
        for name in (quantity.id, quantity.id.replace("_", " "), quantity.words):
            found.setdefault(name, schema)
    return found


def _asked() -> dict[str, Schema]:
    """What may stand under `goals`: quantities, and the cure, which is a choice and no preference."""
    return _goals() | {"cure": _limit("How long the bars are cured, as in 8 weeks, 40 days or 3 months.")}


def _shares() -> dict[str, Schema]:
    table = reference()
    synonym: Schema = {"$ref": f"#/definitions/{WISH}"}
    found = {name: _limit(f"Share of {name}, per cent of all fats.") for name in table.names()}
    found |= {name: synonym for name in table.every_name() if name not in found}
    for name in (*KINDS, *PLURALS.values(), *GROUPS):
        found.setdefault(name, _limit(_together(PLURALS.get(name, name))))
    for word, kind in same_as("shares").items():
        found.setdefault(word, _limit(_together(kind)))
    for tag in tag_names():
        found.setdefault(tag, _limit(f"Share of all fats with the tag {tag}, per cent of all fats."))
    return found


def _together(kind: str) -> str:
    return f"Share of all {kind} together, per cent of all fats. {HELD.get(kind, '')}".rstrip()


def _free_from() -> Schema:
    tag: Schema = {"enum": [*tag_names(), *same_as("free_from")]}
    return {"anyOf": [{"type": "array", "items": tag}, tag]}


def _fats() -> Schema:
    count: Schema = {"type": ["integer", "string"]}
    return _closed(
        {
            "at_most": count | {"description": "No more fats than this."},
            "at_least": count | {"description": "No fewer fats than this."},
            "exactly": count | {"description": "This many fats."},
            "each_at_least": {
                "type": ["number", "string"],
                "description": "The least share of each fat that is used, as in 4 %.",
            },
        }
    )


def _prefer() -> Schema:
    goals, shares = _goals(), _shares()
    rest: Schema = {"additionalProperties": {"$ref": f"#/definitions/{WISH}"}, "minProperties": 1}
    names: Schema = {"propertyNames": {"enum": sorted(goals | shares)}}
    return {"type": "array", "items": {"type": "object", "properties": goals} | names | rest}


def _use_up() -> Schema:
    much: Schema = {"type": "string", "description": "A mass, as in 2 kg, or all of what the shelf has."}
    return {"type": "object", "additionalProperties": much, "minProperties": 1}


def _practice() -> Schema:
    off: Schema = {"enum": ["off", "no", False]}
    listed = {rule.name: {"description": rule.why, "anyOf": [_limit(""), off]} for rule in rules()}
    for name, item in additives().items():
        listed.setdefault(name, {"description": f"How much of it: {item.effect}.", "anyOf": [_limit(""), off]})
    return {"anyOf": [_closed(listed), off]}


def _additives() -> Schema:
    listed = {
        name: _limit(f"{item.effect}; per cent of the fats, a mass, or a mass for a kilo of fats.")
        for name, item in additives().items()
    }
    return _closed(listed)


def _liquids() -> Schema:
    listed = {
        name: _limit(f"{item.effect}; per cent of what stands for the water, or a mass.")
        for name, item in liquids().items()
    }
    return _closed(listed)


def _design() -> Schema:
    return _named(name for design in designs() for name in design.names)


def _for() -> Schema:
    return _named(name for whom in people() for name in whom.names)


def _named(names: Iterable[str]) -> Schema:
    """A name or several: ours are offered, and a maker's own is let through."""
    one: Schema = {"anyOf": [{"enum": list(names)}, {"type": "string"}]}
    return {"anyOf": [one, {"type": "array", "items": one}]}


def _may_use() -> Schema:
    names = (called for item in additives().values() for called in (item.name, *item.synonyms))
    one: Schema = {"enum": [*names, *lever_fats()]}
    return {"anyOf": [one, {"type": "array", "items": one}]}


def _weighed(names: Iterable[str], each: Schema = MASS) -> Schema:
    return _closed(dict.fromkeys(names, each)) | {"minProperties": 1}


def _alkalis() -> Schema:
    return _weighed(name for alkali, more in ALKALIS.items() for name in (alkali, *more))


def _tags() -> Schema:
    return {"type": "array", "items": {"enum": list(tag_names())}}


def _fat_name() -> Schema:
    return {"anyOf": [_like_name(), {"type": "string"}]}


def _like_name() -> Schema:
    return {"enum": list(reference().every_name())}


def _like_additive() -> Schema:
    return {"enum": [name for item in additives().values() for name in (item.name, *item.synonyms)]}


def _like_liquid() -> Schema:
    return {"enum": [name for item in liquids().values() for name in (item.name, *item.synonyms)]}


def _or_own(names: Schema) -> Schema:
    """A name of a list, or one of the maker's own."""
    return {"anyOf": [names, {"type": "string"}]}


def definitions() -> dict[str, Schema]:
    """What the parts refer to: a limit with sides, and a wish, which may also be a bare figure or a word."""
    wish: Schema = {"anyOf": [{"$ref": f"#/$defs/{LIMIT}"}, {"type": ["number", "string"]}]}
    return {LIMIT: json_schema(LimitForm), WISH: wish}


PARTS: Mapping[str, Callable[[], Schema]] = {
    "design": _design,
    "for": _for,
    "may_use": _may_use,
    "goals": lambda: _closed(_asked()),
    "shares": lambda: _with_lots(_closed(_shares()), _limit("Share of one lot, per cent of all fats.")),
    "free_from": _free_from,
    "fats": _fats,
    "prefer": _prefer,
    "use_up": _use_up,
    "practice": _practice,
    "additives": _additives,
    "weighed_fats": lambda: _with_lots(_weighed(reference().every_name()), MASS),
    "weighed_alkali": _alkalis,
    "weighed_additives": lambda: _weighed(additives(), ADDED),
    "poured_liquids": lambda: _weighed(liquids(), POURED),
    "liquids": _liquids,
    "fat_name": _fat_name,
    "like_name": _like_name,
    "tags": _tags,
    "additive_name": lambda: _or_own(_like_additive()),
    "like_additive": _like_additive,
    "liquid_name": lambda: _or_own(_like_liquid()),
    "like_liquid": _like_liquid,
}

"""JSON Schema of the maker's files, so that editors complete, explain and check them.

Editors' YAML servers speak draft 7, so the schemas keep to it. A schema knows the names as the reference writes them;
the program itself also takes other cases, blanks and underscores.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from optimiser.files.form_schema import json_schema
from optimiser.files.schema_names import PARTS, definitions
from optimiser.materials.additives import Additive
from optimiser.text.forms import PART, Form

Kind = Literal["goals", "shelf", "recipe", "designs", "plan", "prices"]
KINDS: tuple[Kind, ...] = ("goals", "shelf", "recipe", "designs", "plan", "prices")

DRAFT = "http://json-schema.org/draft-07/schema#"


def schema(kind: Kind, own_fats: Iterable[str] = (), own_extras: Iterable[Additive] = ()) -> dict[str, Any]:
    """The JSON Schema of a goal file, a shelf, a recipe file, a file of designs, a plan or one of price scenarios.

    Args:
        kind: which file.
        own_fats: names of the maker's own fats, to be known beside the reference ones.
        own_extras: additives and liquids of the maker's own.

    Raises:
        KeyError: no such kind of file.
    """
    form = _form(kind)
    made = json_schema(form)
    if kind == "goals":
        made["$defs"] = made.get("$defs", {}) | definitions()
    plain: dict[str, Any] = _plain(made)
    own = tuple(own_fats)
    for place in _fat_places(kind, plain):
        like = place["properties"]["olive oil"]
        place["properties"] |= {name: like | {"description": f"{name}, a fat of your own."} for name in own}
    if kind == "goals":
        plain["properties"]["prefer"]["items"]["propertyNames"]["enum"] += own
    if kind in ("goals", "recipe"):
        _let_in(plain["properties"], tuple(own_extras))
    return {"$schema": DRAFT, "title": f"barwright: {form.what}"} | plain


def _let_in(properties: dict[str, Any], extras: tuple[Additive, ...]) -> None:
    """Make additives and liquids of the maker's own known wherever those of the lists are."""
    for item in extras:
        section = properties["liquids" if item.is_liquid else "additives"]["properties"]
        section[item.name] = next(iter(section.values())) | {"description": f"{item.name}, one of your own."}
        if not item.is_liquid and "may_use" in properties:
            one, several = properties["may_use"]["anyOf"]
            one["enum"].append(item.name)
            several["items"]["enum"].append(item.name)
            rules = properties["practice"]["anyOf"][0]["properties"]
            rules[item.name] = rules["kaolin"] | {"description": f"How much of {item.name}, one of your own."}


def _form(kind: str) -> type[Form]:
    if kind == "goals":
        from optimiser.files.goal_file import GoalForm

        return GoalForm
    if kind == "shelf":
        from optimiser.files.shelf.form import ShelfForm

        return ShelfForm
    if kind == "recipe":
        from optimiser.files.recipe_file import RecipeForm

        return RecipeForm
    if kind == "designs":
        from optimiser.files.design_file import DesignFileForm

        return DesignFileForm
    if kind == "plan":
        from optimiser.files.plan_file import PlanForm

        return PlanForm
    if kind == "prices":
        from optimiser.files.price_shocks import PricesForm

        return PricesForm
    raise KeyError(kind)


def _fat_places(kind: str, made: dict[str, Any]) -> list[dict[str, Any]]:
    """The parts of a schema whose keys are names of fats."""
    properties = made["properties"]
    if kind == "goals":
        return [properties["shares"]]
    return [properties["fats"]] if kind == "recipe" else []


def _plain(node: Any) -> Any:
    """Draft 2020-12 as pydantic writes it into draft 7; titles and defaults made by machine are left out."""
    if isinstance(node, list):
        return [_plain(item) for item in node]
    if not isinstance(node, dict):
        return (
            node.replace("#/$defs/", "#/definitions/")
            if isinstance(node, str) and node.startswith("#/$defs/")
            else node
        )
    if PART in node:
        rest = {key: value for key, value in node.items() if key != PART}
        return _plain(PARTS[node[PART]]()) | rest
    if "$ref" in node and len(node) > 1:  # in draft 7 whatever stands beside a $ref is passed over
        rest = {key: value for key, value in node.items() if key != "$ref"}
        return _plain(rest | {"allOf": [{"$ref": node["$ref"]}]})
    made: dict[str, Any] = {}
    for key, value in node.items():
        if key in ("properties", "$defs"):
            made["definitions" if key == "$defs" else key] = {name: _plain(item) for name, item in value.items()}
        elif key not in ("title", "default"):
            made[key] = _plain(value)
    return made

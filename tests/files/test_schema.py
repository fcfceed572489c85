"""JSON Schemas for editors: good files pass, bad ones do not, and names are there to be completed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from optimiser.files.schema import KINDS, Kind, schema
from optimiser.files.shelf.shelf import extras_on, own_names
from optimiser.materials.additives import additives, own_additive
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import liquids, own_liquid
from optimiser.measures.quantities import quantities

ROOT = Path(__file__).parents[2]

GOALS = """\
title: Estuary swirl
shelf: ../inventory/kittiwake.yaml
batch: {bars: 36, cured_weight: 110 g, gel: yes}
goals: {hardness: {at_least: 45}, trace_speed: slow, superfat: {between: [3 %, 6 %]}, cost: {at_most: 6.40 / kg}, "C18:1": 40 %}
shares: {hard oils: {at_most: 55 %}, canola oil: 28, palm: 5 %, solid fats: 60 %}
free_from: [palm, animal]
fats: {at_most: 6, each_at_least: 4 %}
prefer: [{mildness: {at_least: 60}}, {olive oil: {at_least: 20 %}}]
practice: {castor oil: 20 %, waxes: off}
additives: {sodium lactate: 2 %}
design: [fine swirl, our own veil]
for: mature skin
may_use: [salt, stearic acid]
water_hardness: 14 dH
"""
SHELF = """\
title: ours
currency: EUR
fats:
  - {fat: coconut oil, price: 3.10 / kg, stock: 18 kg, packs: [{size: 5 kg, price: 14.90}], lot: {number: A1, saponification_value: 256.4}}
  - {fat: mine, like: olive oil, price: 9 / kg, kind: liquid oil, tags: [nut]}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
additives: [{additive: sodium lactate, price: 9 / kg}]
"""
RECIPE = "fats: {olive oil: 700 g, canola oil: 250 g}\nalkali: {sodium hydroxide: 135 g}\nwater: 280 g\nadditives: {sugar: 5 g}\n"
DESIGNS = (ROOT / "optimiser" / "reference" / "designs.yaml").read_text(encoding="utf-8")
PLAN = """title: October
shelf: ../inventory/kittiwake.yaml
buy: packs
aim: {least cash: {left counts: 80 %}}
bars:
  - {goals: everyday.yaml, batch: {bars: 200}}
  - {goals: fine-swirl.yaml, batch: {bars: 48}, at_most_cost: 4.20 / kg}
"""
PRICES = "title: Next year\nspread: {each: 15 %, prices: {olive oil: 25 %}, correlations: [{of: [lard, palm oil], is: 0.5}]}\n"
GOOD: dict[Kind, str] = {
    "goals": GOALS,
    "shelf": SHELF,
    "recipe": RECIPE,
    "designs": DESIGNS,
    "plan": PLAN,
    "prices": PRICES,
}


def complaints(kind: Kind, text: str, own: tuple[str, ...] = ()) -> list[str]:
    """What the schema has against a file; `own` are fats of the maker's own that it knows."""
    checker = jsonschema.Draft7Validator(schema(kind, own))
    return [error.message for error in checker.iter_errors(yaml.safe_load(text))]


@pytest.mark.parametrize("kind", KINDS)
def test_schemas_are_draft_seven(kind: Kind) -> None:
    """Editors' YAML servers speak draft 7, so nothing newer stands in a schema."""
    made = schema(kind)
    jsonschema.Draft7Validator.check_schema(made)
    written = json.dumps(made)
    assert made["$schema"] == "http://json-schema.org/draft-07/schema#"
    assert not [word for word in ("$defs", "prefixItems", "x-part", "unevaluated") if word in written]


@pytest.mark.parametrize("kind", KINDS)
def test_good_files_pass(kind: Kind) -> None:
    """A file that the program reads passes as an editor reads it."""
    assert complaints(kind, GOOD[kind]) == []


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("prices", "shocks: {palm: [3 %]}"),
        ("prices", "spread: {each: 15 %, correlations: [{of: [lard], is: 2}]}"),
        ("goals", "goalz: {hardness: 45}"),
        ("goals", "goals: {hardnes: 45}"),
        ("goals", "goals: {hardness: {min: 45}}"),
        ("goals", "goals: {superfat: {between: [3 %]}}"),
        ("goals", "shares: {olve oil: 5 %}"),
        ("goals", "free_from: [palms]"),
        ("goals", "prefer: {mildness: 60}"),
        ("goals", "batch: {bars: 36, weight: 110 g}"),
        ("goals", "practice: {castor: 20 %}"),
        ("goals", "may_use: [sodum lactate]"),
        ("goals", "design: {fine swirl: yes}"),
        ("goals", "water_hardness: [14 dH]"),
        ("shelf", "fats: [{price: 3 / kg}]"),
        ("shelf", "title: empty"),
        ("shelf", "fats: [{fat: mine, like: olve oil, price: 3 / kg}]"),
        ("shelf", "fats: [{fat: lard, price: 3 / kg}]\nalkalis: {lye: {price: 2 / kg}}"),
        ("recipe", "fats: {olve oil: 5 g}"),
        ("recipe", "fats: {olive oil: 700}"),
        ("recipe", "fats: {olive oil: 700 g}\nwater_hardnes: 14 dH"),
        ("plan", "bars: [{batch: {bars: 3}}]"),
        ("plan", "bars: [{goals: bar.yaml, count: 3}]"),
        ("plan", "bars: [{goals: bar.yaml}]\nbuy: tins"),
        ("designs", "designs: [{name: ours}]"),
        ("designs", "designs: [{name: ours, about: Thin., steps: [{topp: Comb it.}]}]"),
        ("designs", "designs: [{name: ours, about: Thin., pour_to: runny}]"),
        ("designs", "designs: [{name: ours, about: Thin., goals: {hardness: {at_least: 40}}}]"),
    ],
)
def test_bad_files_do_not_pass(kind: Kind, text: str) -> None:
    """Unknown names and wrong shapes are seen while typing."""
    assert complaints(kind, text)


@pytest.mark.parametrize(("kind", "folder"), [("goals", "goals"), ("shelf", "inventory")])
def test_the_files_that_come_along_pass(kind: Kind, folder: str) -> None:
    """Every starter file is clean in an editor."""
    assert list((ROOT / folder).glob("*.yaml"))
    for path in sorted((ROOT / folder).glob("*.yaml")):
        own = own_names(ROOT / "inventory" / "kittiwake.yaml")
        assert complaints(kind, path.read_text(encoding="utf-8"), own) == [], path.name


def test_names_are_there_to_be_completed() -> None:
    """Quantities, fats, kinds and tags stand as keys, each with words for the hover."""
    properties = schema("goals")["properties"]
    assert set(quantities()) <= set(properties["goals"]["properties"])
    shares = properties["shares"]["properties"]
    assert {*reference().names(), *reference().tags(), "hard oils", "solid fats"} <= set(shares)
    assert all(properties["goals"]["properties"][name]["description"] for name in quantities())


def test_every_key_is_described_and_nothing_else_is_let_in() -> None:
    """Each object of the forms is closed, and each of its keys has a sentence."""

    def objects(node: Any) -> list[dict[str, Any]]:
        inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
        own = [node] if isinstance(node, dict) and node.get("type") == "object" and "properties" in node else []
        own = [item for item in own if "propertyNames" not in item]  # closed by the names it lists
        return own + [found for item in inner for found in objects(item)]

    for kind in KINDS:
        made = schema(kind)
        assert all(item.get("additionalProperties") is False for item in objects(made))
        assert all(value.get("description") for value in made["properties"].values())


def test_own_fats_can_be_made_known() -> None:
    """A schema for one workshop knows that workshop's fats."""
    checker = jsonschema.Draft7Validator(schema("goals", ["nettle olive"]))
    checker.validate({"shares": {"nettle olive": "20 %"}, "prefer": [{"nettle olive": {"at_least": "5 %"}}]})
    assert complaints("goals", "shares: {nettle olive: 20 %}")


@pytest.mark.parametrize("kind", ["goals", "recipe"])
def test_own_additives_and_liquids_can_be_made_known(kind: Kind) -> None:
    """A schema for one workshop knows its scents and milks, and no other's."""
    scent = own_additive("lavender scent", additives()["essential oil"], 3.0)
    milk = own_liquid("nanny milk", liquids()["goat milk"], 0.86)
    bar: dict[str, Any] = {"additives": {"lavender scent": "30 g"}, "liquids": {"nanny milk": "50 %"}}
    bar |= {"fats": {"lard": "1 kg"}, "superfat": "5 %"} if kind == "recipe" else {"may_use": ["lavender scent"]}
    assert jsonschema.Draft7Validator(schema(kind, (), (scent, milk))).is_valid(bar)
    assert not jsonschema.Draft7Validator(schema(kind)).is_valid(bar)


@pytest.mark.parametrize(
    ("text", "is_good"),
    [
        ("additives: {kaolin: 10 g / kg, salt: {between: [5 g, 1 oz]}}\nliquids: {goat milk: 50 %, beer: 100 g}", True),
        ("practice: {kaolin: 8 %}", True),
        ("liquids: {gaot milk: 50 %}", False),
        ("additives: {goat milk: 50 %}", False),
    ],
)
def test_amounts_and_liquids_are_known(text: str, is_good: bool) -> None:  # noqa: FBT001
    """Masses pass where per cent do, and liquids have a section of their own."""
    assert (complaints("goals", text) == []) is is_good


def test_an_unknown_kind_is_a_key_error() -> None:
    """There are three kinds of files."""
    with pytest.raises(KeyError):
        schema("bar")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "path"), [("goals", "goals/goals.schema.json"), ("shelf", "inventory/shelf.schema.json")]
)
def test_schemas_beside_the_starter_files_are_fresh(kind: Kind, path: str) -> None:
    """The schemas that the starter files point editors at are those that the program writes now."""
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    own, extras = (own_names(shelf), extras_on(shelf)) if kind == "goals" else ((), ())
    assert json.loads((ROOT / path).read_text(encoding="utf-8")) == schema(kind, own, extras)


def test_starter_files_point_at_their_schema() -> None:
    """Every starter file begins with the line by which editors find its schema, and the schema is there."""
    for folder in ("goals", "inventory"):
        assert list((ROOT / folder).glob("*.yaml")), folder
        for path in sorted((ROOT / folder).glob("*.yaml")):
            line = path.read_text(encoding="utf-8").splitlines()[0]
            assert line.startswith("# yaml-language-server: $schema="), path.name
            assert (path.parent / line.partition("=")[2].strip()).is_file(), path.name


@pytest.mark.parametrize("figure", ["kind: butter", "tolerance: 2", "iodine_value: 60"])
def test_figures_of_a_fat_of_ones_own_ask_for_like_or_a_saponification_value(figure: str) -> None:
    """An editor marks what the program refuses: a kind or a figure of one's own on a fat of which nothing else is told."""
    import jsonschema

    check = jsonschema.Draft7Validator(schema("shelf"))
    told = yaml.safe_load(f"fats: [{{fat: ours, saponification_value: 190, price: 3 / kg, {figure}}}]")
    without = yaml.safe_load(f"fats: [{{fat: ours, price: 3 / kg, {figure}}}]")
    assert check.is_valid(told)
    assert not check.is_valid(without)

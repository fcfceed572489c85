"""The reference data in words and as data."""

from __future__ import annotations

import json
import re

import pytest
from rich.cells import cell_len

from optimiser.cli import reference
from optimiser.files.schema import schema
from optimiser.materials.additives import additives
from optimiser.materials.fat import GROUPS, PLURALS
from optimiser.materials.fat_table import reference as fat_table
from optimiser.materials.liquids import liquids
from optimiser.measures.measures import measures
from optimiser.measures.practice import rules
from optimiser.measures.quantities import quantities
from optimiser.text.diagnostics import BadInput

HOW = {
    "read": "read in the source",
    "memory": "recalled from memory, not looked up",
    "computed": "worked out from the source",
}


def test_every_fat_is_listed() -> None:
    """The list names every fat of the table with its saponification value."""
    lines = reference.fats(width=120).splitlines()
    for name in fat_table().names():
        value = f"{fat_table().get(name).saponification.value:.1f}"
        assert any(name in line and value in line for line in lines)


def test_fats_as_data() -> None:
    """The table as data has the promised keys for every fat, and says where its figures are from."""
    told = json.loads(reference.fats(as_json=True))
    assert told["format"] == "barwright/1"
    assert [fat["fat"] for fat in told["fats"]] == list(fat_table().names())
    for fat in told["fats"]:
        assert {"kind", "tags", "saponification_value", "iodine_value", "acids", "measures", "sources"} <= set(fat)
        assert set(fat["saponification_value"]) == {"value", "low", "high"}
        assert set(fat["measures"]) == set(measures())
        assert sum(fat["acids"].values()) == pytest.approx(100, abs=0.01)
        assert all(fact["how"] in {"read", "memory", "computed"} for fact in fat["facts"])


def test_one_fat_as_data_is_the_same() -> None:
    """One fat by any of its names is the entry of the whole table."""
    everything = {fat["fat"]: fat for fat in json.loads(reference.fats(as_json=True))["fats"]}
    (alone,) = json.loads(reference.fats("Copra Oil", as_json=True))["fats"]
    assert alone.pop("stand_ins")  # told of one fat alone
    assert alone == everything["coconut oil"]


@pytest.mark.long
@pytest.mark.parametrize("name", fat_table().names())
def test_card_tells_sources(name: str) -> None:
    """A fat's card tells every source of its figures, and for each whether it was read or recalled."""
    fat = fat_table().get(name)
    card = " ".join(reference.fats(name).split())
    for fact in fat.facts:
        assert " ".join(fact.source.split()) in card
        assert f"[{HOW[fact.how]}]" in card


def test_the_list_says_which_kinds_hold_butters() -> None:
    """Makers count butters as hard or not: the list of fats and the schema say what each kind holds."""
    told = " ".join(reference.fats().split())
    assert "Here 'hard oils' are without butters; 'solid fats' are both." in told
    assert "Liquid oils, or soft oils, hold soft pastes such as goose fat too." in told
    shares = schema("goals")["properties"]["shares"]["properties"]
    assert shares["hard oils"]["description"].endswith("Here 'hard oils' are without butters; 'solid fats' are both.")
    assert shares["soft oils"]["description"].startswith("Share of all liquid oils together")
    butters = {name for name in fat_table().names() if fat_table().get(name).kind == "butter"}
    assert butters
    assert not any(_holds("hard oils", name) for name in butters)
    assert all(_holds("solid fats", name) for name in butters)
    assert _holds("liquid oils", "goose fat")


def _holds(kind: str, name: str) -> bool:
    """Whether a kind or a group holds a fat."""
    plural = PLURALS[fat_table().get(name).kind]
    return plural == kind or fat_table().get(name).kind in GROUPS.get(kind, ())


def test_the_names_of_a_label_are_called_by_their_standard() -> None:
    """What stands on a label are INCI names, and the card says so."""
    assert "INCI names" in reference.fats("olive oil")


def test_unverified_label_is_marked() -> None:
    """A label name that nobody verified says so where it stands, and a verified one does not."""
    told = {name: fat_table().get(name).label for name in fat_table().names()}
    unsure = next(name for name, label in told.items() if label is not None and not label.verified)
    sure = next(name for name, label in told.items() if label is not None and label.verified)
    assert "NOT VERIFIED" in reference.fats(unsure)
    assert "NOT VERIFIED" not in reference.fats(sure)


def test_a_card_parts_the_likely_from_the_worst() -> None:
    """Beside the worst case stands the value that 95 % of lots lie above, as data the spread, and the notes say from where."""
    fat = fat_table().get("sunflower oil")
    card = " ".join(reference.fats("sunflower oil").split())
    assert f"{fat.saponification.low:.1f}-{fat.saponification.high:.1f} mg KOH/g worst case" in card
    hardly = fat.saponification.value - fat.spread
    assert f"likely low {hardly:.1f} mg KOH/g 95 % of lots" in card
    assert "Likely spread of lots, 0.9 mg KOH/g: 26 commercial oils" in card
    (told,) = json.loads(reference.fats("sunflower oil", as_json=True))["fats"]
    assert told["lot_spread"] == 0.9


def test_wax_says_what_counts() -> None:
    """Of a wax the card says that only its acid value counts towards alkali, how little makes soap, and nothing of ordinary lots."""
    card = " ".join(reference.fats("beeswax").split())
    assert "share that makes soap 21.5 %" in card
    assert "likely low" not in card
    assert "the acid value, which is what counts towards alkali" in card
    assert "the rest stays in the bar as it is" in card


@pytest.mark.parametrize("width", [60, 80, 120])
def test_reference_fits_the_page(width: int) -> None:
    """No line of the reference is longer than the page, in colour or without, and ASCII means ASCII."""
    told = [reference.fats(width=width), reference.measures(width=width)]
    told += [reference.fats(name, width=width, ascii=True) for name in ("coconut oil", "shea butter", "beeswax")]
    told += [reference.measures(name, width=width, ascii=True) for name in ("hardness", "ash risk", "oleic", "cost")]
    for text in told:
        assert all(cell_len(line) <= width for line in text.splitlines())
        assert "\x1b" not in text
    assert all(text.isascii() for text in told[2:])
    coloured = re.sub(r"\x1b\[[0-9;]*m", "", reference.fats("lard", width=width, colour=True))
    assert [line.rstrip() for line in coloured.splitlines()] == reference.fats("lard", width=width).splitlines()


def test_measures_listed() -> None:
    """The list tells every measure, every band word, every other figure and every rule of the house with its reason."""
    text = " ".join(reference.measures().replace("\u00b0C", "degC").split())
    for measure in measures().values():
        assert f"{measure.id}: {measure.predicts}" in text
        assert all(band.word in text for band in measure.bands)
    assert all(rule.why.rstrip(".").casefold() in text.casefold() for rule in rules())
    assert "worst_case_superfat (%)" in text


def test_measures_as_data() -> None:
    """As data: all measures with weights and levers, all other figures, all rules with their status."""
    told = json.loads(reference.measures(as_json=True))
    assert [one["measure"] for one in told["measures"]] == list(measures())
    assert {one["measure"] for one in told["measures"]} | {one["quantity"] for one in told["quantities"]} == set(
        quantities()
    )
    assert [rule["rule"] for rule in told["practice"]] == [rule.name for rule in rules()]
    assert all(rule["why"] and rule["status"] for rule in told["practice"])
    (alone,) = json.loads(reference.measures("quick lather", as_json=True))["measures"]
    assert alone in told["measures"]


def test_measure_card() -> None:
    """A measure's card tells what it predicts, how sure it is, its weights by acid, its levers and its source."""
    card = " ".join(reference.measures("wear life").replace("\u00b0C", "degC").split())
    known = measures()["wear_life"]
    assert known.predicts in card
    assert f"± {known.uncertainty:g}" in card
    assert "stearic C18:0" in card
    assert "What the batch adds" in card
    assert known.source.split(";")[0] in card


@pytest.mark.parametrize(
    ("ask", "offered"),
    [
        (lambda: reference.fats("coconut ool"), "coconut oil"),
        (lambda: reference.measures("hardnes"), "hardness"),
        (lambda: reference.measures("lye concentrate"), "lye_concentration"),
    ],
)
def test_unknown_name_offers_the_nearest(ask: object, offered: str) -> None:
    """A name that nobody knows is a fault of what was written, with the nearest names offered."""
    with pytest.raises(BadInput) as caught:
        ask()  # type: ignore[operator]
    (fault,) = caught.value.diagnostics
    assert offered in fault.help


def test_practice_says_how_to_overrule() -> None:
    """The rules of the house come with the lines that overrule one or all of them, under the list of measures."""
    text = reference.measures()
    assert "practice: {castor oil: 20 %}" in text
    assert "practice: off" in text


def test_every_additive_and_liquid_is_listed() -> None:
    """The list names all of them; what takes alkali says how much, and what stands for water how much of it is water."""
    lines = reference.additives(width=120).splitlines()
    for item in (*additives().values(), *liquids().values()):
        told = [line for line in lines if line.strip().startswith(f"{item.name} ")]
        assert told, item.name
    acid = next(line for line in lines if line.strip().startswith("tartaric acid"))
    assert f"{2 * 39.997 / 150.086 * 100:.1f}" in acid  # g of NaOH for 100 g, by stoichiometry
    assert any("87.0" in line for line in lines if line.strip().startswith("goat milk "))


@pytest.mark.parametrize("name", [*additives(), *liquids()])
def test_every_additive_and_liquid_has_a_card(name: str) -> None:
    """Each says where it goes in, and whether it heats the batter by itself."""
    card = " ".join(reference.additives(name, width=400).split())
    assert "Goes in" in card
    assert ("heats the batter by itself: the steps" in card) is ({**additives(), **liquids()}[name].heats == "yes")


def test_additives_as_data() -> None:
    """Additives and liquids have a list each, every entry with its sources, alkali and levers."""
    told = json.loads(reference.additives(as_json=True))
    assert told["format"] == "barwright/1"
    assert [item["additive"] for item in told["additives"]] == list(additives())
    assert [item["liquid"] for item in told["liquids"]] == list(liquids())
    for item in (*told["additives"], *told["liquids"]):
        assert {"tags", "synonyms", "alkali_mol_per_kg", "water", "levers", "sources", "goes_in"} <= set(item)
        assert item["sources"][0]["source"]
    by_name = {item["additive"]: item for item in told["additives"]}
    assert by_name["rosin"]["levers"]["trace_speed"] > 0
    assert by_name["borax"]["caution"]
    assert by_name["citric acid"]["alkali_mol_per_kg"] == {"value": 15.615, "low": 14.277}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("borax", ("H360FD", "from memory", "metaborate")),
        ("goats milk", ("01106 Milk, goat", "read in the source", "Freeze it", "never counted on")),
        ("rosin", ("11.76 g", "10.34 g at its weakest", "trace speed +2.5")),
        ("sodium lactate", ("hardness +1.5", "brings water 40.0 %")),
    ],
)
def test_the_card_of_an_additive_tells_what_it_rests_on(name: str, words: tuple[str, ...]) -> None:
    """What it does, what it takes, where it goes in, and from where that is known."""
    told = " ".join(reference.additives(name, width=120).split())
    for word in words:
        assert word in told


def test_an_unknown_additive_is_bad_input() -> None:
    """The nearest names are offered."""
    with pytest.raises(BadInput) as caught:
        reference.additives("sodum lactate")
    assert "sodium lactate" in caught.value.diagnostics[0].help

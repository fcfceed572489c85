"""Every row of the reference tables says where it comes from and how far it is to be trusted."""

from __future__ import annotations

import re

import pytest

from optimiser.materials.composition import picked
from optimiser.materials.fat import BY_IODINE, KINDS
from optimiser.materials.fat_table import reference
from optimiser.materials.fatty_acids import acids
from optimiser.reference import chapter, rows

HOW = {"read", "memory", "computed", "common practice"}
TAGS = {
    *(
        "palm",
        "animal",
        "pork",
        "beef",
        "poultry",
        "bee",
        "milk",
        "nut",
        "tree nut",
        "peanut",
        "gluten",
        "soya",
        "mustard",
    ),
    *("sesame", "lauric", "coconut", "hydrogenated", "strong smelling", "pomace", "oleic", "fine", *BY_IODINE),
}
FIGURES = {
    *("saponification_value", "acid_value", "ester_value", "hydroxyl_value", "iodine_value", "unsaponifiable"),
    *("relative_density", "titre", "melting_low", "melting_high", "wax_ester", "saponification_measured"),
}
UNITS = {"% of total fatty acids", "mg KOH/g", "g I2/100 g", "g/kg", "ratio", "degC", "% of mass"}
NAMES = reference().names()
TABLES = (
    "fat_facts",
    "fats",
    "label_names",
    "additives",
    "needs_certificate",
    "borrowed_ends",
    "alkali_grades",
    "lot_spreads",
    "liquids",
    *("stand_in_forms", "kept_states", "difference_words", "fat_looks", "common_fats"),
)
UNCHECKED = re.compile(r"not verified|unverified|need|no inci name known", re.IGNORECASE)
ADDRESS = re.compile(r"https?:|www\.|\.(com|org|net|ai|life|it|my)\b|[®™]|/(work|tmp|home)\b", re.IGNORECASE)


@pytest.mark.parametrize("name", NAMES)
def test_every_published_figure_is_sourced(name: str) -> None:
    """Each fact has a source and how it was had, a known property and unit, and a range the right way up."""
    facts = reference().get(name).facts
    assert facts
    for fact in facts:
        assert fact.source
        assert fact.locator
        assert fact.how in HOW
        assert fact.property in FIGURES or fact.property in acids()
        assert fact.unit in UNITS
        assert fact.low is not None
        assert fact.high is None or 0 <= fact.low <= fact.high or fact.unit == "degC"
        assert not re.match(r"alt\b", fact.note), "the column says so, and a card in words"
    first = [(fact.told_of, fact.property) for fact in facts if not fact.alternative]
    assert len(first) == len(set(first)), "of several figures all but one are alternatives"


def test_no_published_figure_is_lost() -> None:
    """The 1,644 published rows of 110 names are all carried, under fats that the table knows."""
    lines = rows("fat_facts")
    assert len(lines) >= 1644
    assert {line["fat"] for line in lines} == set(NAMES)
    assert len({line["told_of"] for line in lines}) >= 109
    assert sum(len(chapter("fat_facts", name)) for name in NAMES) == len(lines)


def test_every_name_a_fat_was_told_of_finds_it() -> None:
    """A fat answers to each name that a source gave it."""
    for line in rows("fat_facts"):
        assert reference().get(line["told_of"]).name == line["fat"]


@pytest.mark.parametrize("row", rows("fats"), ids=lambda row: row["fat"])
def test_every_fat_is_of_a_known_kind_and_bears_known_tags(row: dict[str, str]) -> None:
    """Kinds and tags are of the lists that goals may speak of."""
    assert row["kind"] in KINDS
    assert reference().get(row["fat"]).tags <= TAGS
    assert row["ends"] in {"acids", "published"}


def test_every_override_says_why() -> None:
    """Where a published figure is set aside, a source is chosen or an end is taken as printed, the row's notes tell."""
    overrides = (
        "typical_of",
        "typical",
        "saponification",
        "iodine",
        "unsaponifiable_range",
        "unsaponifiable",
        "density",
    )
    told = [
        row
        for row in rows("fats")
        if any(row[column] for column in overrides) or row["ends"] == "published" or " + " in row["acids"]
    ]
    assert len(told) >= 10
    assert [row["fat"] for row in told if not row["notes"]] == []


@pytest.mark.parametrize("row", rows("fats"), ids=lambda row: row["fat"])
def test_every_choice_of_a_source_finds_figures(row: dict[str, str]) -> None:
    """The sets that a row chooses exist, and a chosen edition changes something."""
    facts = reference().get(row["fat"]).facts
    for choice in filter(None, (row["acids"], row["typical_of"], *row["figures"].split(";"))):
        assert picked(facts, choice)
        plain = choice.partition(" + ")[0]
        assert choice == plain or picked(facts, choice) != picked(facts, plain)
    for part in filter(None, row["typical"].split(";")):
        assert part.split("=")[0] in picked(facts, row["acids"])


def test_every_fat_has_names_for_the_label() -> None:
    """Each fat has a line of label names; one built by convention is not called verified."""
    assert [row["fat"] for row in rows("label_names")] == list(NAMES)
    for row in rows("label_names"):
        assert row["source"]
        assert row["how"] in HOW
        assert row["verified"] == ("no" if UNCHECKED.search(row["source"]) else "yes")


def test_every_additive_is_sourced() -> None:
    """Each additive has a source or says that there is none, and its tags are known."""
    for row in rows("additives"):
        assert row["how"] in HOW
        assert row["source"]
        assert (row["source"] == "no source") == (row["how"] == "common practice")
        assert set(filter(None, row["tags"].split(";"))) <= TAGS
        assert 0.0 < float(row["litres_off"]) < float(row["litres"]) <= 1.2
        assert row["litres_from"].endswith(", from memory") or row["litres_from"].startswith("our judgement")


def test_every_liquid_is_sourced() -> None:
    """Each liquid has a source, says whether it was read there and where, and its tags are known."""
    for row in rows("liquids"):
        assert row["how"] in HOW
        assert row["source"]
        assert (row["source"] == "no source") == (row["how"] == "memory")
        assert bool(row["locator"]) == (row["how"] == "read")
        assert set(filter(None, row["tags"].split(";"))) <= TAGS


@pytest.mark.parametrize("table", ["stand_in_forms", "kept_states", "difference_words", "fat_looks", "common_fats"])
def test_what_the_trade_finds_says_that_it_has_no_source(table: str) -> None:
    """What stands in for what, and how bars then differ, is common practice alone, and each row says so."""
    assert rows(table)
    assert {(row["status"], row["source"]) for row in rows(table)} == {("common practice", "no source")}


@pytest.mark.parametrize("table", TABLES)
def test_no_table_carries_an_address_or_a_trade_mark(table: str) -> None:
    """Sources are documents, not shops: no web address, no trade mark sign, no path of a machine."""
    for row in rows(table):
        assert not ADDRESS.search(" ".join(row.values())), row


def test_no_row_tells_how_it_was_gathered() -> None:
    """A row names its source and status; what somebody's copy of it looked like is nothing to a reader."""
    gathered = re.compile(
        r"excerpt|\bcut (before|inside|off)|patient list|code sample|formulation sheet|search terms", re.IGNORECASE
    )
    for table in TABLES:
        for row in rows(table):
            told = [value for value in row.values() if gathered.search(value or "")]
            assert not told, (table, told)

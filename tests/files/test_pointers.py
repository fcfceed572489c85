"""A maker's own word is told its place wherever it is typed, and what it is told to write can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from optimiser.files.goals import read_goals
from optimiser.files.pointers import line, place_of
from optimiser.files.recipe_file import read_recipe
from optimiser.materials.additives import additives
from optimiser.materials.liquids import liquids
from optimiser.measures.shares import tags_by_word
from optimiser.measures.vocabulary import NOTHING, SAME, Meaning, example_for, meanings, same_as, vocabulary
from optimiser.problem.goals import GoalSheet
from optimiser.reference import rows
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.writing import scalar

TYPED = {
    "goals": "goals: {{{}: 30}}",
    "shares": "shares: {{{}: 10 %}}",
    "prefer": "prefer: [{{{}: {{at_least: 30}}}}]",
    "free_from": "free_from: [{}]",
    "for": "for: {}",
    "design": "design: {}",
    "may_use": "may_use: [{}]",
    "additives": "additives: {{{}: 1 %}}",
    "liquids": "liquids: {{{}: 10 %}}",
    "practice": "practice: {{{}: off}}",
    "": "{}: yes",
}
"""How a word is typed under each key of a goal file; the last is a key of the file itself."""
WORDS = sorted({word for meaning in vocabulary() for word in meaning.words})
TOLD = [meaning for meaning in vocabulary() if meaning.pointer != NOTHING]


def read(folder: Path, text: str) -> GoalSheet | tuple[Diagnostic, ...]:
    """A goal file, or what is wrong with it."""
    path = folder / "goals.yaml"
    path.write_text(text + "\n", encoding="utf-8")
    try:
        return read_goals(path)
    except BadInput as bad:
        return bad.diagnostics


def help_of(folder: Path, text: str) -> str:
    """The help of a goal file's one fault."""
    found = read(folder, text)
    assert not isinstance(found, GoalSheet), text
    (fault,) = found
    return fault.help


@pytest.mark.long
@pytest.mark.parametrize("section", TYPED)
def test_every_word_is_taken_or_told_its_place_wherever_it_is_typed(tmp_path: Path, section: str) -> None:
    """Under each key, one fault a word whose help names every meaning of it, or the word is something of ours there."""
    pointed = 0
    for word in WORDS:
        found = read(tmp_path, TYPED[section].format(scalar(word)))
        if isinstance(found, GoalSheet):
            continue
        (fault,) = found
        if fault.help == place_of(word, section):
            pointed += 1
            told = [meaning.entry for meaning in meanings(word) if meaning.pointer != NOTHING]
            assert [entry for entry in told if entry not in fault.help] == []
        else:  # a name of ours, which is told another way
            assert fault.help, (word, section)
    assert pointed > 0.8 * len(WORDS)


@pytest.mark.parametrize("meaning", TOLD, ids=lambda meaning: f"{meaning.words[0]}-{meaning.section}")
def test_what_is_told_can_be_written(tmp_path: Path, meaning: Meaning) -> None:
    """The entry that a help names is read in the place that it names, and asks for something there."""
    sheet = read(tmp_path, line(meaning))
    assert isinstance(sheet, GoalSheet), sheet
    asked = (sheet.goals, sheet.shares, sheet.free_from, sheet.additives, sheet.techniques, sheet.water)
    assert any(asked) or sheet.batch.given
    for word in meaning.words:
        assert f"{line(meaning)}" in place_of(word, "")
    inside = yaml.safe_load(line(meaning))
    assert list(inside) == [meaning.section or meaning.entry.partition(":")[0]]


@pytest.mark.parametrize(("section", "wanted"), [("free_from", "free_from"), ("shares", "shares")])
def test_words_that_mean_exactly_one_thing_are_taken_for_it(tmp_path: Path, section: str, wanted: str) -> None:
    """Such a word reads as what it is the same as, in the sheet and so in every answer."""
    assert same_as(section)
    for word, entry in same_as(section).items():
        if section == "shares":
            asked, meant = (read(tmp_path, f"shares: {{{name}: 30 %}}") for name in (word, entry))
        else:
            asked, meant = (read(tmp_path, f"free_from: [{name}]") for name in (word, entry))
        assert isinstance(asked, GoalSheet), word
        assert isinstance(meant, GoalSheet), entry
        spans = {"span": None}
        told = [[item._replace(**spans) for item in getattr(sheet, wanted)] for sheet in (asked, meant)]
        assert told[0] == told[1] != []


def test_nothing_of_an_animal_is_without_its_tag() -> None:
    """What "vegan" bars is everything of bees, milk and meat: no fat, additive or liquid of those lacks the tag animal."""
    listed = [(row["fat"], set(row["tags"].split(";"))) for row in rows("fats")]
    listed += [(item.name, set(item.tags)) for item in (*additives().values(), *liquids().values())]
    of_animals = [(name, tags) for name, tags in listed if tags & {"bee", "beef", "milk", "pork", "poultry"}]
    assert len(of_animals) > 15
    assert [name for name, tags in of_animals if "animal" not in tags] == []
    assert {"beeswax", "honey", "goat milk powder", "lard"} <= {name for name, _ in of_animals}


@pytest.mark.parametrize(
    ("text", "help_"),
    [
        (
            "goals: {longevity: 30}",
            "here that is wear life, how long a bar lasts in use: write wear_life: {at_least: 24}",
        ),
        (
            "for: acne",
            "nothing here treats or heals; what can be asked for is a gentle wash: write under goals: mildness: ",
        ),
        ("design: longevity", "write under goals: wear_life: {at_least: 24}"),
        (
            "goals: {vegan: yes}",
            "without anything of an animal or of bees: write, in a line of its own, free_from: [animal]",
        ),
        ("free_from: [diary]", "did you mean 'dairy'?"),
        (
            "goals: {palm free: yes}",
            "here that is a bar without anything that has the tag palm: write, in a line of its own, free_from: [palm]",
        ),
        ("shares: {dairy: 0 %}", "here that is the tag milk: write, in a line of its own, free_from: [milk]"),
        (
            "shares: {hard fats: 40 %}",
            "hard oils without the butters: write hard oils: {at_most: 40 %}; or hard oils and",
        ),
        ("goals: {gel: yes}", "a choice of the batch: write under batch: gel: yes"),
        ("goals: {unmould: 24 h}", "write set_up: {at_least: 45}"),
        ("for: fine swirl", "it stands under 'design'"),
        ("design: mature skin", "it stands under 'for'"),
        ("for: hardness", "it stands under 'goals'"),
        (
            "goals: {conditoning: 30}",
            "did you mean 'conditioning'? which is meant? fat that is left over on the skin: ",
        ),
        ("for: shampo", "did you mean 'shampoo'?"),
        ("prefer: [{longevty: {at_least: 3}}]", "did you mean 'longevity'? here that is wear life"),
        ("for: mature skn", "did you mean 'mature skin'?"),
        ("goals: {Gentle Soap: 30}", "here that is mildness: write mildness: {at_least: 70}"),
        (
            "for: [moisturizing bar]",
            "which is meant? fat that is left over on the skin: write under goals: superfat: 7 %",
        ),
        ("shares: {kaolin: 2 %}", "it stands under 'additives'"),
        ("goals: {salt: 2 %}", "it stands under 'additives'"),
        ("shares: {beer: 50 %}", "it stands under 'liquids'"),
        ("prefer: [{citric acid: 1 %}]", "it stands under 'additives'"),
        ("goals: {water_hardness: 20}", "it is a key of the file itself, at the left margin"),
        ("goals: {sodium hydroxide: 20}", "the shelf says which alkalis there are"),
        ("prefer: [{lather_stay: {at_least: 40}}]", "write lasting_lather: instead"),
        ("goals: {trace: slow}", "write trace_speed: instead"),
    ],
)
def test_what_some_words_are_told(tmp_path: Path, text: str, help_: str) -> None:
    """The words that are heard most, as they are answered."""
    assert help_ in help_of(tmp_path, text)


@pytest.mark.parametrize(
    "value", ["medium", "Thin", "light", "thick", "{at_most: medium}", "{between: [x, y], at_least: thick}"]
)
def test_a_thickness_is_no_speed(tmp_path: Path, value: str) -> None:
    """The words "trace: medium" may be a speed or how thick it is poured, and the maker is asked which."""
    (fault,) = read(tmp_path, f"goals: {{trace: {value}}}")  # type: ignore[misc]
    assert fault.message.endswith("may mean two things")
    assert fault.help.startswith("which is meant? how fast the batter thickens: write trace_speed: ")
    assert "how thick the batter is when it is poured" in fault.help
    assert "write, in a line of its own, design: " in fault.help


def test_a_recipe_is_not_told_of_goals(tmp_path: Path) -> None:
    """A recipe has no goals, so a maker's word in it is an additive or a liquid that is not known, and no more."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {lard: 1 kg}\nsuperfat: 5 %\nadditives: {gentle: 3 g}\nliquids: {vegan: 20 %}\n", "utf-8")
    with pytest.raises(BadInput) as bad:
        read_recipe(path)
    helps = [fault.help for fault in bad.value.diagnostics]
    assert len(helps) == 2
    assert all("barwright additives" in help_ and "goals" not in help_ for help_ in helps)


@pytest.mark.parametrize("section", ["additives", "liquids", "may_use", "practice", "design", "for"])
def test_a_miss_is_short(tmp_path: Path, section: str) -> None:
    """Whatever is typed, no more than five names are offered, and a command lists the rest."""
    names = ("zzqx", "sodium", "milk powders", "clay", "oil of something", "acid", "red", "xylitol")
    missed = [read(tmp_path, TYPED[section].format(name)) for name in names]
    helps = [fault.help for found in missed if not isinstance(found, GoalSheet) for fault in found]
    assert len(helps) > 5
    for help_ in helps:
        assert help_.count("'") // 2 <= 6
        assert len(help_) < 200
        assert "barwright " in help_ or "did you mean" in help_ or "it stands under" in help_


def test_the_vocabulary_is_whole() -> None:
    """Words are written as people write them, once for a meaning; every row says what the word is and points somewhere."""
    seen = [(word, meaning.section, meaning.entry) for meaning in vocabulary() for word in meaning.words]
    assert len(seen) == len(set(seen))
    for meaning in vocabulary():
        assert meaning.pointer in (SAME, "here", NOTHING)
        assert meaning.here
        assert (meaning.entry == "") == (meaning.pointer == NOTHING)
        assert all(word == word.strip().lower() for word in meaning.words)
        assert meaning.pointer != NOTHING or meaning.remark
    assert {row["status"] for row in rows("vocabulary")} == {"common practice"}
    assert set(same_as("free_from").values()) <= set(tags_by_word().values())
    for word in WORDS:
        same = [meaning for meaning in meanings(word) if meaning.pointer == SAME]
        assert not same or len(meanings(word)) == 1, word


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "goals: {hardness: firm}",
            "write hardness: {at_least: 56}, or one of its words: soft, medium, hard, very hard",
        ),
        ("goals: {hardness: {at_least: firm}}", "write hardness: {at_least: 56}, or one of its words"),
        ("goals: {wear_life: long}", "as in wear life: {at_least: 24}"),
        ("goals: {scum: low}", "as in scum: {at_most: 77}"),
        ("free_from: [cows milk]", "here that is the tag milk"),
        ("free_from: [coconut water]", "here that is the tag coconut"),
        ("liquids: {sea water: 100 %}", "write under additives: salt: 1 %"),
    ],
)
def test_a_word_in_place_of_a_figure_or_a_tag_is_told_its_place(tmp_path: Path, text: str, told: str) -> None:
    """What is no band, no figure and no tag of ours is answered with what it means here, in figures that bars have."""
    assert told in help_of(tmp_path, text)


def test_what_a_fault_offers_is_within_what_a_bar_reaches() -> None:
    """The example of every measure lies in what soap of one acid and another span (``measure_weights.csv``)."""
    tried = 0
    for measure in rows("measure_weights")[0].keys() & {row["measure"] for row in rows("measures")}:
        figures = re.findall(r"[\d.]+", example_for(measure))
        weights = [float(row[measure]) for row in rows("measure_weights") if row[measure]]
        for figure in map(float, figures):
            tried += 1
            assert min(weights) < figure < max(weights)
    assert tried > 4


def test_adjectives_are_told_as_oils(tmp_path: Path) -> None:
    """Under shares "oleic" is told as oleic oils, since under goals it is the acid; and may be written so."""
    for written in ("oleic", "oleic oils", "Oleic_Oils"):
        sheet = read(tmp_path, f"shares: {{{written}: {{at_least: 30 %}}}}")
        assert isinstance(sheet, GoalSheet)
        assert (sheet.shares[0].key, str(sheet.shares[0].said)) == ("oleic", "oleic oils at least 30 %")

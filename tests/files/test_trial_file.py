"""Trials: files read and written."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import written

from optimiser.files.form_schema import json_schema
from optimiser.files.recipe_file import read_recipe
from optimiser.files.trial_file import Reading, TrialForm, read_trial, read_trials
from optimiser.files.trial_writing import Entry, record, slug
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.trials.observations import made

FULL = """\
# by hand
recipe: ../recipe.yaml
date: 2026-11-25
trace: 4 min 30 s
unmould: 20 h
hardness: 41 Shore D
ash: no
notes: [lavender, 'stirred: by hand']
"""
INLINE = """\
recipe:
  title: Plain
  fats: {lard: 1 kg}
  superfat: 5 %
  gel: yes
trace: 270 s
"""


def faults(shop: Path, text: str) -> tuple[Diagnostic, ...]:
    """What is wrong with a trial file."""
    with pytest.raises(BadInput) as caught:
        read_trial(written(shop, text))
    return caught.value.diagnostics


def test_a_full_trial_is_read(shop: Path) -> None:
    """Every key of a trial, with a recipe in a file of its own."""
    trial = read_trial(written(shop, FULL))
    assert (trial.name, trial.date, trial.trace, trial.unmould) == ("001", "2026-11-25", 270.0, 20.0)
    assert (trial.hardness, trial.ash, trial.linked) == (Reading(41.0, "Shore D"), False, True)
    assert trial.notes == ("lavender", "stirred: by hand")
    assert [item.grams for item in trial.recipe.fats] == [500, 500, 500]


def test_a_recipe_may_stand_in_the_trial(shop: Path) -> None:
    """A recipe written inline is read as a recipe file would be."""
    trial = read_trial(written(shop, INLINE))
    assert (trial.recipe.title, trial.recipe.superfat, trial.recipe.gel, trial.linked) == ("Plain", 5.0, True, False)
    assert (trial.unmould, trial.hardness, trial.ash, trial.notes, trial.date) == (None, None, None, (), "")


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("recipe: ../recipe.yaml", "missing-key", (1, 1)),
        ("trace: 4 min", "missing-key", (1, 1)),
        ("recipe: ../nowhere.yaml\ntrace: 4 min", "no-such-file", (1, 9)),
        ("recipe: ../recipe.yaml\ntrace: 4", "no-unit", (2, 8)),
        ("recipe: ../recipe.yaml\ntrace: 2 days", "out-of-range", (2, 8)),
        ("recipe: ../recipe.yaml\nunmould: 90 days", "out-of-range", (2, 10)),
        ("recipe: ../recipe.yaml\nhardness: 41", "no-unit", (2, 11)),
        ("recipe: ../recipe.yaml\nhardness: -4 Shore D", "out-of-range", (2, 11)),
        ("recipe: ../recipe.yaml\nash: perhaps", "not-a-switch", (2, 6)),
        ("recipe: ../recipe.yaml\nash: no\ndate: 25.11.2026", "no-date", (3, 7)),
        ("recipe: ../recipe.yaml\nseconds to trace: 90 s\nash: no", "unknown-key", (2, 1)),
        ("recipe: {fats: {lard: 1 kg}}\nash: no", "missing-key", (1, 10)),
        ("recipe: {fats: {larb: 1 kg}, superfat: 5 %}\nash: no", "unknown-fat", (1, 17)),
        ("recipe: [lard]\nash: no", "wrong-shape", (1, 9)),
    ],
)
def test_each_fault_of_a_trial_is_told_with_its_place(text: str, code: str, place: tuple[int, int], shop: Path) -> None:
    """File, line and column of what is wrong, all in the maker's words."""
    (fault,) = faults(shop, text)
    assert fault.span is not None
    assert (fault.code, (fault.span.line, fault.span.column)) == (code, place)


def test_a_switch_is_called_by_its_own_name(shop: Path) -> None:
    """A word that is neither yes nor no is told under the key it stands at."""
    (fault,) = faults(shop, "recipe: ../recipe.yaml\nash: perhaps")
    assert fault.message == "ash is yes or no, and not 'perhaps'"
    assert fault.help == "write ash: yes, or ash: no"


def test_faults_of_a_linked_recipe_point_into_it(shop: Path) -> None:
    """A recipe that cannot be read is told where it stands."""
    (shop / "recipe.yaml").write_text("fats: {lard: 1000}\nsuperfat: 5 %\n", encoding="utf-8")
    (fault,) = faults(shop, FULL)
    assert fault.span is not None
    assert (Path(fault.span.file).name, fault.code) == ("recipe.yaml", "no-unit")


def test_faulty_files_are_left_out_by_name(shop: Path) -> None:
    """A folder is read whole, and what is faulty in it is left out by name; scales, hidden files and others are no trials."""
    written(shop, FULL)
    for name in ("scales.yaml", ".swap.yaml", "notes.txt"):
        written(shop, "nonsense", name)
    found, left = read_trials(shop / "trials")
    assert ([trial.name for trial in found], left) == (["001"], ())
    written(shop, "recipe: 1", "002.yaml")
    written(shop, "ash: no", "003.yml")
    found, left = read_trials(shop / "trials")
    assert [trial.name for trial in found] == ["001"]
    assert [Path(item.path).name for item in left] == ["002.yaml", "003.yml"]
    assert all(item.faults for item in left)


def test_what_is_recorded_reads_back(shop: Path) -> None:
    """The recipe goes along with all that bears on the batch, and odd words keep their letters."""
    text = """\
title: "No: 'bars'"
shelf: inventory/kittiwake.yaml
fats: {olive oil: 2 lb, coconut oil: 8 oz}
alkali: {NaOH: 160 g, KOH: 5.25 g}
water: 12 oz
additives: {sodium lactate: 20 g}
liquids: {goat milk: 40 %, beer: 50 g}
batter_temperature: 95 degF
gel: yes
cured_water: 8 %
"""
    (shop / "recipe.yaml").write_text(text, encoding="utf-8")
    sheet = read_recipe(shop / "recipe.yaml")
    entry = Entry("2026-11-25", "4 min", "1 day 2 h", "7 0.1 mm", ash=True, notes=("no", "a: b # c", "größer"))
    path = record(shop / "trials", sheet, entry)
    assert path.name == "001-no-bars.yaml"
    trial = read_trial(path)
    assert trial.recipe.shelf is not None
    assert trial.recipe.shelf.resolve() == (shop / "inventory" / "kittiwake.yaml").resolve()
    for name in ("title", "superfat", "water_g", "batter_temperature", "gel", "cured_water", "potassium_share"):
        assert getattr(trial.recipe, name) == pytest.approx(getattr(sheet, name)), name
    assert [item[:3] for item in trial.recipe.liquids] == [("goat milk", None, 40.0), ("beer", 50.0, None)]
    for one, other in ((trial.recipe.fats, sheet.fats), (trial.recipe.alkali, sheet.alkali)):
        assert [item.name for item in one] == [item.name for item in other]
        assert [item.grams for item in one] == pytest.approx([item.grams for item in other])
    assert trial.recipe.additives[0].grams == 20
    assert (trial.trace, trial.unmould, trial.hardness, trial.ash) == (240.0, 26.0, Reading(7.0, "0.1 mm"), True)
    assert trial.notes == entry.notes
    assert "burn skin" in path.read_text(encoding="utf-8")


def test_names_are_numbered_and_nothing_is_written_over(shop: Path) -> None:
    """The next number is one more than the highest, whatever the others are called."""
    sheet = read_recipe(shop / "recipe.yaml")
    written(shop, FULL, "007-mine.yaml")
    paths = [record(shop / "trials", sheet, Entry(notes=("x",)), linked=linked) for linked in (False, True)]
    assert [path.name for path in paths] == ["008-thirds.yaml", "009-thirds.yaml"]
    assert read_trial(paths[1]).linked
    assert written(shop, FULL, "007-mine.yaml").read_text(encoding="utf-8") == FULL
    assert (slug("Crème & Salz!"), slug("茶"), slug("x" * 99)) == ("creme-salz", "trial", "x" * 40)


def test_a_name_taken_in_the_meantime_is_left_alone(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where another hand has just written under the number, the next one is taken."""
    monkeypatch.setattr("optimiser.files.trial_writing.next_number", lambda _: 1)
    first = written(shop, FULL, "001-thirds.yaml")
    path = record(shop / "trials", read_recipe(shop / "recipe.yaml"), Entry(notes=("x",)))
    assert path.name == "002-thirds.yaml"
    assert first.read_text(encoding="utf-8") == FULL


def test_an_own_fat_is_found_on_the_nearest_shelf(shop: Path) -> None:
    """A recipe that names no shelf is judged with the nearest one where a fat of it stands only there."""
    (shop / "inventory").mkdir()
    shelf = "currency: EUR\nfats:\n  - {fat: my infusion, like: olive oil, price: 9 / kg}\n"
    (shop / "inventory" / "ours.yaml").write_text(shelf, encoding="utf-8")
    text = INLINE.replace("lard: 1 kg", "my infusion: 1 kg")
    own = made(read_trial(written(shop, text)))
    plain = made(read_trial(written(shop, INLINE.replace("lard: 1 kg", "olive oil: 1 kg"), "002.yaml")))
    assert own.values["trace_speed"] == pytest.approx(plain.values["trace_speed"])


def test_the_form_has_a_schema() -> None:
    """Editors can complete a trial file: every key has a description, and the recipe may be a path or a recipe."""
    made_ = json_schema(TrialForm)
    assert set(made_["properties"]) == {"recipe", "date", "trace", "unmould", "hardness", "ash", "notes"}
    assert all(item["description"] for item in made_["properties"].values())
    assert [kind.get("type") for kind in made_["properties"]["recipe"]["anyOf"]] == ["string", "object"]

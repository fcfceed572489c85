"""The commands on the batch record, as they are typed."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import subprocess
import sys
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from benches import laid

from optimiser.cli import records
from optimiser.cli.main import main
from optimiser.cli.record_answers import COMMANDS as ASKING
from optimiser.cli.records import COMMANDS
from optimiser.files.trial_file import Trial, read_trial
from optimiser.recipe.handling import in_brief, in_full
from optimiser.report.terminal import records as words_of_records
from optimiser.store.asking import list_batches
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic

ROOT = Path(__file__).parents[2]
SHELF = """currency: EUR
fats:
  - {fat: olive oil, price: 6.90 / kg, stock: 20 kg, lot: {number: OL-1, saponification_value: 190.8, tolerance: 1}}
  - {fat: coconut oil, price: 3.10 / kg, lot: {number: CO-2291, saponification_value: 256.4, tolerance: 1.5}}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
"""
RECIPE = (
    "title: House bar\nshelf: ../inventory/shelf.yaml\nfats: {olive oil: 700 g, coconut oil: 300 g}\nsuperfat: 5 %\n"
)
RECORD = "records/barwright.sqlite"
ALKALI = 145.4
"""Grams: (0.7 x 190.8 + 0.3 x 256.4) mg KOH/g x 1000 g / 56.106 x 39.997 x 0.95 / 0.98, rounded down for the balance."""


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workshop with a shelf and a recipe, and oneself in it."""
    monkeypatch.chdir(laid(tmp_path, {"inventory/shelf.yaml": SHELF, "recipes/house.yaml": RECIPE}))
    return tmp_path


def add(*more: str) -> int:
    """`batch add` of the recipe, on a day."""
    return main(["batch", "add", "recipes/house.yaml", "--made", "2026-11-03", *more])


def said(capfd: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command answers, blanks told once; it must find, and have nothing to warn of."""
    capfd.readouterr()
    assert main(["batch", *words]) == 0
    out, err = capfd.readouterr()
    assert err == ""
    return " ".join(out.split())


def data(capfd: pytest.CaptureFixture[str], *words: str, code: int = 0) -> dict[str, Any]:
    """The same as data."""
    capfd.readouterr()
    assert main(["batch", *words, "--json"]) == code
    found: dict[str, Any] = json.loads(capfd.readouterr().out)
    assert found["format"] == "barwright/1"
    return found


def test_the_whole_way_of_a_lot(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """From a batch with its lots over stock, an infusion, a note and a shipment to the recall that finds both bars."""
    assert add("--lot", "coconut oil=CO-2291", "--lots-of-shelf", "--bars", "12", "--draw-down") == 0
    out, err = capfd.readouterr()
    assert err == ""
    assert out.startswith(f"Recorded: 2026-11-03-1 in {RECORD} (a new record)\n")
    assert (bench / RECORD).is_file()
    words = " ".join(out.split())
    assert "coconut oil 300.0 CO-2291" in words
    assert f"sodium hydroxide {ALKALI} no lot" in words
    assert "olive oil OL-1 19300 700" in words  # what is left, and what was drawn
    assert in_brief(("sodium hydroxide",))[0] in words
    assert "The supplier's safety data sheet, local rules, licensed practice come first" in words
    assert "made from 1 lot; 1900 g left" in said(
        capfd, "lot", "INF-1", "--of", "house infusion", "--from", "olive oil=OL-1=2 kg", "--received", "1.9 kg"
    )
    assert "house infusion INF-1 1900 0 olive oil OL-1 17300 700" in said(capfd, "stock")
    shelf = bench / "inventory" / "shelf.yaml"
    assert shelf.read_text(encoding="utf-8") == SHELF  # never edited
    text = RECIPE.replace("coconut oil: 300 g", "coconut oil: 250 g, house infusion: 50 g")
    shelf.write_text(
        SHELF.replace("alkalis", "  - {fat: house infusion, like: olive oil, price: 9 / kg}\nalkalis"), "utf-8"
    )
    (bench / "recipes" / "house.yaml").write_text(text.replace("House", "Infused"), encoding="utf-8")
    assert add("--lot", "house infusion=INF-1", "--id", "KW 2", "--lot", "olive oil=OL-2") == 0
    assert "Noted: 2026-11-03-1" in said(
        capfd, "note", "2026-11-03-1", "--trace", "4 min", "--ash", "no", "--note", "ok"
    )
    assert "3 bars of KW 2 to Harbour guest house (invented) on 2026-12-20" in said(
        capfd, "ship", "kw-2", "--bars", "3", "--to", "Harbour guest house (invented)", "--on", "2026-12-20"
    )
    words = said(capfd, "recall", "--lot", "ol 1")
    assert "Lot OL-1: olive oil" in words
    assert "Made from it: house infusion INF-1." in words
    assert "2026-11-03-1 2026-11-03 House bar 700 OL-1 12 0" in words
    assert "KW 2 2026-11-03 Infused bar 50 INF-1 - 3" in words
    assert "KW 2 3 Harbour guest house (invented) 2026-12-20" in words
    found = data(capfd, "recall", "--lot", "OL-1")
    assert (found["status"], found["lot"]) == ("recalled", "OL-1")
    assert [(item["id"], item["title"], item["made"], item["grams"]) for item in found["batches"]] == [
        ("2026-11-03-1", "House bar", "2026-11-03", 700.0),
        ("KW 2", "Infused bar", "2026-11-03", 50.0),
    ]
    words = said(capfd, "recall", "--batch", "KW 2")
    assert "INF-1 house infusion 50" in words
    assert "OL-1 olive oil - INF-1" in words
    assert "No lot told: coconut oil (250 g) and sodium hydroxide" in words
    words = said(capfd, "show", "2026-11-03-1")
    assert "day not told: trace after 4 min; no soda ash; ok" in words
    words = said(capfd, "list")
    assert "2 batches" in words
    assert "KW 2 2026-11-03 Infused bar 1000 - 3 2 1" in words


@pytest.mark.usefixtures("bench")
def test_a_lot_without_a_number_told_may_be_in_it(capfd: pytest.CaptureFixture[str]) -> None:
    """Where no batch is known to hold a lot, those that may are named; where none may either, the exit code is 1."""
    assert add() == add() == 0
    assert "Recorded: olive oil OL-1 went into 2026-11-03-2" in said(
        capfd, "tell", "2026-11-03-2", "--lot", "olive oil=OL-1"
    )
    words = said(capfd, "recall", "--lot", "OL-1")
    assert "No lot was told, so these may hold it too" in words
    assert "2026-11-03-1 2026-11-03 House bar olive oil 700" in words
    said(capfd, "lot", "CA-1", "--of", "castor oil", "--best-before", "2027-01-01")
    assert data(capfd, "recall", "--lot", "CA-1", code=1)["batches"] == []


@pytest.mark.usefixtures("bench")
def test_every_answer_as_data(capfd: pytest.CaptureFixture[str]) -> None:
    """Each action has one document, whose status says what it is; those with alkali figures have all cautions."""
    found = data(
        capfd, "add", "recipes/house.yaml", "--made", "2026-11-03", "--lots-of-shelf", "--draw-down", "--bars", "9"
    )
    assert found["status"] == "recorded"
    assert found["store"] == RECORD
    assert found["batch"]["recipe_sha256"] == hashlib.sha256(found["batch"]["recipe"].encode()).hexdigest()
    assert found["batch"]["cost"] == pytest.approx(0.7 * 6.90 + 0.3 * 3.10 + ALKALI / 1000 * 2.40, abs=1e-4)
    assert set(in_full(("sodium hydroxide",))) <= set(found["cautions"])
    assert found["stock"][0] == {
        "lot": "OL-1",
        "material": "olive oil",
        "best_before": None,
        "left_g": 19_300.0,
        "drawn_g": 700.0,
    }
    shown = data(capfd, "show", "2026-11-03-1")
    assert shown["status"] == "batch"
    assert shown["batch"] == found["batch"]
    assert shown["cautions"] == found["cautions"]
    assert data(capfd, "stock")["lots"][0]["left_g"] is None  # of coconut oil nobody told how much there was
    assert data(capfd, "list")["batches"][0]["fats_without_lot"] == 0
    add("--id", "later")
    told = data(capfd, "tell", "later", "--lot", "Olive_Oil=OL-1", "--draw-down")
    assert (told["batch"], told["lots"]) == ("later", [{"material": "olive oil", "lot": "OL-1"}])
    assert told["stock"][0]["left_g"] == 18_600.0
    noted = data(capfd, "note", "2026-11-03-1", "--hardness", "41 Shore D")
    assert noted["observation"]["hardness"] == {"value": 41.0, "unit": "Shore D"}
    sent = data(capfd, "ship", "2026-11-03-1", "--bars", "4", "--to", "x", "--on", "2026-12-20")
    assert (sent["status"], sent["bars_left"]) == ("shipped", 5)
    assert data(capfd, "recall", "--batch", "2026-11-03-1")["lots"][0]["lot"] == "CO-2291"
    assert data(capfd, "export", "--trials", "out")["status"] == "exported"
    assert data(capfd, "import", "out")["batches"] == ["001-house-bar"]
    assert data(capfd, "lot", "OL-1", "--of", "olive oil", "--counted", "19 kg")["lots"][0]["left_g"] == 19_000.0


@pytest.mark.usefixtures("bench")
def test_no_figure_of_an_alkali_stands_without_its_cautions(capfd: pytest.CaptureFixture[str]) -> None:
    """Wherever grams of an alkali are told, be it of its lot alone; where no alkali is, none are."""
    add("--id", "one", "--lot", "NaOH=LYE-5", "--lot", "olive oil=OL-1", "--draw-down")
    add("--id", "two")
    brief = in_brief(("sodium hydroxide",))[0]
    full = list(in_full(("sodium hydroxide",)))
    for words in (["recall", "--lot", "LYE-5"], ["recall", "--batch", "one"], ["recall", "--batch", "two"], ["stock"]):
        assert brief in said(capfd, *words)
        assert data(capfd, *words)["cautions"] == full
    assert data(capfd, "tell", "two", "--lot", "NaOH=LYE-5")["cautions"] == full
    assert brief in said(capfd, "show", "two")
    assert brief not in said(capfd, "recall", "--lot", "OL-1")
    assert "cautions" not in data(capfd, "recall", "--lot", "OL-1")


def test_every_action_is_tried_here() -> None:
    """No action is without a document above."""
    text = Path(__file__).read_text(encoding="utf-8")
    assert [name for name in (*ASKING, *COMMANDS) if f'data(capfd, "{name}"' not in text] == []


def test_the_frozen_recipe_can_be_weighed(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """`show --recipe` prints a recipe file and nothing else."""
    add()
    capfd.readouterr()
    assert main(["batch", "show", "2026-11-03-1", "--recipe"]) == 0
    (bench / "records" / "again.yaml").write_text(capfd.readouterr().out, encoding="utf-8")
    assert main(["weigh", "records/again.yaml"]) == 0
    assert f"sodium hydroxide {ALKALI} 98 % pure" in " ".join(capfd.readouterr().out.split())


def test_the_frozen_recipe_keeps_its_letters(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """Also where the terminal has ASCII alone: what it cannot carry is written as YAML reads it."""
    (bench / "recipes" / "house.yaml").write_text(RECIPE.replace("House bar", '"Käse 油 #1"'), encoding="utf-8")
    add()
    capfd.readouterr()
    assert main(["batch", "show", "2026-11-03-1", "--recipe"]) == 0
    out = capfd.readouterr().out
    assert 'title: "Käse 油 #1"' in out
    monkeypatch.setattr("optimiser.cli.showing.speaks_unicode", lambda _: False)
    assert main(["batch", "show", "2026-11-03-1", "--recipe"]) == 0
    assert capfd.readouterr().out == out


def test_what_must_not_be_made_is_refused(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A lye-heavy recipe is exit 1, as weigh has it, with why and without a record."""
    text = RECIPE.replace("superfat: 5 %", "alkali: {sodium hydroxide: 300 g}")
    (bench / "recipes" / "house.yaml").write_text(text, encoding="utf-8")
    assert add() == 1
    out = " ".join(capfd.readouterr().out.split())
    assert "LYE-HEAVY" in out
    assert "Nothing was recorded." in out
    assert data(capfd, "add", "recipes/house.yaml", code=1)["status"] == "lye-heavy"
    assert not (bench / "records").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["add", "recipes/house.yaml", "--made", "yesterday"], "[no-date]"),
        (["add", "recipes/house.yaml", "--bars", "2.5"], "[not-whole]"),
        (["add", "recipes/house.yaml", "--bars", "0"], "[not-whole]"),
        (["add", "recipes/house.yaml", "--lot", "olive oil"], "[usage]"),
        (["add", "recipes/house.yaml", "--lot", "lard=1"], "[not-in-recipe]"),
        (["add", "recipes/none.yaml"], "[no-such-file]"),
        (["add", "recipes/house.yaml", "--id", "First"], "[taken-batch]"),
        (["recall"], "required"),
        (["recall", "--lot", "OL-1", "--batch", "first"], "not allowed"),
        (["recall", "--lot", "OL-9"], "[unknown-lot]"),
        (["recall", "--batch", "frist"], "did you mean 'first'?"),
        (["show", "second"], "[unknown-batch]"),
        (["note", "first"], "says nothing"),
        (["note", "first", "--trace", "4"], "lacks a unit"),
        (["ship", "first", "--bars", "13", "--to", "x"], "[out-of-range]"),
        (["ship", "first", "--bars", "1", "--to", " "], "[usage]"),
        (["lot", "X", "--of", "lard", "--received", "much"], "--received: 'much' is not a figure"),
        (["lot", "X", "--of", "lard", "--received", "0 g"], "[out-of-range]"),
        (["lot", " ", "--of", "lard"], "[usage]"),
        (["lot", "X", "--of", "", "--received", "1 kg"], "[usage]"),
        (["lot", "X", "--of", "lard", "--from", "lard=x"], "[contradiction]"),
        (["tell", "first", "--lot", "olive oil=OL-2"], "[not-in-recipe]"),
        (["tell", "first", "--lot", "coconut oil=C=5 g"], "[usage]"),
        (["tell", "first", "--lot", "lard=C"], "[not-in-recipe]"),
        (["tell", "first"], "required"),
        (["import", "none"], "[no-such-file]"),
        (["import", "recipes/house.yaml"], "[wrong-file]"),
        (["export", "--store", "none.sqlite"], "[no-record]"),
    ],
)
def test_slips_are_told_and_change_nothing(
    words: list[str], told: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Exit 2, words on stderr, nothing on stdout, and the record as it was."""
    assert add("--id", "first", "--bars", "12", "--lot", "olive oil=OL-1") == 0
    before = (bench / RECORD).read_bytes()
    capfd.readouterr()
    try:
        code = main(["batch", *words])
    except SystemExit as end:
        code = int(end.code or 0)
    out, err = capfd.readouterr()
    assert code == 2
    assert told in " ".join(err.split())
    assert out == ""
    assert (bench / RECORD).read_bytes() == before


@pytest.mark.usefixtures("bench")
def test_warnings_follow_what_was_recorded(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A number that is not on the shelf, and a folder of other machines: on stderr, in the data, and the batch is kept."""
    shared = Diagnostic(Code.SHARED_FOLDER, "it is shared")
    monkeypatch.setattr(records, "not_of_this_machine", lambda _: (shared,))
    assert add("--lot", "olive oil=OL-9") == 0
    out, err = capfd.readouterr()
    assert "Recorded: 2026-11-03-1" in out
    assert "warning: lot 'OL-9' of olive oil is not on the shelf" in " ".join(err.split())
    assert "[shared-folder]" in err
    found = data(capfd, "add", "recipes/house.yaml", "--lot", "olive oil=OL-1")
    assert [item["code"] for item in found["warnings"]] == ["shared-folder"]


def test_trials_come_in_and_go_out(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Trials become batches with their readings, once; a file that cannot be read is told; they go out as trials again."""
    main(["trial", "add", "recipes/house.yaml", "--trace", "4 min 30 s", "--unmould", "20 h", "--date", "2026-11-05"])
    main(["trial", "add", "recipes/house.yaml", "--hardness", "41 Shore D", "--ash", "yes", "--note", "cold room"])
    laid(bench, {"trials/003-broken.yaml": "recipe: {fats: {unobtainium: 1 kg}}\nash: no\n"})
    capfd.readouterr()
    assert main(["batch", "import", "trials"]) == 0
    out, err = capfd.readouterr()
    assert out == f"Recorded: 2 trials in {RECORD}\n"
    assert "left out until this is mended" in " ".join(err.split())
    assert main(["batch", "import", "trials"]) == 0
    assert "There already: 001-house-bar, 002-house-bar" in capfd.readouterr().out
    listed = {line.id: line for line in list_batches(bench / RECORD)}
    assert {id_: line.made for id_, line in listed.items()} == {"001-house-bar": "2026-11-05", "002-house-bar": None}
    words = said(capfd, "show", "001-house-bar")
    assert "2026-11-05: trace after 4 min 30 s; unmoulded after 20 h" in words
    words = said(capfd, "export", "--trials", "out")
    assert "barwright trial fit --folder out" in words
    came = [read_trial(path) for path in sorted((bench / "trials").glob("00[12]*"))]
    went = [read_trial(path) for path in sorted((bench / "out").iterdir())]
    assert len(came) == len(went) == 2

    def told(trial: Trial) -> tuple[object, ...]:
        return trial[4:], [(item.name, item.grams) for item in trial.recipe.fats]

    assert sorted(map(str, map(told, went))) == sorted(map(str, map(told, came)))


def test_trials_that_must_not_be_made_or_are_there_hold_nothing_up(
    bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """A lye-heavy trial is told and left out, one that is there is left alone, and the others come in."""
    trial = "recipe: {{fats: {{olive oil: 500 g}}, {}}}\nash: no\n"
    files = {"a": "superfat: 5 %", "b": "alkali: {NaOH: 200 g}, water: 300 g", "c": "superfat: 6 %"}
    laid(bench, {f"trials/{name}.yaml": trial.format(text) for name, text in files.items()})
    assert add("--id", "a") == 0
    found = data(capfd, "import", "trials")
    assert (found["batches"], found["there_already"]) == (["c"], ["a"])
    assert {line.id for line in list_batches(bench / RECORD)} == {"a", "c"}
    assert main(["batch", "import", "trials"]) == 0
    out, err = capfd.readouterr()
    assert "Recorded: 0 trials" in out
    assert "trials/b.yaml is not recorded: LYE-HEAVY" in " ".join(err.split())


def test_a_damaged_record_ends_an_import_at_once(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What is wrong with the record itself is told once, not for every trial."""
    laid(bench, {f"trials/{name}.yaml": "recipe: ../recipes/house.yaml\nash: no\n" for name in "abc"})
    (bench / "records").mkdir()
    (bench / RECORD).write_bytes(b"something else\n" * 500)
    assert main(["batch", "import", "trials"]) == 2
    assert capfd.readouterr().err.count("[bad-record]") == 1


def test_lines_go_out_and_come_in(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What `export` prints `import` reads into a new record, which prints the same."""
    add("--lots-of-shelf", "--draw-down")
    capfd.readouterr()
    assert main(["batch", "export"]) == 0
    lines = capfd.readouterr().out
    (bench / "all.jsonl").write_text(lines, encoding="utf-8")
    assert main(["batch", "import", "all.jsonl", "--store", "new.sqlite"]) == 0
    assert "1 batch, 2 lots and 3 movements of stock in new.sqlite" in capfd.readouterr().out
    assert main(["batch", "export", "--store", "new.sqlite"]) == 0
    assert capfd.readouterr().out == lines
    found = data(capfd, "import", "all.jsonl", "--store", "newer.sqlite")
    assert (found["status"], found["batches"], found["lots"], found["movements"]) == ("imported", 1, 2, 3)


HOSTILE = "\x1b[31mred\x07 \u202eevil\u2066 \x9b2J `id` $(id) 'q' \"q\""


def test_hostile_names_act_on_nothing(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A title, a lot, an id, a note and a customer full of signs that steer a terminal are spelt out wherever they are told."""
    title = json.dumps(HOSTILE)
    (bench / "recipes" / "house.yaml").write_text(RECIPE.replace("House bar", title), encoding="utf-8")
    assert add("--lot", f"olive oil={HOSTILE}", "--id", HOSTILE, "--bars", "9", "--draw-down") == 0
    (line,) = list_batches(bench / RECORD)
    assert main(["batch", "note", line.id, "--note", HOSTILE]) == 0
    assert main(["batch", "ship", line.id, "--bars", "2", "--to", HOSTILE]) == 0
    assert main(["batch", "lot", f"{HOSTILE}2", "--of", HOSTILE, "--from", f"olive oil={HOSTILE}"]) == 0
    for words in (
        *(["list"], ["stock"], ["show", line.id], ["show", line.id, "--recipe"], ["recall", "--lot", HOSTILE]),
        *(["recall", "--batch", line.id], ["show", f"{HOSTILE}x"], ["recall", "--lot", f"{HOSTILE}x"]),
        *(["ship", line.id, "--bars", "99", "--to", HOSTILE], ["export", "--trials", "out"]),
    ):
        main(["batch", *words])
    out, err = capfd.readouterr()
    text = out + err
    assert "\\x1b[31mred" in text
    acting = {mark for mark in text if unicodedata.category(mark) in ("Cc", "Cf") and mark != "\n"}
    assert acting == set()
    assert data(capfd, "recall", "--lot", HOSTILE)["batches"][0]["id"] == line.id


def test_bytes_that_are_no_text_are_spelt_out(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A lot, an id, a note and a customer typed with bytes that are no UTF-8 are kept spelt out, and found again as typed."""
    odd = "\udcff\udc80"
    assert add("--lot", f"olive oil=OL{odd}", "--id", f"KW{odd}", "--lot", "coconut oil=CO-2291") == 0
    assert main(["batch", "note", f"KW{odd}", "--note", odd, "--hardness", f"4 S{odd}"]) == 0
    assert main(["batch", "ship", f"KW{odd}", "--bars", "1", "--to", odd]) == 0
    assert main(["batch", "lot", f"L{odd}", "--of", odd, "--from", f"olive oil=OL{odd}"]) == 0
    capfd.readouterr()
    assert main(["batch", "recall", "--lot", f"OL{odd}"]) == 0
    assert main(["batch", "recall", "--batch", f"KW{odd}"]) == 0
    assert main(["batch", "export"]) == 0
    assert "<U+DCFF>" in capfd.readouterr().out
    assert len(list_batches(bench / RECORD)) == 1


def test_a_piped_recipe_goes_into_the_record_of_this_folder(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What is piped in lies nowhere, so the workspace that one is in is meant."""
    text = RECIPE.replace("../inventory", str(bench / "inventory"))
    done = subprocess.run(
        [sys.executable, "-m", "optimiser", "batch", "add", "/dev/stdin", "--made", "2026-11-03"],
        input=text,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "1 batch" in said(capfd, "list")


@pytest.mark.usefixtures("bench")
@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_runs_over_the_page(
    width: int, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables and sentences keep to the page, long names among them; but for paths, which are never broken, and commands."""
    monkeypatch.setenv("COLUMNS", str(width))
    long = "A very long lot number of a supplier with many words " * 2
    add(
        "--lot", f"olive oil={long.strip()}", "--id", "an id with quite a few words in it", "--draw-down", "--bars", "9"
    )
    main(
        [
            "batch",
            "ship",
            "an id with quite a few words in it",
            "--bars",
            "2",
            "--to",
            "the harbour guest house (invented)",
        ]
    )
    capfd.readouterr()
    for words in (["list"], ["stock"], ["show", "an id with quite a few words in it"], ["recall", "--lot", long]):
        assert main(["batch", *words]) == 0
    lines = capfd.readouterr().out.splitlines()
    assert len(lines) > 30
    assert [line for line in lines if len(line) > width and "barwright batch show" not in line] == []


def test_the_answer_is_told_once_it_is_on_the_disk(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the words are put together the batch can be read by anybody."""
    seen: list[int] = []

    def looked(*_: object, **__: object) -> str:
        other = sqlite3.connect(bench / RECORD)
        seen.append(other.execute("SELECT count(*) FROM batch").fetchone()[0])
        other.close()
        return ""

    monkeypatch.setattr(words_of_records, "added", looked)
    assert add() == 0
    assert seen == [1]


def test_what_is_no_record_is_told_in_plain_words(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A recipe given to `import`: no name of a fault of the language that it is written in."""
    (bench / "recipes").mkdir(exist_ok=True)
    assert main(["batch", "import", "recipes/house.yaml"]) == 2
    told = " ".join(capfd.readouterr().err.split())
    assert "it is no JSON from its place" in told
    assert "Error" not in told

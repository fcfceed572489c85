"""`barwright swap`: exit codes, streams, the file that is kept, both widths, pipes and JSON."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from optimiser.cli.main import main

ROOT = Path(__file__).parents[2]
RECIPE = str(ROOT / "examples" / "recipes" / "all-purpose.yaml")
FEW = "fats:\n" + "".join(
    f"  - {{fat: {name}, price: 3 / kg}}\n"
    for name in ("olive oil", "coconut oil", "palm oil", "castor oil", "shea butter")
)


def data_of(capfd: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict]:  # type: ignore[type-arg]
    """The exit code, and the one JSON document on stdout."""
    code = main(["swap", *arguments, "--json"])
    told = capfd.readouterr()
    return code, json.loads(told.out)


def test_the_data_are_as_agreed(capfd: pytest.CaptureFixture[str]) -> None:
    """Each answer has its label, a blend in the shape of a blend, what changed, alkali, moved, drift and words."""
    code, data = data_of(capfd, RECIPE, "--out", "coconut")
    assert code == 0
    assert data["format"] == "barwright/1"
    assert data["status"] == "swapped"
    assert data["out"] == ["coconut oil"]
    assert "clashes" not in data
    assert len(data["answers"]) >= 4
    for answer in data["answers"]:
        assert {"label", "blend", "changed", "alkali_change_g", "moved", "drift", "says"} <= answer.keys()
        blend = answer["blend"]
        assert {"fats", "alkali", "water", "measures", "cost", "cautions"} <= blend.keys()
        assert sum(line["share"] for line in blend["fats"]) == pytest.approx(100.0)
        assert blend["cautions"]
        old = data["old"]["alkali"]["sodium_hydroxide_g"]
        assert answer["alkali_change_g"] == pytest.approx(blend["alkali"]["sodium_hydroxide_g"] - old, abs=1e-6)
        by_fat = {line["fat"]: line["share"] for line in blend["fats"]}
        assert {item["fat"]: item["to"] for item in answer["changed"]} == pytest.approx(
            {item["fat"]: by_fat.get(item["fat"], 0.0) for item in answer["changed"]}
        )
        assert {"fat": "coconut oil", "from": 25.0, "to": 0.0, "from_g": 250.0, "to_g": 0.0} in answer["changed"]


def test_nothing_that_fits_is_exit_1_with_clashes_and_what_comes_nearest(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Without any lauric oil the lather goes: clashes say why, and the answers are those that miss the least."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text(FEW, encoding="utf-8")
    code, data = data_of(capfd, RECIPE, "--out", "coconut oil", "--shelf", str(shelf))
    assert code == 1
    assert data["status"] == "infeasible"
    assert data["clashes"]
    assert all(any("coconut oil" in member for member in clash) for clash in data["clashes"])
    assert "comes nearest" in {answer["label"] for answer in data["answers"]}
    assert not any(answer["fits"] for answer in data["answers"])
    assert main(["swap", RECIPE, "--out", "coconut oil", "--shelf", str(shelf)]) == 1
    told = capfd.readouterr().out
    assert told.startswith("Without coconut oil no blend of this shelf does all that the old bar did")
    assert "Why nothing fits" in told


@pytest.mark.parametrize("width", [80, 120])
def test_it_fits_the_page_and_tells_alkali_first(
    width: int, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No line is wider than the page; of each answer the alkali stands before the fats; cautions are there; no colour in a pipe."""
    monkeypatch.setenv("COLUMNS", str(width))
    assert main(["swap", RECIPE, "--out", "palm oil"]) == 0
    told = capfd.readouterr().out
    assert max(len(line) for line in told.splitlines() if not line.startswith("  barwright")) <= width
    assert "\x1b" not in told
    answers = [one for one in re.split(r"\n(?=\d\. )", told)[1:] if "The same recipe as" not in one]
    assert len(answers) >= 4
    for answer in answers:
        fats = answer.index("in place of" if "One for one" in answer else "share")
        assert answer.index("Sodium hydroxide") < fats < answer.index("In the bar:")
    assert "Sodium hydroxide burns and blinds" in told
    assert "barwright explain lye" in told
    assert "was 25.0 %" in told


def test_colour_goes_with_no_color(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """The words are the same with NO_COLOR and with --no-color as in a pipe."""
    monkeypatch.setenv("COLUMNS", "100")
    main(["swap", RECIPE, "--out", "palm oil"])
    plain = capfd.readouterr().out
    monkeypatch.setenv("NO_COLOR", "1")
    main(["swap", RECIPE, "--out", "palm oil", "--no-color"])
    assert capfd.readouterr().out == plain


def test_an_answer_is_kept_and_weighs_the_same(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--save 2 writes the second answer, with its warning and its shelf; weigh finds the same alkali."""
    kept = tmp_path / "kept.yaml"
    _, data = data_of(capfd, RECIPE, "--out", "palm oil")
    second = data["answers"][1]["blend"]
    assert main(["swap", RECIPE, "--out", "palm oil", "--save", "2", str(kept)]) == 0
    assert f"Written: {kept}" in capfd.readouterr().err
    text = kept.read_text(encoding="utf-8")
    assert "burn skin and blind" in text
    assert main(["weigh", str(kept), "--json"]) == 0
    weighed = json.loads(capfd.readouterr().out)
    assert weighed["alkali"]["sodium_hydroxide_g"] == second["alkali"]["sodium_hydroxide_g"]
    assert {line["fat"]: line["grams"] for line in weighed["fats"]} == {
        line["fat"]: line["grams"] for line in second["fats"]
    }
    assert main(["swap", RECIPE, "--out", "palm oil", "--save", "1", str(kept)]) == 2
    assert kept.read_text(encoding="utf-8") == text
    assert main(["swap", RECIPE, "--out", "palm oil", "--save", "1", str(kept), "--force"]) == 0
    assert kept.read_text(encoding="utf-8") != text


def test_the_next_step_that_is_told_can_be_pasted(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The command under "Next" keeps the first answer of the very question: with what is kept, and the goals."""
    goals, kept = tmp_path / "my goals.yaml", tmp_path / "kept.yaml"
    goals.write_text("goals: {hardness: {at_least: 50}, superfat: 5 %}\n", encoding="utf-8")
    main(["swap", RECIPE, "--out", "palm oil", "--keep", "castor", "olive oil", "--against", str(goals)])
    (line,) = [one for one in capfd.readouterr().out.splitlines() if one.startswith("  barwright swap")]
    words = [str(kept) if word == "FILE" else word for word in shlex.split(line)[1:]]
    assert main(words) == 0
    assert words[words.index("--keep") + 1 : words.index("--against")] == ["castor oil", "olive oil"]
    assert kept.exists()


def test_a_saved_answer_holds_against_the_goals_it_was_asked_for(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Swap --against, --save of the cheapest, then weigh --against: every goal holds."""
    goals, kept = tmp_path / "goals.yaml", tmp_path / "kept.yaml"
    goals.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n"
        "goals: {hardness: {at_least: 55}, mildness: {at_least: 66}, quick_lather: {at_least: 38}, superfat: 5 %}\n",
        encoding="utf-8",
    )
    code, data = data_of(capfd, RECIPE, "--out", "palm oil", "--against", str(goals))
    assert code == 0
    last = len(data["answers"])
    assert data["answers"][-1]["label"] == "cheapest that keeps the goals"
    arguments = ["swap", RECIPE, "--out", "palm oil", "--against", str(goals), "--save", str(last), str(kept)]
    assert main(arguments) == 0
    assert main(["weigh", str(kept), "--against", str(goals)]) == 0


@pytest.mark.parametrize(
    "arguments",
    [
        ("--out", "plam oil"),
        ("--out", "lard"),
        ("--out", "soy wax"),
        ("--out", "palm", "--keep", "palm oil"),
        ("--out", "palm", "olive", "coconut", "castor"),
        ("--out", "palm", "--save", "one", "kept.yaml"),
        ("--out", "palm", "--save", "99", "kept.yaml"),
        ("--out", "palm", "--against", "nowhere.yaml"),
        ("--out", "palm", "--shelf", "nowhere.yaml"),
    ],
    ids=" ".join,
)
def test_bad_input_is_exit_2_on_stderr(
    arguments: tuple[str, ...], tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is wrong is told on stderr without a traceback, nothing is printed and nothing written."""
    monkeypatch.chdir(tmp_path)
    assert main(["swap", RECIPE, *arguments]) == 2
    told = capfd.readouterr()
    assert told.out == ""
    assert "Traceback" not in told.err
    assert "[" in told.err
    assert list(tmp_path.iterdir()) == []


def test_an_empty_shelf_and_a_missing_out(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A shelf without fats is a fault of the shelf; without --out the usage is told."""
    shelf = tmp_path / "shelf.yaml"
    shelf.write_text("fats: []\n", encoding="utf-8")
    assert main(["swap", RECIPE, "--out", "palm", "--shelf", str(shelf)]) == 2
    assert "no-fats" in capfd.readouterr().err
    with pytest.raises(SystemExit) as left:
        main(["swap", RECIPE])
    assert left.value.code == 2


def test_the_same_question_gives_the_same_bytes(capfd: pytest.CaptureFixture[str]) -> None:
    """Asked twice, text and data are equal to the byte."""
    told = []
    for _ in range(2):
        main(["swap", RECIPE, "--out", "olive", "--json"])
        told.append(capfd.readouterr().out)
    assert told[0] == told[1]


def test_a_fats_card_lists_its_stand_ins(capfd: pytest.CaptureFixture[str]) -> None:
    """In words with what differs, and in JSON as a list; the list of all fats has none of it."""
    assert main(["fats", "coconut"]) == 0
    told = capfd.readouterr().out
    assert "Used in its place" in told
    assert "1. palm kernel oil (hard oil)" in told
    main(["fats", "coconut", "--json"])
    (card,) = json.loads(capfd.readouterr().out)["fats"]
    assert [item["fat"] for item in card["stand_ins"]][:2] == ["palm kernel oil", "babassu oil"]
    main(["fats", "--json"])
    assert all("stand_ins" not in item for item in json.loads(capfd.readouterr().out)["fats"])


def test_goals_near_to_a_recipe_serve_too(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A file that begins from a recipe in hand is read as such, and its cheapest answer is held against it."""
    goals = tmp_path / "near.yaml"
    goals.write_text(
        f"near: {ROOT / 'examples' / 'house-bar.yaml'}\nshelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\n"
        "goals: {hardness: {at_least: 50}}\n",
        encoding="utf-8",
    )
    code, data = data_of(capfd, RECIPE, "--out", "palm oil", "--against", str(goals))
    assert code == 0
    assert data["answers"]


def test_with_milk_alone_the_milk_is_told_and_no_water(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Milk in place of all the water: its grams and how many fewer they are stand beside the alkali, not water of nothing."""
    recipe = tmp_path / "milk.yaml"
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    fats = "fats: {olive oil: 500 g, coconut oil: 300 g, palm oil: 200 g}\n"
    recipe.write_text(f"shelf: {shelf}\n{fats}superfat: 5 %\nliquids: {{goat milk: 100 %}}\n", encoding="utf-8")
    _, data = data_of(capfd, str(recipe), "--out", "coconut oil")
    first = data["answers"][0]["blend"]
    assert main(["swap", str(recipe), "--out", "coconut oil"]) == 0
    text = " ".join(capfd.readouterr().out.split())
    (milk,) = first["liquids"]
    assert f"goat milk {milk['grams']:.1f} g (" in text
    assert "water 0.0 g" not in text


def test_a_clash_says_to_what_each_line_would_give_way(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A goal for the very fat that is out: each line by itself, with all the others kept, and no two ends of one fat in a row."""
    goals = tmp_path / "goals.yaml"
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    goals.write_text(f"shelf: {shelf}\nshares: {{coconut oil: {{at_least: 40 %}}}}\n", encoding="utf-8")
    main(["swap", RECIPE, "--out", "coconut oil", "--against", str(goals)])
    text = " ".join(capfd.readouterr().out.split())
    assert "One of these must give way, as far as this at least" in text
    assert "at best" not in text

"""What looks odd in the files: told, and in nobody's way."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.files.doubts import recipe_warnings, warnings
from optimiser.files.goals import read_goals
from optimiser.files.question import read_question
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic

ROOT = Path(__file__).parents[2]
KITTIWAKE = ROOT / "inventory" / "kittiwake.yaml"
SHELF = """\
currency: EUR
fats:
  - {fat: coconut oil, price: 3.10 / kg}
  - {fat: olive oil, price: 6.90 / kg}
  - {fat: palm oil, price: 1.95 / kg}
  - {fat: our goose fat, like: lard, price: 2.20 / kg}
  - {fat: shea butter, price: 7.60 / g}
additives:
  - {additive: sodium lactate, price: 9.00 / kg}
"""


def of_shelf(folder: Path, *entries: str) -> list[Diagnostic]:
    """The warnings of a shelf with these fats beside three ordinary ones."""
    usual = ("fat: coconut oil, price: 3.10 / kg", "fat: palm oil, price: 2 / kg", "fat: lard, price: 2.50 / kg")
    path = folder / "shelf.yaml"
    path.write_text("fats:\n" + "".join(f"  - {{{entry}}}\n" for entry in (*usual, *entries)), encoding="utf-8")
    return list(warnings(read_shelf(path)))


def of_goals(folder: Path, text: str) -> list[Diagnostic]:
    """The warnings of a goal file by itself."""
    path = folder / "goals.yaml"
    path.write_text(f"{text}\n", encoding="utf-8")
    return list(warnings(None, goals=read_goals(path, KITTIWAKE)))


def test_our_own_files_are_quiet() -> None:
    """Nothing looks odd on the invented shelf, in either form, nor in any of its goal files."""
    for shelf in (KITTIWAKE, KITTIWAKE.with_suffix(".csv")):
        assert warnings(read_shelf(shelf)) == ()
    files = sorted((ROOT / "goals").glob("*.yaml"))
    assert len(files) > 20
    assert {path.name: warnings(None, goals=read_goals(path)) for path in files} == {path.name: () for path in files}


@pytest.mark.parametrize(
    ("price", "hint"),
    [
        ("130 / kg", "point lost or moved"),
        ("310 / kg", "point lost or moved"),
        ("3.10 / g", "a price for a gram"),
        ("0.05 / kg", "point lost or moved"),
        ("0.003 / kg", "a price for a gram"),
    ],
)
def test_a_price_far_from_all_others_is_told(tmp_path: Path, price: str, hint: str) -> None:
    """Beyond forty times the middle price, or below a fortieth of it, with the slip that it looks most like."""
    (found,) = of_shelf(tmp_path, f"fat: olive oil, price: {price}")
    assert found.code == "odd-price"
    assert hint in found.help
    assert "e+" not in found.message
    assert "e-" not in found.message
    assert found.span is not None
    assert found.span.text[found.span.column - 1 : found.span.end_column - 1] == price


@pytest.mark.parametrize("price", ["55 / kg", "0.12 / kg", "0 / kg"])
def test_a_dear_oil_and_a_free_one_are_not_odd(tmp_path: Path, price: str) -> None:
    """Just inside the bounds, and for nothing, a price is let be: what costs nothing is written so on purpose."""
    assert of_shelf(tmp_path, f"fat: olive oil, price: {price}") == []


def test_two_prices_have_no_middle(tmp_path: Path) -> None:
    """With two priced fats nobody can say which of them is odd."""
    path = tmp_path / "shelf.yaml"
    path.write_text("fats: [{fat: lard, price: 2 / kg}, {fat: argan oil, price: 300 / kg}]\n", encoding="utf-8")
    assert warnings(read_shelf(path)) == ()


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ("fat: our fat, like: lard", True),
        ("fat: our fat, like: lard, iodine_value: 60", True),
        ("fat: our fat, like: lard, saponification_value: 196", False),
        ("fat: our fat, like: lard, lot: {saponification_value: 196}", False),
        ("fat: calendula olive infusion, like: olive oil", False),
        ("fat: olive macerate, like: olive oil", False),
        ("fat: calendula infusion, like: olive oil", False),
        ("fat: nettle olive, like: olive oil, tags: [infused]", False),
        ("fat: neem infusion, like: olive oil", True),
        ("fat: olive squeezings, like: olive oil", True),
    ],
)
def test_borrowed_figures_are_told(tmp_path: Path, entry: str, told: bool) -> None:  # noqa: FBT001
    """A fat of one's own without figures for its alkali; not an oil infused with herbs, which is that very oil."""
    found = of_shelf(tmp_path, f"{entry}, price: 4 / kg")
    assert [item.code for item in found] == ["borrowed-figures"] * told


def test_borrowed_figures_say_whose_and_how_sure(tmp_path: Path) -> None:
    """The fat that lends them, the figure and its range are named."""
    (found,) = of_shelf(tmp_path, "fat: our fat, like: beef tallow, price: 4 / kg")
    assert "beef tallow, 196 (taken as 189 to 204)" in found.message
    (wax,) = of_shelf(tmp_path, "fat: our wax, like: beeswax, price: 4 / kg")
    assert "acid value" in wax.message
    assert "acid value" in wax.help


@pytest.mark.parametrize(
    ("tolerance", "told"),
    [("0", True), ("0.05", True), ("0.1", False), ("3", False), ("6", False), ("6.1", True), ("8", True)],
)
def test_a_tolerance_that_says_nothing_is_told(tmp_path: Path, tolerance: str, told: bool) -> None:  # noqa: FBT001
    """Finer than any titration, or as wide as the published range of olive oil (184 to 196), either side."""
    found = of_shelf(
        tmp_path, f"fat: olive oil, price: 4 / kg, lot: {{saponification_value: 191, tolerance: {tolerance}}}"
    )
    assert [item.code for item in found] == ["odd-tolerance"] * told


def test_a_tolerance_that_is_not_told_is_not_odd(tmp_path: Path) -> None:
    """Two where nothing is told is ours to answer for; and of a wax the certificate's figure is not counted."""
    assert of_shelf(tmp_path, "fat: olive oil, price: 4 / kg, lot: {saponification_value: 191}") == []
    assert of_shelf(tmp_path, "fat: beeswax, price: 4 / kg, lot: {saponification_value: 95, tolerance: 0}") == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("additives: {sodium lactate: {at_least: 3.1 %}}", True),
        ("additives: {sodium lactate: 4 %}", True),
        ("additives: {sodium lactate: 3 %}", False),
        ("additives: {sodium lactate: {at_most: 6 %}}", False),
        ("additives: {titanium dioxide: {at_least: 1 %}}", False),
    ],
)
def test_more_of_an_additive_than_is_usual_is_told(tmp_path: Path, text: str, told: bool) -> None:  # noqa: FBT001
    """What is asked for beyond the usual most of the reference table; a limit above it asks for nothing."""
    found = of_goals(tmp_path, text)
    assert [item.code for item in found] == ["above-usual"] * told
    assert all(item.span is not None and item.span.line == 1 and "3 % of the fats" in item.message for item in found)


def test_a_mass_in_a_warning_has_sensible_digits(tmp_path: Path) -> None:
    """Three ounces of a clay are 85 g in a warning, and not a dozen digits of them."""
    path = tmp_path / "recipe.yaml"
    path.write_text("fats: {olive oil: 32 oz}\nsuperfat: 5 %\nadditives: {kaolin: 3.1 oz}\n", encoding="utf-8")
    (found,) = recipe_warnings(read_recipe(path))
    assert found.message.startswith("87.9 g of kaolin are 9.69 % of the fats")


@pytest.mark.parametrize(
    ("entry", "help_"),
    [
        ("fat: mystery butter, saponification_value: 186", "write 'like:' with the fat that comes nearest to it"),
        (
            "fat: coconnut oil, lot: {saponification_value: 256}",
            "did you mean 'coconut oil'? If it is another, write 'like:'",
        ),
    ],
)
def test_a_fat_of_a_single_figure_is_told(tmp_path: Path, entry: str, help_: str) -> None:
    """Its measures are not known; and a slip in a name that a figure stands beside is not taken for a new fat unasked."""
    (found,) = of_shelf(tmp_path, f"{entry}, price: 4 / kg")
    assert found.code == "measures-unknown"
    assert found.help.startswith(help_)
    (told,) = of_shelf(tmp_path, "fat: candle wax, lot: {saponification_value: 190}, price: 4 / kg")
    assert told.code == "measures-unknown"


# -- on the command line ---------------------------------------------------------------------------------------


@pytest.fixture
def workshop(tmp_path: Path) -> Path:
    """A folder with goals, a recipe and a shelf that have something odd in them."""
    (tmp_path / "inventory").mkdir()
    (tmp_path / "inventory" / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("practice: off\nadditives:\n  sodium lactate: 4 %\n", encoding="utf-8")
    (tmp_path / "never.yaml").write_text("goals: {cost: {at_most: 0.10 / kg}}\n", encoding="utf-8")
    (tmp_path / "recipe.yaml").write_text(
        "fats: {our goose fat: 500 g}\nsuperfat: 5 %\nadditives: {sodium lactate: 20 g}\n", encoding="utf-8"
    )
    return tmp_path


@pytest.mark.parametrize(
    ("command", "code", "warned"),
    [
        (["blend", "bar.yaml"], 0, ["above-usual", "borrowed-figures", "odd-price"]),
        (["feasible", "bar.yaml"], 0, ["above-usual", "borrowed-figures", "odd-price"]),
        (["reach", "bar.yaml"], 0, ["above-usual", "borrowed-figures", "odd-price"]),
        (["weigh", "recipe.yaml"], 0, ["above-usual", "borrowed-figures", "odd-price"]),
        (
            ["weigh", "recipe.yaml", "--against", "bar.yaml"],
            0,
            ["above-usual", "above-usual", "borrowed-figures", "odd-price"],
        ),
        (["blend", "never.yaml"], 1, ["borrowed-figures", "odd-price"]),
        (["feasible", "never.yaml"], 1, ["borrowed-figures", "odd-price"]),
        (["reach", "never.yaml"], 1, ["borrowed-figures", "odd-price"]),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else None,
)
def test_every_command_on_files_warns_and_answers(
    workshop: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    command: list[str],
    code: int,
    warned: list[str],
) -> None:
    """The answer stands on stdout with its own exit code; the warnings follow on stderr, and in the document as faults do."""
    monkeypatch.chdir(workshop)
    status = main(command)
    told = capsys.readouterr()
    assert (status == code) or (command[-1] == "bar.yaml" and command[0] == "weigh" and status == 1)
    assert told.out.strip()
    others = 0 if command[0] == "weigh" else 1  # the goose fat is in the recipe, and nothing names it in the goals
    assert told.err.count("warning: ") == len(warned) - others
    assert told.err.count("1 more fat of the shelf") == others
    assert "fault" not in told.err
    assert f"{len(warned) - others} warning" in told.err
    main([*command, "--json"])
    document = json.loads(capsys.readouterr().out)
    assert [item["code"] for item in document["warnings"]] == warned
    assert list(document)[-1] == "warnings"
    for item in document["warnings"]:
        assert set(item) == {"code", "message", "help", "file", "line", "column"}
        assert item["line"] >= 1
        assert item["column"] >= 1


def test_quiet_files_bring_no_warnings(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing is odd, the document has no such key and stderr is empty."""
    monkeypatch.chdir(ROOT)
    for command in ("blend", "feasible"):
        assert main([command, "goals/everyday.yaml", "--json"]) == 0
        told = capsys.readouterr()
        assert "warnings" not in json.loads(told.out)
        assert told.err == ""


def test_faults_come_before_warnings(
    workshop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """While a file is faulty, only its faults are told: there is no answer that a warning could stand beside."""
    monkeypatch.chdir(workshop)
    (workshop / "bar.yaml").write_text("goals: {hardnes: 60}\n", encoding="utf-8")
    assert main(["blend", "bar.yaml"]) == 2
    assert "warning" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("price", "hint"), [("600 / kg", "decimal point"), ("690 / kg", "decimal point"), ("2500 / kg", "for a gram")]
)
def test_the_nearer_slip_is_guessed(tmp_path: Path, price: str, hint: str) -> None:
    """240 times the middle price is nearer to a hundred than to a thousand times, as slips go."""
    (found,) = of_shelf(tmp_path, f"fat: olive oil, price: {price}")
    assert found.code == "odd-price"
    assert hint in found.help


def test_an_alkali_far_dearer_than_fats_is_told(tmp_path: Path) -> None:
    """240 a kilo for 2.40 is a lost point too; one at an ordinary price is not told."""
    for price, told in (("2.40", []), ("240", ["odd-price"])):
        path = tmp_path / "shelf.yaml"
        path.write_text(
            "fats: [{fat: lard, price: 2 / kg}, {fat: palm oil, price: 2 / kg}, {fat: coconut oil, price: 3 / kg}]\n"
            f"alkalis: {{caustic soda: {{price: {price} / kg}}}}\n",
            encoding="utf-8",
        )
        assert [item.code for item in warnings(read_shelf(path))] == told


def test_who_changed_the_rule_means_it(tmp_path: Path) -> None:
    """Where the house has a rule the warning says how to say that more is meant; with that line there is no warning."""
    wish = "additives: {sodium lactate: {at_least: 6 %}}"
    (found,) = of_goals(tmp_path, wish)
    line = found.help.rpartition("say so: ")[2]
    assert line == "practice: {sodium lactate: 6 %}"
    assert of_goals(tmp_path, f"{wish}\n{line}") == []
    (other,) = of_goals(tmp_path, f"{wish}\npractice: off")
    assert other.help.endswith("let it stand")


@pytest.mark.parametrize(
    ("text", "is_odd"),
    [
        ("batch: {fats: 2 kg}\nadditives: {mica: 120 g}", True),
        ("batch: {fats: 2 kg}\nadditives: {mica: 40 g}", False),
        ("additives: {essential oil: 300 g / kg}", True),
        ("additives: {essential oil: 1 oz / kg}", False),
        ("batch: {bars: 12}\nadditives: {mica: 120 g}", False),  # told of the blend: nobody knows the fats yet
        ("additives: {lavender scent: {at_least: 3.5 %}}", True),
    ],
)
def test_masses_above_what_is_usual_are_odd_too(tmp_path: Path, text: str, is_odd: bool) -> None:  # noqa: FBT001
    """Grams are held against the usual most where the fats of the batch are told."""
    path = tmp_path / "goals.yaml"
    path.write_text(f"shelf: {KITTIWAKE}\n{text}\n", encoding="utf-8")
    found = [item for item in read_question(path).warnings if item.code == "above-usual"]
    assert bool(found) is is_odd


@pytest.mark.parametrize(("salt", "warned"), [(10, True), (25, False), (60, False), (120, True)])
def test_salt_enough_for_a_salt_bar_is_meant(tmp_path: Path, salt: int, warned: bool) -> None:  # noqa: FBT001
    """What is told and cut as a salt bar is not asked after as too much salt; more salt than fats is."""
    path = tmp_path / "recipe.yaml"
    path.write_text(f"fats: {{coconut oil: 500 g}}\nsuperfat: 15 %\nadditives: {{salt: {salt} %}}\n", encoding="utf-8")
    codes = {warning.code for warning in recipe_warnings(read_recipe(path))}
    assert (Code.ABOVE_USUAL in codes) is warned

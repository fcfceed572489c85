"""What is wrong with all the files of an answer is told in one round, and by every command alike."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from benches import laid
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import examples

from optimiser.answers.blend import answer, feasibility
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic, Together

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
BAD_SHELF = "fats:\n  - {fat: olive oill, price: 3 / kg}\n"
BAD_GOALS = "goals: {hardnes: {at_least: 40}}\n"
BAD_SCALES = "trace: soon\n"
BAD_RECIPE = "fats: {lardd: 1 kg}\nsuperfat: 5 %\n"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A workshop in which nothing is right."""
    goals = {"goals/bar.yaml": BAD_GOALS, "goals/recipe.yaml": BAD_RECIPE}
    return laid(tmp_path, {**goals, "inventory/shelf.yaml": BAD_SHELF, "trials/scales.yaml": BAD_SCALES})


def told(capfd: pytest.CaptureFixture[str]) -> list[str]:
    """The names of the files that faults are told of, in order."""
    faults = json.loads(capfd.readouterr().out)["faults"]
    assert len({json.dumps(item) for item in faults}) == len(faults)
    return [Path(item["file"]).name for item in faults]


@pytest.mark.parametrize("command", ["blend", "feasible", "reach"])
@pytest.mark.parametrize("named", ["", "shelf: ../inventory/shelf.yaml\n"])
def test_goals_shelf_and_scales_are_told_together(
    command: str, named: str, bench: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """One fault of each file, the goals first, whether they name the shelf or it is the nearest."""
    goals = bench / "goals" / "bar.yaml"
    goals.write_text(named + BAD_GOALS, encoding="utf-8")
    assert main([command, str(goals), "--json"]) == 2
    assert told(capfd) == ["bar.yaml", "shelf.yaml", "scales.yaml"]
    goals.write_text(named + "goals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    assert main([command, str(goals), "--json"]) == 2
    assert told(capfd) == ["shelf.yaml", "scales.yaml"]


def test_a_shelf_that_is_not_there_is_told_beside_the_goals(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The line that names it is shown; where the goals cannot be read, or are another file, no shelf is guessed at."""
    goals = bench / "goals" / "bar.yaml"
    goals.write_text(f"shelf: nowhere.yaml\n{BAD_GOALS}", encoding="utf-8")
    assert main(["blend", str(goals), "--json"]) == 2
    assert told(capfd) == ["bar.yaml", "bar.yaml", "scales.yaml"]
    for text in ("goals: [", "fats: {lard: 1 kg}\nshelf: nowhere.yaml\n"):
        goals.write_text(text, encoding="utf-8")
        assert main(["blend", str(goals), "--json"]) == 2
        assert told(capfd) == ["bar.yaml", "scales.yaml"]


def test_a_recipe_its_goals_and_its_shelf_are_told_together(bench: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The same for a recipe in hand that is held against goals."""
    recipe, goals = bench / "goals" / "recipe.yaml", bench / "goals" / "bar.yaml"
    shelf = ["--shelf", str(bench / "inventory" / "shelf.yaml")]
    assert main(["weigh", str(recipe), "--against", str(goals), *shelf, "--json"]) == 2
    assert told(capfd) == ["recipe.yaml", "bar.yaml", "shelf.yaml", "scales.yaml"]


def test_a_warning_of_danger_waits_for_no_scales(bench: Path) -> None:
    """A recipe that is lye-heavy is told so even where the maker's own scales are faulty."""
    recipe = bench / "goals" / "recipe.yaml"
    recipe.write_text("fats: {lard: 1 kg}\nalkali: {NaOH: 200 g}\nwater: 300 g\n", encoding="utf-8")
    assert "LYE-HEAVY" in weigh(recipe).cautions[0]


@pytest.mark.parametrize(
    "batch", ["fats: {mass:g} g, scale: 1 g", "fats: {mass:g} g, scale: 0.5 g", "fats: {mass:g} g"]
)
@settings(max_examples=examples(8))
@given(mass=st.floats(0.5, 120.0), least=st.sampled_from([10, 30, 50]))
def test_feasible_and_blend_agree_on_a_coarse_balance(
    tmp_path_factory: pytest.TempPathFactory, batch: str, mass: float, least: int
) -> None:
    """Where the balance cannot weigh the blend out, both say so, in the same words and at the same place."""
    goals = tmp_path_factory.mktemp("coarse") / "bar.yaml"
    text = f"shelf: {SHELF}\nbatch: {{{batch.format(mass=mass)}}}\ngoals: {{hardness: {{at_least: {least}}}}}\n"
    goals.write_text(text, encoding="utf-8")
    said: list[tuple[Diagnostic, ...]] = []
    for ask in (answer, feasibility):
        try:
            ask(goals)
        except BadInput as bad:
            said.append(bad.diagnostics)
        else:
            said.append(())
    assert said[0] == said[1]


@pytest.mark.parametrize(("lines", "at"), [("  fats: 10 g\n  scale: 1 g\n", 4), ("  scale: 1 g\n  fats: 10 g\n", 3)])
def test_a_coarse_balance_is_told_where_it_is_written(lines: str, at: int, tmp_path: Path) -> None:
    """The fault is at the line of the scale, wherever that stands in the batch."""
    goals = tmp_path / "bar.yaml"
    goals.write_text(f"shelf: {SHELF}\nbatch:\n{lines}goals: {{hardness: {{at_least: 40}}}}\n", encoding="utf-8")
    for ask in (answer, feasibility):
        with pytest.raises(BadInput) as caught:
            ask(goals)
        (fault,) = caught.value.diagnostics
        assert fault.span is not None
        assert (fault.code, fault.span.line, fault.span.text.strip()) == ("coarse-balance", at, "scale: 1 g")


def test_faults_are_gathered_once() -> None:
    """What two readers find alike is told once; other errors pass, and nothing found raises nothing."""
    one, other = Diagnostic(Code.USAGE, "one"), Diagnostic(Code.FOLDER, "other")
    faults = Together()
    faults.settle()
    for found in ([one], [one, other]):
        with faults:
            raise BadInput(found)
    with pytest.raises(BadInput) as caught:
        faults.settle()
    assert caught.value.diagnostics == (one, other)
    with pytest.raises(KeyError), faults:
        raise KeyError

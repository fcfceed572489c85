"""The programme as an LP file: two other readers find in it what was meant, digit for digit, and the optimum told."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import warnings
from dataclasses import replace
from pathlib import Path
from typing import Any

import highspy
import numpy as np
import pulp
import pytest
from hypothesis import assume, given, settings
from reading import read
from statements import by_highs, everything
from workshops import Workshop, workshops

from optimiser.answers.blend import Answered, answered
from optimiser.answers.lp_file import lp_lines, lp_of, number
from optimiser.cli.main import main
from optimiser.files import writing
from optimiser.files.question import read_question
from optimiser.model.labels import column_labels, row_labels
from optimiser.model.programme import build
from optimiser.problem.question import Question
from optimiser.solve.loading import fresh, load
from optimiser.solve.outcomes import SolverFault
from optimiser.solve.stating import statement
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

ROOT = Path(__file__).parents[2]
BUDGET, CANNOT = str(ROOT / "goals" / "budget.yaml"), str(ROOT / "goals" / "cannot-be.yaml")
SOME = ("budget", "everyday", "palm-free-vegetable", "design-stamped", "cannot-be", "cannot-be-three")
LONGEST = 560  # bytes of a line in the CPLEX LP format (from memory)
CLOSE = 1e-6  # what a solver's own tolerances leave of a value of nothing


def read_back(text: str, folder: Path) -> highspy.Highs:
    """The model that HiGHS reads in a text, with our own settings."""
    path = folder / "read.lp"
    path.write_text(text, encoding="utf-8")
    model = fresh(mixed=False)
    assert model.readModel(str(path)) == highspy.HighsStatus.kOk
    return model


def by_cbc(path: Path) -> tuple[str, float]:
    """What CBC (COIN-OR) comes to by its own reader: a word, and the value."""
    solution = path.with_suffix(".sol")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        program = pulp.PULP_CBC_CMD(msg=0).path
    command = [program, str(path), "-solve", "-solution", str(solution)]
    subprocess.run(command, capture_output=True, check=True)
    found = re.match(r"(\w+) - objective value (\S+)", solution.read_text(encoding="utf-8"))
    assert found is not None
    return found[1], float(found[2])


def assert_read_as_meant(found: Answered, folder: Path) -> highspy.Highs:
    """HiGHS reads names, bounds, costs, entries and whole columns just as it was handed them, and finds what is told."""
    made, ratio = found.programme, found.ratio
    model = read_back(lp_of(made, ratio, found.story), folder)
    assert tuple(model.getLp().col_names_) == column_labels(made)
    assert tuple(model.getLp().row_names_) == row_labels(made)
    meant = made if ratio is None else replace(made, money=made.money - ratio * made.cured)
    assert by_highs(model, made) == by_highs(load(meant), made)
    model.run()
    if ratio is None:
        assert model.getModelStatus() == highspy.HighsModelStatus.kInfeasible
    else:
        assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
        assert model.getInfo().objective_function_value == pytest.approx(0.0, abs=CLOSE)
    return model


@pytest.mark.long
@pytest.mark.parametrize("name", SOME)
def test_what_is_written_is_read_as_it_was_meant(name: str, tmp_path: Path) -> None:
    """Linear, counted, with preferences, with additives, with no blend: HiGHS and CBC read the file and find what it says."""
    found = answered(read_question(ROOT / "goals" / f"{name}.yaml"))
    assert_read_as_meant(found, tmp_path)
    word, least = by_cbc(tmp_path / "read.lp")
    assert word == ("Infeasible" if found.ratio is None else "Optimal")
    if found.ratio is not None:
        assert least == pytest.approx(0.0, abs=CLOSE)


@pytest.mark.long
@settings(max_examples=20, deadline=None)
@given(workshops())
def test_random_workshops_are_read_as_they_were_meant(tmp_path_factory: pytest.TempPathFactory, shop: Workshop) -> None:
    """Random goal files too, whatever sections they have."""
    folder = tmp_path_factory.mktemp("shop")
    found = answered(Question(*shop.read(folder)))
    held = found.programme.is_mixed_integer and found.programme.soft
    assume(not held)  # a preference is held with a hair of room, which a search among whole numbers may not see
    assert_read_as_meant(found, folder)


def test_a_ratio_a_hair_lower_leaves_nothing_at_nothing(tmp_path: Path) -> None:
    """The least value is 0 at the ratio told and at no other: written for one part in a thousand more it is below 0."""
    found = answered(read_question(Path(BUDGET)))
    assert found.ratio is not None
    for part, sign in ((1.001, -1.0), (0.999, 1.0)):
        model = read_back(lp_of(found.programme, part * found.ratio, found.story), tmp_path)
        model.run()
        assert sign * model.getInfo().objective_function_value > 1e-4


def test_preferences_stand_where_they_were_held(tmp_path: Path) -> None:
    """The rows of a preference that cannot be met in full stand at what could be had, and the shortfall is held at 0."""
    goals = tmp_path / "goals.yaml"
    goals.write_text(
        f"shelf: {ROOT / 'inventory' / 'kittiwake.yaml'}\nshares: {{olive oil: {{at_most: 40 %}}}}\n"
        "prefer: [{olive oil: {at_least: 60 %}}]\n",
        encoding="utf-8",
    )
    lp = tmp_path / "held.lp"
    assert main(["blend", str(goals), "--lp", str(lp)]) == 0
    model = read_back(lp.read_text(encoding="utf-8"), tmp_path)
    rows = list(model.getLp().row_names_)
    place = next(at for at, name in enumerate(rows) if name.startswith("prefer.0."))
    assert model.getLp().row_lower_[place] == pytest.approx(40.0, abs=1e-5)
    short = next(at for at, name in enumerate(model.getLp().col_names_) if name.startswith("short."))
    assert model.getLp().col_upper_[short] == 0.0
    assert "Preferences are written as the answer meets them" in lp.read_text(encoding="utf-8")


def test_numbers_are_read_back_as_they_are() -> None:
    """Every float is written in digits that stand for it alone, and a negative nothing as nothing."""
    rng = np.random.default_rng(3)
    for value in [*rng.normal(size=300).tolist(), 1e-300, 1e22, 123456789012345680.0, 0.1 + 0.2, 1.0, -5.0]:
        assert float(number(value)) == value
    assert number(-0.0) == "0"
    assert number(3.0) == "3"


def test_a_row_of_nothing_is_a_row(tmp_path: Path) -> None:
    """A row without an entry keeps its limit, so that what cannot be met stays so."""
    made = everything()
    matrix = made.matrix.copy()
    matrix[-1] = 0.0
    empty = replace(made, matrix=matrix)
    lines = list(lp_lines(statement(empty), "", {}))
    assert lines[lines.index(f" {row_labels(empty)[-1]}:") + 1] == f"  + 0 {column_labels(empty)[0]}"
    model = read_back("".join(f"{line}\n" for line in lines), tmp_path)
    assert by_highs(model, empty) == by_highs(load(empty), empty)


@pytest.mark.parametrize(
    "name", ["a" * 700, "x\\ny", "End", "é" * 300, "\N{COMBINING ACUTE ACCENT}" * 700, "<= 3 \\ >="]
)
def test_no_name_gets_out_of_its_comment(name: str, tmp_path: Path) -> None:
    """Whatever a title, a path or a wish is made of, the comments stay comments and the programme is the same."""
    found = answered(read_question(Path(BUDGET)))
    rows = tuple(
        row._replace(said=row.said._replace(subject=f"{name}\n{row.said.subject}"), why=f"{name} End\nEnd")
        for row in found.programme.rows
    )
    odd = found.story._replace(goal_file=f"{name}\nEnd", shelf_title=name, currency=f"{name}\nSubject To")
    assert_read_as_meant(Answered(odd, replace(found.programme, rows=rows), found.ratio), tmp_path)
    assert max(map(len, (tmp_path / "read.lp").read_bytes().splitlines())) <= LONGEST


# -- the command ---------------------------------------------------------------------------------------------------


def comments(path: Path) -> str:
    """What the file says for people, on one line."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return " ".join(line.removeprefix("\\ ") for line in lines if line.startswith("\\"))


def test_the_file_says_what_it_is(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Its head names goal file, shelf, units, what is minimised at which ratio, what must be found, and the caution."""
    path = tmp_path / "budget.lp"
    assert main(["blend", BUDGET, "--lp", str(path), "--json"]) == 0
    out, err = capfd.readouterr()
    assert err == f"Written: {path}\n"
    told = comments(path)
    for words in (BUDGET, "Kittiwake", "kg per kg of fats", "N - r M", "least value of 0", "safety data sheet", "EUR"):
        assert words in told
    ratio = re.search(r"r = (\S+) EUR per kg", told)
    assert ratio is not None
    assert float(ratio[1]) == pytest.approx(json.loads(out)["certificate"]["cheapest_possible_per_kg"], rel=1e-6)
    found = build(*read(Path(BUDGET)))
    assert sum(f"; budget.yaml:{row.span.line}; " in told for row in found.rows if row.span) >= 5
    assert "budget-recipe.yaml" not in err


def test_what_has_no_blend_is_written_too(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Exit 1, no recipe, and the programme with the words that it must be found infeasible."""
    lp = tmp_path / "cannot.lp"
    assert main(["blend", CANNOT, "--lp", str(lp), "--save", str(tmp_path / "recipe.yaml")]) == 1
    assert capfd.readouterr().err == f"Written: {lp}\n"
    assert [path.name for path in tmp_path.iterdir()] == ["cannot.lp"]
    assert "that the programme is infeasible" in comments(lp)


def test_nothing_is_overwritten_unasked(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A file that is there stays without --force, and with it what an answer is worked out from stays too."""
    lp = tmp_path / "budget.lp"
    lp.write_text("mine\n", encoding="utf-8")
    assert main(["blend", BUDGET, "--lp", str(lp)]) == 2
    assert "--force" in capfd.readouterr().err
    assert lp.read_text(encoding="utf-8") == "mine\n"
    assert main(["blend", BUDGET, "--lp", str(lp), "--force"]) == 0
    assert lp.read_text(encoding="utf-8").endswith("\nEnd\n")
    goals, shelf = tmp_path / "goals.yaml", tmp_path / "shelf.yaml"
    shelf.write_text((ROOT / "inventory" / "kittiwake.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    goals.write_text("shelf: shelf.yaml\ngoals: {hardness: {at_least: 40}}\n", encoding="utf-8")
    for kept in (goals, shelf):
        before = kept.read_bytes()
        assert main(["blend", str(goals), "--lp", str(kept), "--force"]) == 2
        assert "never written over" in " ".join(capfd.readouterr().err.split())
        assert kept.read_bytes() == before


def test_two_files_are_two(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--save and --lp may not name one file, by whatever path; each with its own, both are written."""
    one, detour = tmp_path / "one", tmp_path / ".." / tmp_path.name / "one"
    assert main(["blend", BUDGET, "--save", str(one), "--lp", str(detour), "--force"]) == 2
    assert "both name" in " ".join(capfd.readouterr().err.split())
    assert not one.exists()
    assert main(["blend", BUDGET, "--save", str(one), "--lp", str(tmp_path / "two")]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {"one", "two"}
    assert capfd.readouterr().err == f"Written: {one}\nWritten: {tmp_path / 'two'}\n"


def test_where_anything_fails_nothing_is_written(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A goal file at fault, a folder that is not there, --watch, a programme that cannot be stated: no file, exit 2 or 3."""
    lp, save = tmp_path / "b.lp", tmp_path / "r.yaml"
    bad = tmp_path / "goals.yaml"
    bad.write_text("goals: {hardnes: 3}\n", encoding="utf-8")
    assert main(["blend", str(bad), "--lp", str(lp)]) == 2
    assert main(["blend", BUDGET, "--save", str(save), "--lp", str(tmp_path / "no" / "b.lp")]) == 2
    assert main(["blend", BUDGET, "--watch", "--lp", str(lp)]) == 2
    assert "leave out --lp" in capfd.readouterr().err

    def cannot(*_: object) -> str:
        raise SolverFault("a row with two limits")

    monkeypatch.setattr("optimiser.answers.lp_file.lp_of", cannot)
    assert main(["blend", BUDGET, "--save", str(save), "--lp", str(lp)]) == 3
    assert "Written" not in capfd.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["goals.yaml"]


def test_both_files_or_neither(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the second cannot be written the first goes again if it was not there before, and stays if it was."""
    honest = writing.write

    def full(path: Path, text: str, **how: Any) -> None:
        if path.suffix == ".lp":
            raise BadInput([Diagnostic(Code.CANNOT_WRITE, "the disk is full")])
        honest(path, text, **how)

    monkeypatch.setattr(writing, "write", full)
    save, lp = tmp_path / "r.yaml", tmp_path / "b.lp"
    assert main(["blend", BUDGET, "--save", str(save), "--lp", str(lp)]) == 2
    assert list(tmp_path.iterdir()) == []
    save.write_text("mine\n", encoding="utf-8")
    assert main(["blend", BUDGET, "--save", str(save), "--lp", str(lp), "--force"]) == 2
    assert list(tmp_path.iterdir()) == [save]


def test_answers_load_no_pulp_until_it_is_asked_for() -> None:
    """A blend without --lp never imports PuLP, which takes longer to load than the blend to find."""
    code = f"import sys\nfrom optimiser.cli.main import main\nmain(['blend', {BUDGET!r}, '--json'])\nprint('pulp' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.endswith("}\nFalse\n")

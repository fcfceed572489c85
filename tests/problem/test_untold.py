"""A fat of which a saponification value alone is known: where it may be used, and what is told of a bar with it."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from optimiser.answers.blend import answer, answer_for
from optimiser.answers.reach import reach
from optimiser.answers.reach_results import Reach
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.weigh import weigh
from optimiser.files.question import read_question
from optimiser.files.shelf.shelf import read_shelf
from optimiser.materials.composition import Figure
from optimiser.materials.fat import of_saponification_alone
from optimiser.measures.quantities import quantities
from optimiser.problem.asking import at_least, at_most, goals_of
from optimiser.problem.untold import barrier, in_play, needed
from optimiser.report.json import documents
from optimiser.report.json.writing import to_json
from optimiser.report.terminal import text
from optimiser.text.diagnostics import BadInput

SHELF = """\
fats:
  - {fat: mystery butter, saponification_value: 186, price: 0.10 / kg}
  - {fat: olive oil, price: 6 / kg}
  - {fat: coconut oil, price: 3 / kg}
  - {fat: lard, price: 2.40 / kg}
alkalis: {sodium hydroxide: {price: 2 / kg, purity: 98 %}}
"""
MYSTERY = of_saponification_alone("mystery butter", Figure(186, 180, 192))


def written(folder: Path, name: str, words: str) -> Path:
    """A file beside the shelf, naming it."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    path = folder / name
    path.write_text(f"shelf: shelf.yaml\n{words}\n", encoding="utf-8")
    return path


def test_house_practice_leaves_it_out_and_says_so(tmp_path: Path) -> None:
    """The cheapest fat of all is in no blend that must be hard and mild; a warning says by which wish."""
    found = answer(written(tmp_path, "goals.yaml", "title: a bar"))
    assert isinstance(found, Blend)
    assert "mystery butter" not in {line.fat for line in found.fats} | {line.fat for line in found.unused}
    (odd,) = found.warnings
    assert odd.code == "measures-unknown"
    assert "house practice: hardness at least 50" in odd.message
    assert all(math.isfinite(line.value) for line in found.measures)


def test_it_is_used_where_no_wish_needs_what_is_not_known(tmp_path: Path) -> None:
    """Without rules on measures it is a fat like any other: its alkali is weighed out, and no measure is told."""
    found = answer(written(tmp_path, "goals.yaml", "practice: off\nshares: {mystery butter: 30 %, lard: 70 %}"))
    assert isinstance(found, Blend)
    assert {line.fat: round(line.share) for line in found.fats} == {"mystery butter": 30, "lard": 70}
    demand = 0.3 * 186 + 0.7 * read_shelf(tmp_path / "shelf.yaml").fats[3].fat.saponification.value
    assert found.alkali.sodium_hydroxide_pure == pytest.approx(0.95 * demand / 56.106 * 39.997, rel=1e-6)
    data = json.loads(to_json(documents.blend(found)))
    assert {measure["value"] for measure in data["measures"].values()} == {None}
    assert data["figures"]["iodine_value"] is None
    assert data["figures"]["saponification_value"] == pytest.approx(demand)
    assert data["ash"] is None
    words = text.blend(found, width=80)
    assert "nan" not in words
    assert "a saponification value alone is known" in words


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("shares: {mystery butter: 10 %}", "house practice: hardness at least 50 (nor "),
        ("shares: {mystery butter: {at_least: 1 %}}\ngoals: {scum: {at_most: 80}}\npractice: off", "scum at most 80"),
        ("shares: {mystery butter: 10 %}\nfree_from: [palm]\npractice: off", "free from palm"),
        ("shares: {mystery butter: 10 %, hard oils: {at_most: 90 %}}\npractice: off", "hard oils at most 90 %"),
        (
            "shares: {mystery butter: 10 %}\nprefer: [{iodine value: {at_most: 60}}]\npractice: off",
            "iodine value at most 60",
        ),
        ("shares: {mystery butter: 10 %}\npractice: off\ndesign: fine swirl", "design fine swirl: "),
    ],
)
def test_asked_for_by_name_it_is_a_fault_at_that_line(tmp_path: Path, words: str, first: str) -> None:
    """Nobody can say whether the other wishes hold with it, so the first of them is named where the fat is asked for."""
    path = written(tmp_path, "goals.yaml", words)
    with pytest.raises(BadInput) as caught:
        answer(path)
    (found,) = caught.value.diagnostics
    assert found.code == "untold-fat"
    assert first in found.message
    assert found.span is not None
    assert found.span.text.startswith("shares: {mystery butter")
    assert "practice: off" in found.help


@pytest.mark.parametrize("side", ["{at_most: 10 %}", "0 %"])
def test_a_limit_that_leaving_it_out_keeps_is_no_fault(tmp_path: Path, side: str) -> None:
    """No more than so much of it holds with none of it."""
    found = answer(written(tmp_path, "goals.yaml", f"shares: {{mystery butter: {side}}}"))
    assert isinstance(found, Blend)
    (line,) = [line for line in found.goals if line.figure == "mystery butter"]
    assert (line.value, line.holds_when_weighed) == (0.0, True)


def test_a_shelf_of_nothing_else_is_a_fault(tmp_path: Path) -> None:
    """Where every fat is left out there is nothing to make soap of, and the shelf says which fat it is."""
    path = written(tmp_path, "goals.yaml", "title: a bar")
    (tmp_path / "shelf.yaml").write_text("\n".join(SHELF.split("\n")[:2]) + "\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_question(path)
    (found,) = caught.value.diagnostics
    assert found.code == "untold-fat"
    assert found.span is not None
    assert found.span.file.endswith("shelf.yaml")


def test_from_python_it_is_left_out_and_refused_too(tmp_path: Path) -> None:
    """Goals made without a file meet the same shelf in the same way."""
    written(tmp_path, "goals.yaml", "")
    shelf = read_shelf(tmp_path / "shelf.yaml")
    found = answer_for(goals_of(at_least("hardness", 40)), shelf)
    assert isinstance(found, Blend)
    assert "mystery butter" not in {line.fat for line in found.fats}
    free = answer_for(goals_of(at_most("superfat", 8), practice=False), shelf)
    assert isinstance(free, Blend)
    assert {line.fat for line in free.fats} == {"mystery butter"}
    none = answer_for(goals_of(at_least("hardness", 99), at_most("hardness", 99.5)), shelf)
    assert isinstance(none, NoBlend)


def test_the_room_of_measures_is_not_told_with_it(tmp_path: Path) -> None:
    """Reach leaves out the figures that nobody can know, and tells the rest."""
    found = reach(written(tmp_path, "goals.yaml", "practice: off\nshares: {mystery butter: 10 %}"))
    assert isinstance(found, Reach)
    assert {"superfat", "cost", "mystery butter"} <= {line.id for line in found.lines}
    assert "hardness" not in {line.id for line in found.lines}
    usual = reach(written(tmp_path, "usual.yaml", "title: a bar"))
    assert isinstance(usual, Reach)
    assert "hardness" in {line.id for line in usual.lines}


def test_a_recipe_with_it_is_weighed_and_not_judged(tmp_path: Path) -> None:
    """Alkali, water and superfat are reckoned; what needs its acids is not known, and so not held to be met."""
    recipe = written(tmp_path, "recipe.yaml", "fats: {mystery butter: 500 g, lard: 500 g}\nsuperfat: 5 %")
    goals = written(tmp_path, "goals.yaml", "free_from: [beef]\nshares: {lard: 50 %}\nprefer: [{hardness: 60}]")
    found = weigh(recipe, goal_file=goals)
    assert found.judgement.superfat == pytest.approx(5.0, abs=0.06)
    assert found.judgement.superfat_worst_case < 5.0 - 0.5 * 3.0
    assert found.meets_goals is False
    by_id = {str(line.id): line for line in found.goals}
    assert by_id["shares.lard.exactly"].holds_when_weighed
    for unknown in ("practice.hardness.at_least", "free_from.beef", "practice.butters.at_most"):
        assert math.isnan(by_id[unknown].value)
        assert not by_id[unknown].holds_when_weighed
    data = json.loads(to_json(documents.weighed(found)))
    assert data["measures"]["hardness"]["value"] is None
    assert data["alkali"]["superfat"] == pytest.approx(5.0, abs=0.06)
    words = text.weighed(found, width=80)
    assert "0 of 2 missed, 1 not known" in words
    assert "nan" not in words


def test_what_a_figure_needs_to_know() -> None:
    """Every index and every share of acids needs the acids; alkali, water and money need nothing."""
    of_acids = {name for name in quantities() if needed(at_least(name, quantities()[name].lowest)) == "acids"}
    assert of_acids >= {"hardness", "ash_risk", "polyunsaturated", "linolenic", "butyric_and_caproic", "mildness"}
    assert not of_acids & {"superfat", "worst_case_superfat", "cost", "saponification_value", "iodine_value"}
    assert not of_acids & {"lye_concentration", "water_to_alkali", "water_share_of_fats", "potassium_share"}
    assert needed(at_least("C18:1", 3)) == "acids"
    assert needed(at_most("palm", 3)) == "tags"
    assert needed(at_most("strongly unsaturated", 3)) == "iodine"
    assert needed(at_most("butters", 3)) == "kind"
    assert needed(at_most("olive oil", 3)) == ""


def test_what_is_told_is_no_barrier() -> None:
    """Tags, a kind or an iodine value that the shelf tells are known, and of a fat of the table all is."""
    sheet = goals_of(at_most("butters", 20), free_from=["palm"], practice=False)
    assert str(barrier(sheet, MYSTERY)) == "butters at most 20 %"
    told = MYSTERY._replace(untold=frozenset({"acids", "iodine"}))
    assert barrier(sheet, told) is None
    assert barrier(goals_of(), told) is not None
    assert in_play(sheet, read_shelf(Path("inventory/kittiwake.yaml").absolute())).fats

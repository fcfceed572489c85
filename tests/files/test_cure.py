"""The cure as people write it, what it makes of the batch, and that it comes through a saved recipe."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.answers.weigh import weigh
from optimiser.files.designs import own_designs
from optimiser.files.goals import read_goals
from optimiser.files.keys import Known
from optimiser.files.recipe_file import read_recipe
from optimiser.measures.cure import cure_words, cured_water_at
from optimiser.report.json.documents import blend as blend_data
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.text.diagnostics import BadInput
from optimiser.text.durations import read_weeks

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"


def goals(folder: Path, body: str) -> Path:
    """A goal file over the shelf of the tree."""
    path = folder / "bar.yaml"
    path.write_text(f"title: a bar\nshelf: {SHELF}\n{body}", encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("text", "weeks"),
    [
        ("6 weeks", 6),
        ("1 week", 1),
        ("42 days", 6),
        ("12 months", 365.25 / 7),
        ("1 year", 365.25 / 7),
        ("5 years", 5 * 365.25 / 7),
        ("2.5 weeks", 2.5),
    ],
)
def test_a_cure_in_words(text: str, weeks: float) -> None:
    """Days, weeks, months and years come to weeks."""
    assert read_weeks(text) == pytest.approx(weeks)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0 weeks", "0 weeks is no cure"),
        ("3 days", "3 days is no cure"),
        ("10 years", "10 years is longer than anyone cures a bar"),
        ("6", "cure is a length of time, and 6 lacks a unit"),
        ("6 hours", "cure is told in days, weeks, months or years, not in 'hours'"),
        ("long", "figure"),
    ],
)
def test_what_is_no_cure_is_a_fault_at_its_place(tmp_path: Path, text: str, said: str) -> None:
    """An absurd cure is told in the maker's own words, at the line where it stands."""
    with pytest.raises(BadInput) as caught:
        read_goals(goals(tmp_path, f"goals:\n  cure: {{at_least: {text}}}\n"))
    (fault,) = caught.value.diagnostics
    assert said in fault.message
    assert fault.span is not None
    assert fault.span.line == 4


@pytest.mark.parametrize(
    ("wish", "weeks"),
    [
        *(("8 weeks", 8), ("{at_least: 4 weeks}", 6), ("{at_least: 8 weeks}", 8), ("{at_most: 4 weeks}", 4)),
        *(("{at_most: 12 weeks}", 6), ("{between: [4 weeks, 12 weeks]}", 6), ("{between: [8 weeks, 12 weeks]}", 8)),
        *(("{exactly: 52 weeks}", 52), (">= 10 weeks", 10)),
    ],
)
def test_the_cure_is_the_usual_one_moved_inside(tmp_path: Path, wish: str, weeks: float) -> None:
    """Six weeks, or the nearest that the goal lets it be; it is a choice of the batch and no goal among others."""
    found = read_goals(
        goals(
            tmp_path,
            f"goals: {{cure: '{wish}', hardness: {{at_least: 50}}}}\n"
            if wish[0] == ">"
            else f"goals: {{cure: {wish}, hardness: {{at_least: 50}}}}\n",
        )
    )
    assert found.batch.cure_weeks == weeks
    assert [limit.key for limit in found.goals] == ["hardness"]
    assert found.batch.cured_water == pytest.approx(cured_water_at(weeks))


def test_water_that_is_told_stays(tmp_path: Path) -> None:
    """The cured water of the batch comes before what the cure would leave."""
    found = read_goals(goals(tmp_path, "batch: {fats: 1 kg, cured_water: 9 %}\ngoals: {cure: 12 weeks}\n"))
    assert found.batch.cured_water == pytest.approx(0.09)


def test_between_is_in_order(tmp_path: Path) -> None:
    """A cure between 12 and 4 weeks is none."""
    with pytest.raises(BadInput, match="the first figure is above the second"):
        read_goals(goals(tmp_path, "goals: {cure: {between: [12 weeks, 4 weeks]}}\n"))


def test_the_batch_points_to_the_goals(tmp_path: Path) -> None:
    """A cure under batch is told where it stands."""
    with pytest.raises(BadInput) as caught:
        read_goals(goals(tmp_path, "batch: {fats: 1 kg, cure: 8 weeks}\n"))
    assert "it stands under goals" in caught.value.diagnostics[0].help


@pytest.mark.parametrize(
    ("weeks", "water"), [(1, 0.15), (2, 0.15), (4, 0.12), (6, 0.1), (12, 0.08), (52, 0.06), (260, 0.06)]
)
def test_water_leaves_with_the_weeks(weeks: float, water: float) -> None:
    """15 % and less at two weeks, 10 % at six, never below 6 % (prior)."""
    assert cured_water_at(weeks) == pytest.approx(water)
    assert cured_water_at(8.0) < cured_water_at(7.0)


def test_a_saved_recipe_keeps_its_cure(tmp_path: Path) -> None:
    """A bar cured for a year is harder, costs more by the kilo, and its recipe says so when it is read again."""
    wish = "goals: {{cure: {}, hardness: {{at_least: 50}}}}\nshares: {{olive oil: 80 %, coconut oil: 20 %}}\n"
    told = wish.format("40 days")
    usual, found = (answer(goals(tmp_path, body)) for body in (wish.format("6 weeks"), told))
    year = answer(goals(tmp_path, wish.format("52 weeks")))
    assert isinstance(usual, Blend)
    assert isinstance(found, Blend)
    assert isinstance(year, Blend)
    assert year.figures["hardness"] > usual.figures["hardness"] + 5.0
    assert year.cost.per_kg > usual.cost.per_kg
    assert blend_data(year)["cure_weeks"] == 52.0
    saved = tmp_path / "saved.yaml"
    saved.write_text(recipe_yaml(found, saved), encoding="utf-8")
    assert "cure: 40 days" in saved.read_text(encoding="utf-8")
    assert read_recipe(saved).cure_weeks == pytest.approx(40 / 7)
    again = weigh(saved)
    assert again.judgement.values["hardness"] == pytest.approx(found.weighed.values["hardness"])
    assert again.judgement.cured_grams == pytest.approx(found.weighed.cured_grams)
    plain = tmp_path / "plain.yaml"
    plain.write_text(recipe_yaml(usual, plain), encoding="utf-8")
    assert "cure" not in plain.read_text(encoding="utf-8").replace("cured_weight", "")


def test_a_design_may_choose_the_cure(tmp_path: Path) -> None:
    """A design of the maker's own sets the cure with its reason; the maker's own goal comes before it."""
    folder = tmp_path / "designs"
    folder.mkdir()
    (folder / "old.yaml").write_text(
        "designs:\n- name: old bar\n  about: Long cured.\n  batch: {cure: {use: 26 weeks, why: It is sold as old.}}\n",
        encoding="utf-8",
    )
    assert own_designs(tmp_path, Known())[0].choices[0].said == "cured for 26 weeks"
    chosen = read_goals(goals(tmp_path, "design: old bar\n"))
    assert chosen.batch.cure_weeks == 26.0
    assert chosen.batch.cured_water == pytest.approx(cured_water_at(26.0))
    assert any("Old bar: cured for 26 weeks. It is sold as old." in note for note in chosen.design_notes)
    own = read_goals(goals(tmp_path, "design: old bar\ngoals: {cure: 8 weeks}\n"))
    assert own.batch.cure_weeks == 8.0


@pytest.mark.parametrize(("weeks", "words"), [(6.0, "6 weeks"), (40 / 7, "40 days"), (2.5, "17.5 days")])
def test_a_cure_is_written_in_weeks_or_days(weeks: float, words: str) -> None:
    """Whole weeks are written as such, the rest in days, and both are read back."""
    assert read_weeks(cure_words(weeks)) == pytest.approx(weeks)
    assert cure_words(weeks) == words

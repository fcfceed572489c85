"""A sweep shown as text, chart and table: what is said, that it fits, and that all of them say the same."""

from __future__ import annotations

import csv
import io
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from sweeping import ROOT

from optimiser.answers.sweep import sweep
from optimiser.answers.sweep_results import NotSwept, Sweep
from optimiser.files.price_file import Typed
from optimiser.report import sweep_words as said
from optimiser.report.json.documents import swept as as_data
from optimiser.report.svg.sweep import sweep_svg
from optimiser.report.sweep_table import COLUMNS, as_csv, refused, table
from optimiser.report.terminal.text import swept as as_text


@cache
def story() -> Sweep:
    """Three bars over the example's shocks."""
    files = [ROOT / "goals" / f"{name}.yaml" for name in ("budget", "fine-swirl", "laundry")]
    return sweep(files, ROOT / "examples" / "shocks.yaml")


@pytest.mark.parametrize("width", [40, 60, 80, 100, 140])
@pytest.mark.parametrize("full", [False, True])
def test_text_keeps_to_its_width(width: int, full: bool) -> None:  # noqa: FBT001
    """At any width, in brief and in full."""
    text = as_text(story(), width, full=full)
    assert max(map(len, text.splitlines())) <= width
    assert "Budget" in text


def test_in_brief_two_bars_and_in_full_all() -> None:
    """The two that save most, and that there are more."""
    brief, full = as_text(story()), as_text(story(), full=True)
    assert brief.count("At worst (") == 2
    assert full.count("At worst (") == 3
    assert "--full tells of 1 more bar in detail" in brief
    assert "--full" not in full
    assert len(full) > len(brief)


def test_ascii_holds_nothing_else_and_colour_says_nothing() -> None:
    """Plain letters alone; colours are codes around the same text."""
    assert as_text(story(), ascii=True).isascii()
    coloured = as_text(story(), colour=True)
    assert "\x1b[" in coloured


def test_text_says_what_the_data_say() -> None:
    """Of shocks by name the worst and the most saved, each with its name, are those of the JSON."""
    text = as_text(story(), 120)
    for goal in as_data(story())["goals"]:
        line = next(row for row in text.splitlines() if row.strip().startswith(goal["title"]) and "%" in row)
        assert f"{goal['kept']['most']:.2f}" in line
        assert f"{goal['reoptimised']['most']:.2f}" in line
        assert goal["kept"]["most_in"] in line
        assert f"{goal['saving']['most']:.1f} %" in line


def test_no_alkali_is_told_without_its_caution() -> None:
    """The answer tells no grams of alkali, and says where they come from."""
    for text in (as_text(story()), str(as_data(story()))):
        assert "work it out at the new prices before you pour" in text.replace("\n    ", " ")
        assert "hydroxide_g" not in text


def test_where_nothing_is_swept_it_is_said() -> None:
    """No bar, no table."""
    none = story()._replace(goals=(), none=(NotSwept("a.yaml", "A", "no blend meets its goals at today's prices"),))
    text = as_text(none)
    assert "Not swept: a.yaml" in text
    assert "kept" not in text
    assert ET.fromstring(sweep_svg(none)).tag.endswith("svg")  # noqa: S314  # our own


def test_a_chart_is_whole_and_grey() -> None:
    """Well-formed, with title and description, every name in it, and no colour but greys."""
    svg = sweep_svg(story())
    root = ET.fromstring(svg)  # noqa: S314  # our own
    assert root.find("{http://www.w3.org/2000/svg}title") is not None
    desc = root.find("{http://www.w3.org/2000/svg}desc")
    assert desc is not None
    assert "Re-formulate first" in (desc.text or "")
    for goal in story().goals:
        assert said.name_of(goal) in svg
    hexes = {part[:6] for part in svg.split("#")[1:] if len(part) > 6}
    colours = {one for one in hexes if all(mark in "0123456789abcdef" for mark in one)}
    assert colours
    assert all(one[:2] == one[2:4] == one[4:6] for one in colours)


def test_every_scenario_is_in_the_table() -> None:
    """A line for each of each bar, with figures that fit."""
    rows = list(csv.reader(io.StringIO(b"".join(as_csv(story())).decode())))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) == 1 + 3 * 4
    for row in rows[1:]:
        kept, made, saving = (float(one) for one in row[3:6])
        assert made <= kept
        assert saving == pytest.approx(100.0 * (1.0 - made / kept), abs=1e-4)
        assert int(row[6]) >= 1


def test_what_is_not_known_is_empty_in_the_table() -> None:
    """No cost and no blend is told of a scenario whose cheapest blend is not known."""
    goal = story().goals[0]
    numbers = goal.numbers.copy()
    numbers[1] = -2.0
    unknown = story()._replace(goals=(goal._replace(numbers=numbers, costs=np.where(numbers < 0, np.nan, goal.costs)),))
    rows = list(csv.reader(io.StringIO(b"".join(as_csv(unknown)).decode())))
    assert rows[2][4:] == ["", "", ""]
    assert rows[2][3] != ""


def test_parquet_holds_what_csv_does() -> None:
    """Read back by pyarrow; left out where it is not installed (the extra `parquet`)."""
    parquet = pytest.importorskip("pyarrow.parquet", reason="pyarrow is not installed")
    pyarrow = pytest.importorskip("pyarrow", reason="pyarrow is not installed")
    data = b"".join(table(story(), Path("a.parquet")))
    found = parquet.read_table(pyarrow.BufferReader(data)).to_pydict()
    rows = list(csv.DictReader(io.StringIO(b"".join(table(story(), Path("a.csv"))).decode())))
    assert list(found) == list(COLUMNS)
    assert [float(row["reoptimised_per_kg"]) for row in rows] == found["reoptimised_per_kg"]
    assert [int(row["blend"]) for row in rows] == found["blend"]


def test_other_kinds_of_table_are_refused() -> None:
    """By their suffix."""
    assert refused(Path("a.csv")) == ""
    assert "neither" in refused(Path("a.xlsx"))


def test_shares_of_scenarios_are_never_none_of_a_few() -> None:
    """Nor all where some are missing."""
    assert [said.per_cent(one) for one in (0.0, 0.001, 0.5, 0.999, 1.0)] == ["0 %", "< 1 %", "50 %", "> 99 %", "100 %"]
    assert said.saved(0.04) == "0.0 %"
    assert said.saved(12.34) == "12.3 %"


def test_shocks_by_name_are_no_law() -> None:
    """No averages and no shares of them as if they were likely, in text, chart or data; the worst is told by its name."""
    text = as_text(story(), 120, full=True)
    for word in ("on average", "mean", "in 20", "95 of 100", "Value at risk", "Best held"):
        assert word not in text
    assert "At worst (palm ban)" in text
    assert "of 4 shocks" in text
    assert "best of" in text
    assert "upright: mean" not in sweep_svg(story())
    for goal in as_data(story())["goals"]:
        assert goal["held_fixed"] is None
        assert goal["value_at_risk"] == {"kept": None, "reoptimised": None}
        assert (goal["kept"]["p5"], goal["kept"]["p95"]) == (None, None)


def test_few_scenarios_have_no_twentieth(tmp_path: Path) -> None:
    """Of nineteen drawn there is no p95 and no value at risk as data, of twenty there is; one alone is told as one."""
    path = tmp_path / "prices.yaml"
    path.write_text("spread: {each: 15 %, scenarios: 19}\n", encoding="utf-8")
    goals = [ROOT / "goals" / "budget.yaml"]
    for count, has in ((19, False), (20, True), (1, False)):
        found = sweep(goals, path, typed=Typed(drawn=count))
        (goal,) = as_data(found)["goals"]
        assert (goal["kept"]["p95"] is not None) is has
        assert (goal["value_at_risk"]["kept"] is not None) is has
        assert (goal["fats"][0]["adds_at_p95"] is not None) is has
    assert said.about(found) == "1 scenario drawn"


def test_the_value_at_risk_of_a_history_tells_its_reading() -> None:
    """It is of the level of prices over the years told, and of no time ahead."""
    found = sweep([ROOT / "goals" / "budget.yaml"], ROOT / "examples" / "prices.csv")
    assert said.LEVEL in said.at_risk(found.goals[0]._replace(kept=found.goals[0].kept._replace(high=99.0)))
    drawn = found.goals[0]._replace(source="spread", kept=found.goals[0].kept._replace(high=99.0))
    assert said.LEVEL not in said.at_risk(drawn)


def test_a_blend_with_a_pinch_is_none_to_hold() -> None:
    """It is not offered, and it is said why."""
    goal = story().goals[0]._replace(source="spread")
    odd = goal._replace(fixed=goal.fixed._replace(pinches=("lard",), cost=goal.kept._replace(mean=0.1)))
    heads = [one.head for one in said.to_do(story()._replace(source="spread", goals=(odd,)))]
    assert "Hold another blend" not in heads
    assert "a pinch of lard" in said.fixed(odd)
    plain = odd._replace(fixed=odd.fixed._replace(pinches=()))
    assert "Hold another blend" in [one.head for one in said.to_do(story()._replace(source="spread", goals=(plain,)))]

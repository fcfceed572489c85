"""No line is so long that reading it takes long: work grows with its length and no faster."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from optimiser.files.goals import read_goals
from optimiser.files.recipe_file import read_recipe
from optimiser.files.shelf.shelf import read_shelf
from optimiser.files.trial_file import read_trial
from optimiser.text.diagnostics import BadInput
from optimiser.text.names import fold, nearest
from optimiser.text.render import render
from optimiser.text.signs import columns

LENGTH = 60_000
CPU_SECONDS = 4.0  # of this process alone; what grows with the square of the length takes minutes
FILLINGS = (
    " ",
    "\u00a0",
    "1",
    "1 ",
    "1.",
    "1,",
    "- ",
    "a,",
    "a ",
    ": ",
    ":",
    '""',
    "_",
    " per ",
    "/",
    " fats",
    " : 1",
    "%",
    "at most ",
    "\ufdfa",
)
FRAMES: tuple[tuple[Callable[[Path], Any], str, str], ...] = (
    (read_goals, "a.yaml", 'goals: {hardness: "1@x"}'),
    (read_goals, "a.yaml", 'goals: {superfat: "@x", cost: "1@x"}'),
    (read_goals, "a.yaml", 'goals: {water_to_alkali: "1@x"}'),
    (read_goals, "a.yaml", 'fats: {at_most: "2@x"}'),
    (read_goals, "a.yaml", 'shares: {"@x": 5 %}\nfree_from: ["@x"]\nmay_use: ["@x"]\ntitle: "@x"'),
    (read_goals, "a.yaml", "a: b\n@\nc: d"),
    (read_goals, "a.yaml", "x: @ y: z"),
    (read_goals, "a.yaml", 'water_hardness: "1@x"\nbatch: {fats: "1@x"}'),
    (read_shelf, "a.yaml", 'fats: [{fat: "@x", like: olive oil, price: "3@x", stock: "1@x", tags: "@"}]'),
    (read_shelf, "a.csv", "fat,price,stock,packs\ncoconut oil,@x,1@x,5@x"),
    (read_shelf, "a.csv", "fat;price\ncoconut oil;@x"),
    (read_shelf, "a.csv", "fat,price @x\ncoconut oil,3"),
    (read_shelf, "a.csv", "fat,price\n@x,3"),
    (read_shelf, "a.csv", "@"),
    (read_recipe, "a.yaml", 'fats: {"@x": 700 g, olive oil: "7@x"}\nwater: "1@x"\nsuperfat: "1@x"'),
    (read_trial, "a.yaml", 'recipe: x\ntrace: "4@x"\nhardness: "4@x"\ndate: "1@x"'),
)


@pytest.mark.parametrize("filling", FILLINGS)
def test_a_long_line_is_read_or_refused_at_once(filling: str, tmp_path: Path) -> None:
    """Whatever fills a very long value, name or line of any file, it is soon read or refused, and told in a few lines."""
    body = (filling * LENGTH)[:LENGTH]
    begun = time.process_time()
    for read, name, frame in FRAMES:
        path = tmp_path / name
        path.write_text(frame.replace("@", body), encoding="utf-8")
        try:
            read(path)
        except BadInput as bad:
            told = render(bad.diagnostics).replace(str(path), "a").replace(str(tmp_path), ".")
            assert max(map(columns, told.splitlines())) <= 80
            assert len(told) < 40_000
    assert time.process_time() - begun < CPU_SECONDS


def test_a_sheet_of_nothing_but_separators_is_refused(tmp_path: Path) -> None:
    """A row of hundreds of thousands of cells is refused after the first few."""
    path = tmp_path / "a.csv"
    path.write_text("fat,price\n" + "," * 400_000 + "x\n", encoding="utf-8")
    begun = time.process_time()
    with pytest.raises(BadInput) as bad:
        read_shelf(path)
    assert bad.value.diagnostics[0].code == "too-many-cells"
    assert time.process_time() - begun < CPU_SECONDS


def test_the_search_for_near_names_is_bounded() -> None:
    """Very long words and very long known names are not compared letter by letter, nor do short ones that fold to long ones."""
    begun = time.process_time()
    assert nearest("olive oli", ["x" * 10**6, *("olive oil " * 10**4 for _ in range(50)), "olive oil"]) == (
        "olive oil",
    )
    assert nearest("\ufdfa" * 60, ["olive oil"]) == ()
    assert nearest("x" * 10**6, ["olive oil"]) == ()
    assert fold("A_b" * 10**5) == "A_b" * 10**5
    assert time.process_time() - begun < CPU_SECONDS


@pytest.mark.parametrize("text", ["5 %" + " " * 300 + "x", "1" + " " * 200 + "000"])
def test_nothing_of_a_figure_is_passed_over(text: str, tmp_path: Path) -> None:
    """What stands far behind a figure is not left out of account: the whole is refused."""
    path = tmp_path / "a.yaml"
    path.write_text(f'goals: {{superfat: "{text}"}}\n', encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        read_goals(path)
    assert bad.value.diagnostics[0].code == "too-long"

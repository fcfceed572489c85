"""Lots in the programme: a cone of their own for those with a certificate, one 0/1 column for a fat, one row for its sum."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.asked import read_question
from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.model.counted_fats import by_fat
from optimiser.model.programme import build
from optimiser.recipe.evaluation import likely_shortfall

SHELF = """fats:
  - fat: coconut oil
    price: 3.10 / kg
    lots:
      - {number: A, stock: 0.3 kg, saponification_value: 256, tolerance: 3}
      - {number: B, stock: 0.3 kg, saponification_value: 254, tolerance: 4}
      - {number: C, stock: 1 kg}
      - {number: D, stock: 1 kg}
  - {fat: olive oil, price: 6.90 / kg}
  - {fat: castor oil, price: 7.90 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 99 %, purity_tolerance: 0 %}}
"""


def asked(folder: Path, more: str) -> Path:
    """A goal file over the shelf."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    path = folder / "bar.yaml"
    path.write_text(f"shelf: shelf.yaml\npractice: off\nbatch: {{fats: 2 kg}}\n{more}", encoding="utf-8")
    return path


def test_certified_lots_stray_apart_and_others_together(tmp_path: Path) -> None:
    """Groups of the cone: A and B each alone, C with D; the length by hand, as the judge has it."""
    question = read_question(asked(tmp_path, ""))
    columns = build(question.goals, question.shelf).columns
    group = dict(zip((fat.name for fat in columns.fats), columns.lot_spread.group.tolist(), strict=False))
    names = [f"coconut oil (lot {number})" for number in "ABCD"]
    assert group[names[2]] == group[names[3]]
    assert len({group[name] for name in names}) == 3
    point = columns.zeros()
    for name, share in zip(names, (0.3, 0.4, 0.1, 0.2), strict=True):
        point[columns.index[name]] = share
    table = next(fat for fat in columns.fats if fat.name == names[2]).spread
    by_hand = ((0.3 * 3) ** 2 + (0.4 * 4) ** 2 + ((0.1 + 0.2) * table) ** 2) ** 0.5 / 56.106
    assert columns.lot_spread.length(point) == pytest.approx(by_hand, rel=1e-5)


def test_the_floor_under_the_likely_superfat_holds_over_lots(tmp_path: Path) -> None:
    """Model and judge agree at the very cone, where a lot strays by itself."""
    path = asked(
        tmp_path,
        "goals: {superfat: 5 %, likely_superfat: {at_least: 4.1 %}}\nshares: {coconut oil: {at_least: 60 %}}\n",
    )
    found = answer(path)
    assert isinstance(found, Blend)
    assert found.alkali.superfat_likely_low >= 4.1 - 1e-4
    assert likely_shortfall(found.recipe) > 0.0


def test_lots_share_one_switch(tmp_path: Path) -> None:
    """Three fats are counted where there are six tins."""
    question = read_question(asked(tmp_path, "fats: {at_most: 2, at_least: 2}\n"))
    programme = build(question.goals, question.shelf)
    assert [len(places) for places in by_fat(programme.columns).values()] == [1, 4, 1]
    assert len(programme.switches) == 6
    assert {len(one.fats) for one in programme.switches} == {1, 4}


def test_a_share_is_of_all_lots_and_a_lot_by_its_number_of_itself(tmp_path: Path) -> None:
    """The row of the fat reaches over every lot, the row of one over that alone."""
    more = 'shares: {coconut oil: {at_least: 30 %}, "coconut oil (lot B)": {at_most: 5 %}}\n'
    question = read_question(asked(tmp_path, more))
    programme = build(question.goals, question.shelf)
    reach = {
        str(row.wish): int((row.top != 0.0).sum())
        for row in programme.rows
        if str(row.wish).startswith("shares.coconut")
    }
    assert reach == {"shares.coconut oil.at_least": 4, "shares.coconut oil (lot B).at_most": 1}

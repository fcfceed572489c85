"""What is to be used up in a batch: as far as the goals allow, before preferences and the cost, and what holds it back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, UseUpLine
from optimiser.cli.main import main

SHELF = """currency: EUR
fats:
  - {fat: rice bran oil, price: 5.20 / kg, stock: 0.8 kg}
  - fat: coconut oil
    price: 3.10 / kg
    lots: [{number: CO-1, stock: 0.3 kg}, {number: CO-2, stock: 2 kg}]
  - {fat: olive oil, price: 3.90 / kg}
  - {fat: palm oil, price: 2.10 / kg}
  - {fat: castor oil, price: 5.90 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 99 %}}
"""


def blend(folder: Path, more: str, batch: str = "fats: 4 kg") -> Blend:
    """The blend of a goal file over the shelf."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    (folder / "bar.yaml").write_text(f"title: Bar\nshelf: shelf.yaml\nbatch: {{{batch}}}\n{more}", encoding="utf-8")
    found = answer(folder / "bar.yaml")
    assert isinstance(found, Blend)
    return found


def line(found: Blend) -> UseUpLine:
    """The one line of it."""
    (one,) = found.use_up
    return one


def grams(found: Blend, fat: str) -> float:
    """What the blend takes of all lots of a fat."""
    return sum(one.grams for one in found.fats if fat in (one.fat, one.lot_of))


@pytest.mark.parametrize(
    "batch",
    [
        "fats: 4 kg",
        "bars: 50, cured_weight: 100 g",
        "mould: {length: 40 cm, width: 30 cm, depth: 4 cm}",
        "batter: 6 kg",
    ],
)
def test_as_much_as_is_asked_goes_in(tmp_path: Path, batch: str) -> None:
    """In every way to tell how much is made; the cheapest blend would hold none of it."""
    assert grams(blend(tmp_path, "", batch), "rice bran oil") == pytest.approx(0.0, abs=1.0)
    found = blend(tmp_path, "use_up: {rice bran oil: 0.5 kg}\n", batch)
    told = line(found)
    assert (told.met, told.is_all, told.asked_kg, told.held_back) == (True, False, 0.5, ())
    assert told.used_kg == pytest.approx(0.5, rel=1e-6)
    assert grams(found, "rice bran oil") == pytest.approx(500.0, rel=1e-6)
    assert told.costs is not None
    assert told.costs > 0.0


def test_all_is_what_the_shelf_has_in_every_lot(tmp_path: Path) -> None:
    """Of one lot that is named, all of it."""
    found = blend(tmp_path, "use_up: {rice bran oil: all}\n")
    assert (line(found).is_all, line(found).asked_kg, line(found).met) == (True, 0.8, True)
    lots = blend(tmp_path, "use_up: {coconut oil: all}\n", "fats: 9 kg")
    assert line(lots).asked_kg == pytest.approx(2.3)
    assert line(lots).met
    assert grams(lots, "coconut oil") == pytest.approx(2300.0)
    one = blend(tmp_path, 'use_up: {"coconut oil (lot CO-1)": all}\n')
    assert (line(one).fat, line(one).met) == ("coconut oil (lot CO-1)", True)
    assert line(one).used_kg == pytest.approx(0.3)


def test_goals_come_first_and_what_holds_it_back_is_said(tmp_path: Path) -> None:
    """As much as they allow, with the one wish that stands in the way, be it far from what was asked."""
    found = blend(tmp_path, "shares: {rice bran oil: {at_most: 5 %}}\nuse_up: {rice bran oil: all}\n")
    told = line(found)
    assert not told.met
    assert told.used_kg == pytest.approx(0.2)
    assert [str(said) for said in told.held_back] == ["rice bran oil at most 5 %"]


def test_the_stock_or_the_house_may_hold_it_back(tmp_path: Path) -> None:
    """More than there is cannot go in, nor more than a rule of the house allows: it does not give way."""
    found = blend(tmp_path, "use_up: {rice bran oil: 3 kg}\n", "fats: 20 kg")
    assert line(found).used_kg == pytest.approx(0.8)
    assert [str(said) for said in line(found).held_back] == ["rice bran oil in stock: 0.8 kg"]
    house = blend(tmp_path, "use_up: {castor oil: 3 kg}\n")
    assert line(house).used_kg == pytest.approx(0.4)
    assert [str(said) for said in line(house).held_back] == ["house practice: castor oil at most 10 %"]


def test_it_comes_before_preferences_in_its_own_order(tmp_path: Path) -> None:
    """The first of two is used up before the second, and both before what is preferred."""
    goals = "shares: {liquid oils: {at_most: 15 %}}\nprefer: [{olive oil: {at_least: 15 %}}]\n"
    one = blend(tmp_path, f"{goals}use_up: {{rice bran oil: 0.4 kg, castor oil: 0.3 kg}}\n")
    assert [round(told.used_kg, 3) for told in one.use_up] == [0.4, 0.2]
    assert not one.preferences[0].met
    other = blend(tmp_path, f"{goals}use_up: {{castor oil: 0.3 kg, rice bran oil: 0.4 kg}}\n")
    assert [round(told.used_kg, 3) for told in other.use_up] == [0.3, 0.3]


def test_what_is_preferred_keeps_its_lines(tmp_path: Path) -> None:
    """A preference beside what is to be used up is told as itself, with its own price."""
    found = blend(tmp_path, "use_up: {rice bran oil: 0.4 kg}\nprefer: [{olive oil: {at_least: 20 %}}]\n")
    assert [str(one.id) for one in found.preferences] == ["prefer.0.olive oil.at_least"]
    assert found.preferences[0].met
    assert found.proof.preferences == 2


def test_text_and_data_tell_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """How much, what it costs, and what holds it back; nothing where nothing was asked."""
    blend(tmp_path, "shares: {rice bran oil: {at_most: 5 %}}\nuse_up: {rice bran oil: all}\n")
    path = str(tmp_path / "bar.yaml")
    assert main(["blend", path]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "To use up, as far as the goals allow" in text
    assert "No more rice bran oil goes in beside: rice bran oil at most 5 %." in text
    assert main(["blend", path, "--json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["use_up"]
    assert (told["fat"], told["all"], told["asked_kg"], told["used_kg"], told["short_by_kg"]) == (
        *("rice bran oil", True, 0.8, pytest.approx(0.2), pytest.approx(0.6)),
    )
    assert told["held_back_by"] == ["rice bran oil at most 5 %"]
    blend(tmp_path, "")
    assert main(["blend", path, "--json"]) == 0
    assert "use_up" not in json.loads(capsys.readouterr().out)


DEAR = """currency: EUR
alkalis: {sodium hydroxide: {purity: 99 %, price: 2.40 / kg}}
fats:
  - {fat: olive oil, price: 7.40 / kg, stock: 12 kg}
  - fat: coconut oil
    price: 3.10 / kg
    lots:
      - {number: CO-1, stock: 0.8 kg, saponification_value: 256.4, tolerance: 1.5, best_before: 2027-03-01}
      - {number: CO-2, stock: 6 kg, best_before: 2027-09-01}
  - {fat: shea butter, price: 9.80 / kg, stock: 3 kg}
  - {fat: castor oil, price: 4.80 / kg, stock: 2 kg}
  - {fat: rapeseed oil, price: 2.10 / kg, stock: 10 kg}
  - {fat: lard, price: 2.20 / kg, stock: 5 kg}
  - {fat: calendula oil, like: olive oil, tags: [infused], price: 9 / kg, stock: 2 kg}
"""


def of_dear(folder: Path, use_up: str) -> Blend:
    """Sixty bars over a shelf on which fats of low saponification values are dear."""
    (folder / "shelf.yaml").write_text(DEAR, encoding="utf-8")
    (folder / "bar.yaml").write_text(
        "title: Bar\nshelf: shelf.yaml\nmade: 2026-11-28\nbatch: {bars: 60, cured_weight: 110 g}\n"
        f"goals: {{hardness: {{at_least: 45}}, superfat: 5 %}}\nuse_up: {{{use_up}}}\n",
        encoding="utf-8",
    )
    found = answer(folder / "bar.yaml")
    assert isinstance(found, Blend)
    return found


def test_a_few_grams_more_are_worth_no_dear_fats(tmp_path: Path) -> None:
    """A bar of butter and castor takes ten grams more of coconut for a quarter more money: that is left, and the next wish is met."""
    found = of_dear(tmp_path, "coconut oil: all, calendula oil: 1.5 kg")
    coconut, calendula = found.use_up
    assert 1.79 < coconut.used_kg < 1.82
    assert calendula.met
    assert grams(found, "shea butter") == 0.0
    assert found.cost.per_kg < 4.0
    assert coconut.held_back


def test_older_lots_of_other_fats_go_first_too(tmp_path: Path) -> None:
    """What is to be used up takes a gram less beside the older lot, which goes first all the same."""
    found = of_dear(tmp_path, "lard: all")
    taken = {one.fat: one.grams for one in found.fats}
    assert taken["coconut oil (lot CO-1)"] == pytest.approx(800.0, abs=1.0)
    assert 2570.0 < taken["lard"] < 2612.0

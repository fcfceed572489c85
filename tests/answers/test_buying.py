"""What is bought for a blend, from two files to the answer, in text and as data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.buying_figures import BuyingFigures
from optimiser.answers.results import Blend, NoBlend
from optimiser.cli.main import main

SHELF = """title: Tins
currency: EUR
fats:
  - {fat: coconut oil, price: 3.10 / kg, stock: 1 kg, packs: [{size: 5 kg, price: 16.90}, {size: 25 kg, price: 74.00}]}
  - {fat: palm oil, price: 1.95 / kg, stock: 2 kg}
  - {fat: olive oil, price: 6.90 / kg, packs: [{size: 1 kg, price: 8.20}, {size: 5 kg, price: 36.50}], minimum_order: 2 kg}
  - {fat: rapeseed oil, price: 2.05 / kg, packs: [{size: 10 kg, price: 20.50}], breaks: [{from: 50 kg, price: 1.60 / kg}]}
  - {fat: castor oil, price: 4.80 / kg, packs: [{size: 1 kg, price: 5.20}]}
  - {fat: shea butter, price: 7.60 / kg}
alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}
"""


def files(folder: Path, *lines: str, batch: str = "fats: 12 kg") -> Path:
    """A shelf and a goal file."""
    (folder / "shelf.yaml").write_text(SHELF, encoding="utf-8")
    goals = folder / "bar.yaml"
    told = (
        [*lines] if any(line.startswith("goals") for line in lines) else ["goals: {hardness: {at_least: 40}}", *lines]
    )
    goals.write_text("\n".join(["shelf: shelf.yaml", f"batch: {{{batch}}}", *told, ""]), encoding="utf-8")
    return goals


def blend(folder: Path, *lines: str, batch: str = "fats: 12 kg") -> Blend:
    """The blend of these lines."""
    found = answer(files(folder, *lines, batch=batch))
    assert isinstance(found, Blend)
    return found


def bought(found: Blend) -> BuyingFigures:
    """What is bought for it."""
    assert found.buying is not None
    return found.buying


def listed(found: BuyingFigures) -> list[tuple[str, float, float]]:
    """Fat, size and how many."""
    return [(line.fat, line.tin.size_kg, line.number) for line in found.lines]


def test_a_file_that_says_nothing_of_buying_is_answered_as_before(tmp_path: Path) -> None:
    """Stocks are ends, what has none is bought at its price per kilo, and nothing is said of buying."""
    found = blend(tmp_path)
    assert found.buying is None
    assert "buying" not in json.dumps([str(goal.id) for goal in found.goals])
    assert {line.fat: line.to_weigh for line in found.fats}["palm oil"] <= 2000.0


def test_cheapest_to_make_goes_by_the_cheapest_kilo(tmp_path: Path) -> None:
    """Stock first though a kilo out of the drum costs less; and the same blend for less cash is told."""
    found = blend(tmp_path, "buy: packs")
    told = bought(found)
    fats = {line.fat: line for line in found.fats}
    assert set(fats) == {"coconut oil", "palm oil", "olive oil", "rapeseed oil", "castor oil"}
    kilos = fats["coconut oil"].grams / 1000.0
    assert fats["coconut oil"].cost == pytest.approx(3.10 + 74.0 / 25.0 * (kilos - 1.0), abs=0.01)
    assert ("coconut oil", 25.0, 1.0) in listed(told)
    assert ("rapeseed oil", 10.0, 5.0) in listed(told)  # 50 kg at the break
    assert told.cost_used == pytest.approx(found.cost.batch, abs=0.01)
    assert told.least_cash is not None
    assert told.least_cash.cash_out < told.cash_out
    assert told.least_cash.cost_used > told.cost_used
    assert "with what is bought" in found.proof.covers


def test_least_cash_takes_other_packs_and_another_blend(tmp_path: Path) -> None:
    """58.60 is the least for which this bar can be had: one of each, and no rapeseed oil."""
    found = blend(tmp_path, "buy: packs", "aim: least cash")
    told = bought(found)
    assert listed(told) == [("coconut oil", 5.0, 1.0), ("olive oil", 5.0, 1.0), ("castor oil", 1.0, 1.0)]
    assert told.cash_out == pytest.approx(58.60)
    assert told.proof is not None
    assert told.proof.gap < 1e-6
    assert told.least_cash is None
    assert {line.fat: line.to_weigh for line in found.fats}["castor oil"] <= 1000.0


def test_goals_on_the_cost_are_on_what_is_used(tmp_path: Path) -> None:
    """The cheapest purchase makes a bar of 3.43 a kilo; at most 3.40 takes more cash and keeps it."""
    free = blend(tmp_path, "buy: packs", "aim: least cash", batch="fats: 10 kg")
    held = blend(
        tmp_path,
        "buy: packs",
        "aim: least cash",
        "goals: {hardness: {at_least: 40}, cost: {at_most: 3.40 / kg}}",
        batch="fats: 10 kg",
    )
    assert free.cost.per_kg > 3.42
    assert held.cost.per_kg <= 3.40 + 1e-3
    assert bought(held).cash_out > bought(free).cash_out


@pytest.mark.parametrize("batch", ["bars: 100", "mould: {length: 30 cm, width: 20 cm, depth: 16 cm}", "batter: 12 kg"])
def test_counted_fats_and_preferences_hold(batch: str, tmp_path: Path) -> None:
    """However much is made, at most four fats, and no preference is missed by more than without a word of buying."""
    lines = ("fats: {at_most: 4}", "prefer: [mildness: {at_least: 60}]")
    found = blend(tmp_path, "buy: packs", "aim: {least cash: {left counts: 50 %}}", *lines, batch=batch)
    assert len(found.fats) <= 4
    other = blend(tmp_path, "buy: packs", *lines, batch=batch)
    assert found.preferences[0].short_by <= other.preferences[0].short_by + 1e-3


def test_what_cannot_be_bought_is_left_out_by_one_wish(tmp_path: Path) -> None:
    """Shea butter has neither stock nor packs; the way out is to buy by the kilo."""
    found = answer(files(tmp_path, "buy: packs", "shares: {shea butter: {at_least: 10 %}}"))
    assert isinstance(found, NoBlend)
    (clash,) = found.clashes
    assert [str(member.id) for member in clash] == ["shares.shea butter.at_least", "buy.packs"]
    assert clash[1].span is not None
    assert "bought loose" in clash[1].reach
    pasted = [change.paste for way in found.concessions for change in way.changes]
    assert "buy: any" in pasted


def test_stock_without_packs_is_a_wish_that_says_so(tmp_path: Path) -> None:
    """Two kilos of palm oil, and no packs to buy."""
    found = answer(files(tmp_path, "buy: packs", "shares: {palm oil: {at_least: 40 %}}"))
    assert isinstance(found, NoBlend)
    said = [str(member.said) for member in found.clashes[0]]
    assert "palm oil in stock: 2 kg, no packs to buy" in said


def test_text_and_data_tell_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The buying list, cash out, cost used and value left; no line is wider than 80 columns."""
    goals = files(tmp_path, "buy: packs", "aim: {least cash: {left counts: 80 %}}")
    assert main(["blend", str(goals), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["cash_out"] == pytest.approx(sum(line["cost"] for line in data["buying"]))
    assert {"fat", "pack", "count", "kg", "cost"} == set(data["buying"][0])
    assert all(line["kg"] == pytest.approx(line["count"] * float(line["pack"].split()[0])) for line in data["buying"])
    assert data["left_counts"] == 80.0
    assert data["cash_certificate"]["least_possible_per_kg"] <= data["cash_certificate"]["per_kg"] + 1e-6
    assert data["cost_used"] == pytest.approx(data["cost"]["batch"], abs=0.02)
    assert main(["blend", str(goals)]) == 0
    text = capsys.readouterr().out
    part = text[text.index("To buy") :]
    assert max(map(len, part[: part.index("To keep")].splitlines())) <= 80
    flat = " ".join(text.split())
    assert f"Cash out {data['cash_out']:.2f} EUR; cost used {data['cost_used']:.2f} EUR" in flat
    assert f"value left {data['value_left']:.2f} EUR" in flat
    assert "less 80 % of what is left" in flat
    for line in data["buying"]:
        assert f"{line['pack']} {line['count']} {line['kg']:.2f} {line['cost']:.2f}" in flat


def test_loose_goods_are_bought_by_what_is_weighed(tmp_path: Path) -> None:
    """With `buy: any` the list has the kilos that are short, as they are weighed, and the minimum order where it is more."""
    found = blend(tmp_path, "buy: any", "aim: least cash")
    kilos = {line.fat: line.kilos for line in bought(found).lines}
    assert all(line.tin.is_loose for line in bought(found).lines)
    assert kilos["olive oil"] >= 2.0 - 1e-6
    used = {line.fat: line.to_weigh / 1000.0 for line in found.fats}
    assert kilos["coconut oil"] == pytest.approx(used["coconut oil"] - 1.0, abs=2e-3)
    assert kilos["coconut oil"] >= used["coconut oil"] - 1.0 - 1e-9


def test_nothing_to_buy_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """All of it is in stock."""
    goals = files(tmp_path, "buy: none", "practice: off", batch="fats: 1 kg")
    assert main(["blend", str(goals)]) == 0
    assert "Nothing: all of it is in stock." in capsys.readouterr().out


@pytest.mark.parametrize("batch", ["fats: 10 lb, scale: 1 g", "bars: 60, scale: 5 g", "bars: 45"])
def test_no_more_is_weighed_out_than_there_is(batch: str, tmp_path: Path) -> None:
    """Packs of pounds are no whole steps of a balance in grams: what is used up goes down to a step."""
    goals = files(tmp_path, "buy: packs", "aim: least cash", batch=batch)
    (tmp_path / "shelf.yaml").write_text(
        """fats:
  - {fat: coconut oil, price: 1.50 / lb, packs: [{size: 1 lb, price: 1.60}, {size: 5 lb, price: 7.40}], stock: 1.3 lb}
  - {fat: palm oil, price: 1.10 / lb, packs: [{size: 2 lb, price: 2.30}, {size: 7 lb, price: 7.90}]}
  - {fat: olive oil, price: 1.90 / lb, packs: [{size: 1 lb, price: 2.10}, {size: 2 lb, price: 3.60}]}
  - {fat: lard, price: 1.40 / lb, packs: [{size: 5 lb, price: 7.10}], stock: 0.7 lb}
""",
        encoding="utf-8",
    )
    found = answer(goals)
    assert isinstance(found, Blend)
    there = {"coconut oil": 1.3 * 453.59237, "lard": 0.7 * 453.59237}
    for line in bought(found).lines:
        there[line.fat] = there.get(line.fat, 0.0) + 1000.0 * line.kilos
    used_up = [line.fat for line in found.fats if line.grams > there[line.fat] - 0.01]
    assert used_up
    assert all(line.to_weigh <= there[line.fat] + 1e-6 for line in found.fats)

"""Random goal files against a model of the whole question that shares nothing with ours but the figures of the fats.

The model (tests/outside/independent) states the problem anew from the README's definitions: stoichiometry of the two
hydroxides, superfat, lye, levers, house practice, what gives way and how far, pinches, designs, exclusions, counts, stock,
preferences in order. It is put to scipy's milp (HiGHS by another door, and other programmes): least cost by Charnes & Cooper, Naval
Research Logistics Quarterly 9 (1962) 181-186, from memory. `independent_run.py` runs any number of files by hand.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from outside.independent import drawing, giving
from outside.independent.comparing import EVERYTHING, compare
from outside.independent.reading import read, tree
from outside.independent.solving import Unsure, can_hold
from strategies import examples

EACH = 20
GROUPS = int(os.environ.get("BARWRIGHT_RANDOM_FILES", examples(100))) // EACH
FIRST = int(os.environ.get("BARWRIGHT_RANDOM_SEED", "0")) // EACH  # where the same tests run once more, other files


@pytest.mark.parametrize("group", range(FIRST, FIRST + GROUPS))
def test_random_files(tmp_path: Path, group: int) -> None:
    """Cost, recipe, alkali, savings, entry prices, reach, clashes and concessions are what the independent model says."""
    seen, unsure = set(), 0
    for seed in range(group * EACH, (group + 1) * EACH):
        try:
            status, told = compare(seed, tmp_path, EVERYTHING)
        except Unsure:  # the other model's solvers gave up, which says nothing of ours
            unsure += 1
            continue
        seen.add(status)
        assert not told, "\n".join([f"seed {seed}:", *told, *drawing.draw(seed)])
    assert seen >= {"blend", "eased"}
    assert unsure <= 1


def test_some_files_have_no_blend() -> None:
    """Of the files drawn some have no blend whatever gives way, and most have one."""
    questions = [giving.hard(read(*map(tree, drawing.draw(seed)))) for seed in range(40)]
    can = [can_hold(question, question.wishes.values()) for question in questions]
    assert can.count(False) >= 3
    assert can.count(True) >= 20


def test_the_files_cover_the_format() -> None:
    """The files drawn speak of every section of a goal file, of stock, lots and every way to measure a batch."""
    drawn = [drawing.draw(seed) for seed in range(200)]
    sections = {name for goals, _ in drawn for name in tree(goals)}
    assert sections >= {"goals", "shares", "free_from", "fats", "prefer", "practice", "additives", "may_use"}
    assert sections >= {"batch", "design", "for"}
    batches = {name for goals, _ in drawn for name in tree(goals).get("batch", {})}
    assert batches >= {"fats", "bars", "mould", "gel", "cured_water", "batter_temperature"}
    counts = {name for goals, _ in drawn for name in tree(goals).get("fats", {})}
    assert counts == {"at_least", "at_most", "exactly", "each_at_least"}
    rules = {
        name for goals, _ in drawn if isinstance(tree(goals).get("practice"), dict) for name in tree(goals)["practice"]
    }
    assert rules >= {"pinches", "one fat"}
    assert any("practice" not in tree(goals) for goals, _ in drawn)  # the house's own rule on pinches stands
    assert any("stock:" in shelf for _, shelf in drawn)
    assert any("lot:" in shelf for _, shelf in drawn)


def test_the_model_by_hand() -> None:
    """A kilo of coconut oil of 256.4 mg KOH/g at 5 % superfat takes 173.6 g of sodium hydroxide (256.4 / 56.1 x 40.0 x 0.95)."""
    shelf = (
        "fats: [{fat: coconut oil, price: 3 / kg, lot: {saponification_value: 256.4, tolerance: 1}}]\n"
        "alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}\n"
    )
    question = read(tree("practice: off"), tree(shelf))
    blend = np.array([1.0, 0.1736, 0.0, 0.1736 * 67 / 33])
    superfat = question.pot.figure("superfat")
    assert float(superfat.top @ blend) / float(superfat.bottom @ blend) == pytest.approx(5.0, abs=0.05)
    cost = question.pot.figure("cost")
    cured = 1.1736 / 0.9
    assert float(cost.top @ blend) / float(cost.bottom @ blend) == pytest.approx(
        (3.0 + 0.1736 * 2.40 / 0.98) / cured, rel=1e-9
    )


def test_what_gives_way_by_hand() -> None:
    """On a shelf of three hard fats at one price solid fats stand at 100 %: 30 points over, of which 20 are a step, and ten of money."""
    shelf = (
        "fats: [{fat: lard, price: 10 / kg}, {fat: palm oil, price: 10 / kg}, {fat: beef tallow, price: 10 / kg}]\n"
        "alkalis: {sodium hydroxide: {price: 0 / kg, purity: 100 %}}\n"
    )
    off = ", ".join(
        f"{name}: off"
        for name in ("hardness", "quick lather", "short saturated acids at least", "harshness", "keeping")
    )
    question = read(tree(f"practice: {{{off}, polyunsaturated acids: off}}"), tree(shelf)).without(giving.YIELDS)
    money = 10.0 / (0.1 * 10.0)
    assert giving.elastic(question).least() == pytest.approx(30.0 / 20.0 + money, rel=1e-6)
    told = {"practice.solid fats.at_most": 100.0}
    assert list(giving.disagreements(question, told)) == []
    assert list(giving.disagreements(question, {**told, "practice.lard.one fat.at_most": 60.0}))
    assert list(giving.disagreements(question, {"practice.solid fats.at_most": 101.0}))


def test_what_is_like_a_fat_by_hand() -> None:
    """A castor oil by another name counts towards the cap on castor oil, and its low end lies at least 2.5 % off."""
    shelf = (
        "fats:\n  - {fat: house castor, like: castor oil, price: 3 / kg}\n  - {fat: olive oil, price: 6 / kg}\n"
        "alkalis: {sodium hydroxide: {price: 2.40 / kg, purity: 98 %}}\n"
    )
    pot = read(tree("practice: off"), tree(shelf)).pot
    blend = np.array([0.4, 0.6, 0.13, 0.0, 0.26])
    for subject, part in (("base", 40.0), ("fat", 0.0)):
        share = pot.share(subject, "castor oil")
        assert float(share.top @ blend) / float(share.bottom @ blend) == pytest.approx(part)
    figures = pot.fats[0].figures
    assert figures.saponification_low <= 0.975 * figures.saponification

"""Shortages of a fat that stands on the shelf as lots: told of the fat, with figures that make a plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from benches import laid

import optimiser
from optimiser.answers.plan import answer_plan
from optimiser.answers.plan_results import NoPlan, Plan
from optimiser.answers.results import Blend
from optimiser.report.terminal import no_plan, plan, text
from optimiser.report.terminal.page import Paper, printed

SHELF = """currency: EUR
fats:
  - {{fat: olive oil, price: 7.40 / kg}}
  - fat: coconut oil
    price: 3.10 / kg
    lots:
      - {{number: KW-1, stock: 0.8 kg, best_before: 2027-03-01}}
      - {{number: KW-2, stock: {second:g} kg, best_before: 2027-09-01}}
  - {{fat: lard, price: 2.20 / kg}}
alkalis: {{sodium hydroxide: {{purity: 99 %, price: 2.40 / kg}}}}
additives: [{{additive: salt, price: 0.6 / kg}}, {{additive: scent, like: essential oil, price: 60 / kg}}]
"""
MADE = "made: 2026-10-01\n"
SALT = f"shares: {{coconut oil: {{at_least: 75 %}}}}\nadditives: {{salt: 50 %}}\ngoals: {{superfat: 15 %}}\n{MADE}"
SLAB = f"shares: {{coconut oil: {{at_least: 25 %}}}}\nadditives: {{scent: 3 %}}\n{MADE}"


def asked(folder: Path, salt: int = 150, slab: int = 60, second: float = 6.0) -> Plan | NoPlan:
    """The plan of so many bars of each, with so much of the second lot."""
    laid(folder, {"shelf.yaml": SHELF.format(second=second), "salt.yaml": SALT, "slab.yaml": SLAB})
    bars = (("salt", salt), ("slab", slab))
    lines = "\n".join(f"  - {{goals: {name}.yaml, batch: {{bars: {count}}}}}" for name, count in bars)
    (folder / "plan.yaml").write_text(f"shelf: shelf.yaml\nbars:\n{lines}\n", encoding="utf-8")
    return answer_plan(folder / "plan.yaml")


def test_lots_are_taken_together(tmp_path: Path) -> None:
    """What is needed and there is told of the fat once, and so is how much more of it makes a plan; no lot is named."""
    found = asked(tmp_path)
    assert isinstance(found, NoPlan)
    (clash,) = found.clashes
    (need,) = clash.needs
    assert need.fat == "coconut oil"
    assert need.there_kg == pytest.approx(6.8)
    assert need.needed_kg is not None
    assert 7.0 < need.needed_kg < 8.5
    (more,) = [way for way in found.ways if way.id.section == "stock"]
    assert more.whole is not None
    assert more.whole[0] == "coconut oil"
    assert more.whole[1] == pytest.approx(6.8)
    added = more.after - more.before
    assert need.needed_kg <= 6.8 + added <= need.needed_kg + 0.2
    page = " ".join(printed(Paper(100), no_plan.parts(found, full=True)).split())
    assert "more of coconut oil: " in page
    assert "in place of 6.8 kg" in page
    assert "(lot " not in page
    assert isinstance(asked(tmp_path, second=6.0 + added), Plan)


def test_only_figures_that_make_a_plan_are_told(tmp_path: Path) -> None:
    """Of how many bars there can be there is one figure, which makes a plan, and one bar more does not; a scent is no way out."""
    found = asked(tmp_path)
    assert isinstance(found, NoPlan)
    fewer = {way.bar: int(way.after) for way in found.ways if way.id.key == "batch"}
    assert set(fewer) == {"salt", "slab"}
    page = printed(Paper(100), no_plan.parts(found, full=True))
    assert "at most" not in page.split("Clash 1")[1]
    assert "comes no nearer" not in page
    assert isinstance(asked(tmp_path, salt=fewer["salt"]), Plan)
    assert isinstance(asked(tmp_path, salt=fewer["salt"] + 1), NoPlan)
    assert isinstance(asked(tmp_path, slab=fewer["slab"]), Plan)
    assert isinstance(asked(tmp_path, slab=fewer["slab"] + 1), NoPlan)
    assert not any(way.id.key == "scent" for way in found.ways)


def test_a_pack_is_told_as_its_maker_wrote_it(tmp_path: Path) -> None:
    """Sixteen ounces stay that, in a plan's buying list and in that of one bar, with what the shelf costs unchanged."""
    shelf = SHELF.format(second=0.2).replace(
        "{fat: lard, price: 2.20 / kg}", "{fat: lard, packs: [{size: 16 oz, price: 2}]}"
    )
    goals = "shelf: shelf.yaml\nbuy: packs\nshares: {lard: {at_least: 80 %}}\nbatch: {fats: 1 kg}\n" + MADE
    plan_file = "shelf: shelf.yaml\nbuy: packs\nbars: [{goals: bar.yaml}]\n"
    shelf = shelf.replace("price: 7.40 / kg", "price: 7.40 / kg, stock: 3 kg")
    laid(tmp_path, {"shelf.yaml": shelf, "bar.yaml": goals, "plan.yaml": plan_file})
    planned = answer_plan(tmp_path / "plan.yaml")
    assert isinstance(planned, Plan)
    (line,) = planned.buying
    assert (line.size, line.number) == ("16 oz", 2.0)
    assert line.kilos == pytest.approx(2 * 0.45359237)  # an avoirdupois pound is 0.45359237 kg exactly
    assert "2 x 16 oz" in " ".join(printed(Paper(100), plan.parts(planned, Paper(100))).split())
    blend = optimiser.blend(tmp_path / "bar.yaml")
    assert isinstance(blend, Blend)
    assert blend.buying is not None
    assert blend.buying.sizes == ("16 oz",)
    assert "16 oz 2" in " ".join(text.blend(blend, 100).split())

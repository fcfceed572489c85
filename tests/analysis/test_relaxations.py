"""What makes peace: every offer is pasted into the files as a maker would, and answered from them."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from pasted import Tree, answered, drawn, is_met, opened, paste_into, tree
from strategies import at_least, at_most, exactly, examples, sheet_of, shelf_of, wish_id

from optimiser.analysis.conflicts import all_clashes
from optimiser.analysis.relaxations import MOST_ASIDE
from optimiser.analysis.rounded_moves import Move, rounded, step_of
from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, Change, Concession, NoBlend
from optimiser.files.goals import read_goals
from optimiser.files.shelf.shelf import read_shelf
from optimiser.model.programme import build
from optimiser.problem.wishes import WishId
from optimiser.solve.easing import bare
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
CANNOT = sorted((ROOT / "goals").glob("cannot-be*.yaml"))
KITTIWAKE = ROOT / "inventory" / "kittiwake.yaml"
FILES = settings(
    max_examples=examples(10), suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
SEEDS = st.integers(0, 10_000)

PRICES = {"palm oil": 2.0, "olive oil": 7.0, "coconut oil": 3.0, "castor oil": 5.0}
SMALL = shelf_of(PRICES)


def shelf_tree(prices: dict[str, float] | None = None, **stock: str) -> Tree:
    """A shelf as text; stocks by name with underscores."""
    fats: list[Any] = []
    for name, price in (prices or PRICES).items():
        left = stock.get(name.replace(" ", "_"))
        fats.append({"fat": name, "price": f"{price} / kg"} | ({"stock": left} if left else {}))
    alkalis = {"sodium hydroxide": {"price": "2.40 / kg", "purity": "98 %"}}
    return {"title": "an invented shelf", "currency": "EUR", "fats": fats, "alkalis": alkalis}


def no_blend(folder: Path, goals: Tree, shelf: Tree) -> NoBlend:
    """The answer where there is none."""
    told = answered(folder, goals, shelf)
    assert isinstance(told, NoBlend)
    return told


def check_all(folder: Path, goals: Tree, shelf: Tree) -> NoBlend:
    """Every concession opens a blend of its price once pasted, singles are the least, and they are in order."""
    told = no_blend(folder, goals, shelf)
    check_ranks(folder, told)
    ways = {way.changes: way for way in told.concessions}
    assert len({tuple(change.id for change in way.changes) for way in told.concessions}) == len(told.concessions)
    for way in ways.values():
        blend = opened(folder, goals, shelf, way)
        assert blend.cost.per_kg == pytest.approx(way.cost_per_kg, rel=1e-6, abs=1e-6)
        assert all(change.before != change.after for change in way.changes)
        if len(way.changes) == 1:
            least(folder, goals, shelf, way)
    return told


def check_ranks(folder: Path, told: NoBlend) -> None:
    """The smallest change first, in steps of natural scales; where one wish alone can make peace only single changes."""
    shelf = read_shelf(folder / "inventory" / "shelf.yaml")
    made = build(read_goals(folder / "goals" / "bar.yaml"), shelf)
    least_asked = build(bare(read_goals(folder / "goals" / "bar.yaml"), frozenset()), shelf)
    sizes = []
    for way in told.concessions:
        moved = [abs(change.after - change.before) / made.row_of(change.id).scale for change in way.changes]
        many = len(way.eases) >= MOST_ASIDE
        odd = any("lye" in str(change.id) and not 25.0 <= change.after <= 40.0 for change in way.changes)
        # what nobody would pour last, before it lye-heavy bars, odd lyes and those without the house
        sizes.append((way.is_far, way.is_lean, odd, many, round(sum(moved), 6)))
    assert sizes == sorted(sizes)
    singles = {way[0] for way in all_clashes(least_asked).ways_out if len(way) == 1}
    if singles:
        assert {way.changes[0].id for way in told.concessions if len(way.changes) == 1} <= singles
        assert any(len(way.changes) == 1 for way in told.concessions)
    for way in told.concessions:
        for change in way.changes:
            row = made.row_of(change.id)
            exact = change.id.side == "exactly"
            steps = change.after / (step_of(row) * (0.001 if exact and row.unit != "fats" else 1.0))
            assert steps == pytest.approx(round(steps), abs=1e-5)  # a figure that a person would write


def least(folder: Path, goals: Tree, shelf: Tree, way: Concession) -> None:
    """One step of the rounding less leaves no blend, or none with the rules of the house where the way out keeps them all."""
    (change,) = way.changes
    keeps_house = not way.is_lean and not any(
        item.at is not None for item in opened(folder, goals, shelf, way).stood_aside
    )
    for nearer in less(change):
        head, mark, tail = re.split(rf"(?<!_)({re.escape(side_of(change))})", change.paste, maxsplit=1)
        pasted = head + mark + tail.replace(shown(change.after), shown(nearer), 1)
        assert pasted != change.paste
        again = change._replace(after=nearer, paste=pasted)
        try:
            assert not is_met(folder, *paste_into(goals, shelf, [again]), keeps_house=keeps_house), pasted
        except BadInput as refused:  # at least the one and at most the other, and nothing between
            assert [fault.code for fault in refused.diagnostics] == ["contradiction"]  # noqa: PT017


def side_of(change: Change) -> str:
    """The side of the line that moves."""
    side = (
        "at_most"
        if change.where.startswith("shares, with")
        else (change.id.count_key if change.where == "fats" else change.id.side)
    )
    return f"{side}: " if f"{side}: " in change.paste else ": "


def less(change: Change) -> list[float]:
    """The figure a step nearer to the maker's, if there is one in between."""
    if change.unit == "fats":
        step = 1.0
    elif change.id.side == "exactly":
        step = 10.0 ** -max(1, len(shown(change.after).partition(".")[2]))
    else:
        fine = " / " in change.unit or change.unit in ("kg", "ratio") or change.id.key == "rancidity"
        step = 0.01 if fine or (change.id.origin == "practice" and change.id.key.startswith("fatty")) else 0.1
    towards = 1.0 if change.before > change.after else -1.0
    nearer = round(change.after + towards * step, 6)
    return [nearer] if (change.before - nearer) * towards > 1e-9 else []


def shown(value: float) -> str:
    """A figure as it stands in a line."""
    return f"{value:.6f}".rstrip("0").rstrip(".")


@pytest.mark.parametrize("path", CANNOT, ids=lambda path: path.stem)
def test_every_way_out_of_the_goals_that_cannot_be(path: Path, tmp_path: Path) -> None:
    """For each of the goal files that cannot be met every concession, pasted, opens a blend at its price."""
    told = check_all(tmp_path, tree(path), tree(KITTIWAKE))
    assert told.concessions
    assert told.complete


@example(seed=3119)  # a way out to a lye of which nobody knows what hardness it makes
@FILES
@given(SEEDS)
def test_every_way_out_of_goals_drawn_at_random(tmp_path: Path, seed: int) -> None:
    """Whatever clashes with what, every concession offered opens a blend at its price, and at least one is offered."""
    goals, shelf = drawn(seed, counted=False)
    assume(not is_met(tmp_path, goals, shelf))
    assert check_all(tmp_path, goals, shelf).concessions


@pytest.mark.long
@settings(FILES, max_examples=examples(3))
@given(SEEDS)
def test_every_way_out_where_fats_are_counted(tmp_path: Path, seed: int) -> None:
    """The same of goals that count fats or want no pinches."""
    goals, shelf = drawn(seed, counted=True)
    assume(not is_met(tmp_path, goals, shelf))
    assert check_all(tmp_path, goals, shelf).concessions


def ways(told: NoBlend) -> dict[tuple[WishId, ...], Concession]:
    """Concessions by what they move."""
    return {tuple(change.id for change in way.changes): way for way in told.concessions}


def single(told: NoBlend, member: WishId) -> Change:
    """The one change that moves a wish alone."""
    return ways(told)[(member,)].changes[0]


OFF = {"practice": "off"}


def test_an_exclusion_is_let_in_by_the_least_share(tmp_path: Path) -> None:
    """Free from palm on a shelf whose only hard fats are palm: a share of palm is let in, just enough."""
    goals = OFF | {"goals": {"hardness": {"at_least": "55"}}, "free_from": ["palm", "nut"]}
    shelf = shelf_tree({"palm oil": 2.0, "olive oil": 7.0})
    change = single(check_all(tmp_path, goals, shelf), wish_id("free_from.palm"))
    assert change.where == "shares, with palm taken out of free_from"
    assert change.before == 0.0
    assert 0.0 < change.after < 100.0


def test_an_exclusion_beside_a_share_of_the_same_tag(tmp_path: Path) -> None:
    """Free from palm and at least 30 % palm: the line for either keeps what the other line says."""
    goals = OFF | {"shares": {"palm": {"at_least": "30 %"}}, "free_from": ["palm"]}
    told = check_all(tmp_path, goals, shelf_tree())
    assert single(told, wish_id("free_from.palm")).paste == "palm: {at_least: 30 %, at_most: 30 %}"
    assert single(told, wish_id("shares.palm.at_least")).paste == "palm: {at_least: 0 %}"


def test_stock_is_raised_to_just_what_is_needed(tmp_path: Path) -> None:
    """Half of two kilos is one kilo: a stock of 0.4 kg rises to 1 kg and not to a gram more."""
    goals = OFF | {"batch": {"fats": "2 kg"}, "shares": {"olive oil": {"at_least": "50 %"}}}
    told = check_all(tmp_path, goals, shelf_tree(olive_oil="0.4 kg"))
    assert single(told, wish_id("stock.olive oil")).paste == "stock: 1 kg"
    assert single(told, wish_id("shares.olive oil.at_least")).paste == "olive oil: {at_least: 20 %}"


def test_a_large_stock_keeps_all_its_digits(tmp_path: Path) -> None:
    """Twelve tonnes and 345.67 kg are written to the last ten grams: six digits would fall short."""
    goals = OFF | {"batch": {"fats": "24691.34 kg"}, "shares": {"olive oil": {"at_least": "50 %"}}}
    told = check_all(tmp_path, goals, shelf_tree(olive_oil="1 kg"))
    assert single(told, wish_id("stock.olive oil")).paste == "stock: 12345.67 kg"


def test_house_practice_is_no_part_of_peace(tmp_path: Path) -> None:
    """A fifth of castor oil against the house's tenth is answered; beside a clash of the maker's own the house is not named."""
    goals: Tree = {"shares": {"castor oil": {"at_least": "20 %"}}}
    told = answered(tmp_path, goals, shelf_tree())
    assert isinstance(told, Blend)
    assert ("castor oil", 20.0) in {(item.said.subject, item.at) for item in told.stood_aside}
    goals["shares"] |= {"olive oil": {"at_least": "50 %"}, "palm oil": {"at_least": "40 %"}}
    none = check_all(tmp_path, goals, shelf_tree())
    assert {member.id.section for clash in none.clashes for member in clash} == {"shares"}
    assert {change.id.section for way in none.concessions for change in way.changes} == {"shares"}


def test_a_rule_already_overruled_moves_on(tmp_path: Path) -> None:
    """A maker's own figure for a rule is replaced, not doubled."""
    goals = {"shares": {"castor oil": {"at_least": "20 %"}}, "practice": {"castor oil": {"between": ["5 %", "12 %"]}}}
    change = single(check_all(tmp_path, goals, shelf_tree()), wish_id("practice.castor oil.at_most"))
    assert change.paste == "castor oil: {at_least: 5 %, at_most: 20 %}"


def test_what_alkali_stands_at_moves_for_its_own_kind_alone(tmp_path: Path) -> None:
    """A worst case that 5 % cannot give moves the default superfat; a hardness that less free oil would give does not."""
    wish = {"worst_case_superfat": {"at_least": "6 %"}}
    told = answered(tmp_path, OFF | {"goals": wish}, shelf_tree())
    assert isinstance(told, Blend)
    assert told.alkali.superfat > 6.0
    assert [item.rule for item in told.stood_aside] == ["practice.superfat.exactly"]
    hardest = answered(tmp_path, OFF | {"prefer": [{"hardness": {"at_least": "99"}}]}, shelf_tree())
    assert isinstance(hardest, Blend)
    harder = {"hardness": {"at_least": f"{hardest.figures['hardness'] + 0.5:.2f}"}}
    none = check_all(tmp_path, OFF | {"goals": harder}, shelf_tree())
    assert "goals.hardness.at_least" in {str(member.id) for clash in none.clashes for member in clash}


def test_a_word_gives_way_to_figures(tmp_path: Path) -> None:
    """Trace slow is a range in words; the line to paste keeps its other end."""
    goals = OFF | {"goals": {"trace_speed": "slow", "hardness": {"at_least": "62"}, "lye_concentration": "33 %"}}
    told = check_all(tmp_path, goals, shelf_tree())
    change = single(told, wish_id("goals.trace_speed.at_most"))
    assert change.paste == f"trace_speed: {{at_least: 25, at_most: {change.after:g}}}"


@pytest.mark.parametrize(("wished", "side"), [("60", "falls"), ("5", "rises")])
def test_a_bare_figure_moves_as_a_band(tmp_path: Path, wished: str, side: str) -> None:
    """Hardness exactly 60 on a soft shelf comes down to half a point above the hardest blend, and no further."""
    goals = OFF | {"goals": {"hardness": wished}}
    shelf = shelf_tree({"olive oil": 7.0, "sunflower oil": 2.0, "rapeseed oil": 2.0})
    change = single(check_all(tmp_path, goals, shelf), wish_id("goals.hardness.exactly"))
    assert change.before == float(wished)
    assert (change.after < change.before) == (side == "falls")


def test_a_bare_figure_moves_among_others(tmp_path: Path) -> None:
    """In a joint change a bare figure is told from the figure that the maker wrote."""
    goals = OFF | {
        "goals": {"hardness": "60", "quick_lather": {"at_least": "30"}, "iodine_value": {"at_least": "110"}},
        "shares": {"castor oil": {"at_least": "20 %"}, "olive oil": {"at_least": "30 %"}},
    }
    told = check_all(tmp_path, goals, shelf_tree({"olive oil": 7.0, "palm oil": 2.0, "castor oil": 5.0}))
    moved = [
        change for way in told.concessions for change in way.changes if change.id == wish_id("goals.hardness.exactly")
    ]
    assert moved
    assert all(change.before == 60.0 for change in moved)


def test_a_budget_by_the_bar(tmp_path: Path) -> None:
    """A cost per bar moves in cents per bar."""
    goals = OFF | {"goals": {"cost": {"at_most": "0.10 / bar"}}, "batch": {"bars": "10", "cured_weight": "110 g"}}
    change = single(check_all(tmp_path, goals, shelf_tree()), wish_id("goals.cost.at_most"))
    assert change.paste.endswith(" / bar}")
    assert change.unit == "EUR / bar"


def test_an_additive_moves(tmp_path: Path) -> None:
    """An additive asked for beyond the maker's own figure for it, or the figure, makes way."""
    goals = {
        "additives": {"sodium lactate": {"at_least": "5 %"}},
        "practice": {"sodium lactate": {"at_most": "3 %"}},
    }
    told = check_all(tmp_path, goals, shelf_tree())
    assert single(told, wish_id("additives.sodium lactate.at_least")).paste == "sodium lactate: {at_least: 3 %}"
    assert single(told, wish_id("practice.sodium lactate.at_most")).after == 5.0


def three_fats(**counts: str) -> Tree:
    """Three fats asked for, beside some counts."""
    shares = {name: {"at_least": "10 %"} for name in ("palm oil", "olive oil", "castor oil")}
    return OFF | {"shares": shares, "fats": counts}


def test_the_number_of_fats_moves_by_whole_fats(tmp_path: Path) -> None:
    """Three fats are asked for and two allowed: three it is, and what is said of pinches stays."""
    told = check_all(tmp_path, three_fats(at_most="2", each_at_least="4 %"), shelf_tree())
    change = single(told, wish_id("fats.at_most"))
    assert change.after == 3.0
    assert sorted(change.paste.removeprefix("fats: {").removesuffix("}").split(", ")) == [
        "at_most: 3",
        "each_at_least: 4 %",
    ]


def test_the_smallest_share_moves_to_the_largest_that_can_be(tmp_path: Path) -> None:
    """No fat below 30 % where palm oil may be a tenth at most but must be there: a tenth it is, not a pinch."""
    goals = OFF | {
        "shares": {"palm oil": {"at_most": "10 %", "at_least": "2 %"}},
        "fats": {"each_at_least": "30 %"},
    }
    change = single(check_all(tmp_path, goals, shelf_tree()), wish_id("fats.each_at_least"))
    assert change.after == 10.0


def test_both_counts_move_in_one_line(tmp_path: Path) -> None:
    """Where the number and the smallest share must both give, each line holds both new figures."""
    shares = {name: {"between": ["3 %", "5 %"]} for name in ("palm oil", "castor oil")}
    goals = OFF | {
        "shares": shares,
        "fats": {"at_most": "2", "each_at_least": "6 %"},
        "goals": {"hardness": {"at_least": "10"}},
    }
    told = check_all(tmp_path, goals, shelf_tree())
    both = [
        way
        for way in told.concessions
        if {wish_id("fats.at_most"), wish_id("fats.each_at_least")} <= {c.id for c in way.changes}
    ]
    assert both
    for way in both:
        lines = {change.paste for change in way.changes if change.where == "fats"}
        assert len(lines) == 1


def test_no_way_out_moves_what_did_not_clash(tmp_path: Path) -> None:
    """A goal that is part of no clash is never asked to give."""
    told = check_all(tmp_path, tree(CANNOT[0]), tree(KITTIWAKE))
    clashing = {member.id for clash in told.clashes for member in clash}
    assert {change.id for way in told.concessions for change in way.changes} <= clashing
    assert isinstance(opened(tmp_path, tree(CANNOT[0]), tree(KITTIWAKE), told.concessions[0]), Blend)


def test_a_little_from_every_wish_may_be_the_smallest_change(tmp_path: Path) -> None:
    """Of two wishes that clash, beside two that cannot be at all, both give a little: less in all than either alone."""
    goals = OFF | {
        "batch": {"bars": "12", "cured_weight": "100 g"},
        "goals": {
            "iodine_value": {"at_most": "53"},
            "wear_life": "27.1",
            "scum": {"at_most": "23.9"},
            "cost": {"at_most": "0.30 / bar"},
            "water_to_alkali": {"at_least": "2.1"},
        },
        "shares": {"mango butter": {"at_least": "12.6 %"}},
    }
    prices = {"sunflower oil": 13.46, "avocado oil": 4.07, "mango butter": 11.24, "rice bran oil": 14.70}
    told = check_all(tmp_path, goals, shelf_tree(prices, rice_bran_oil="0.14 kg"))
    both = {wish_id("goals.iodine_value.at_most"), wish_id("goals.wear_life.exactly")}
    assert sorted(map(len, (clash for clash in told.clashes))) == [1, 1, 2]
    first, *others = told.concessions
    assert both <= {change.id for change in first.changes}
    assert len(first.changes) == 4
    assert others
    for way in others:
        assert len(both & {change.id for change in way.changes}) == 1


@pytest.mark.parametrize(
    ("wish", "figure", "eased"),
    [
        ({"hardness": "90"}, 90.0, -1.0),
        ({"hardness": "5"}, 5.0, 1.0),
    ],
)
def test_a_bare_measure_is_moved_to_where_its_band_just_reaches(
    tmp_path: Path, wish: Tree, figure: float, eased: float
) -> None:
    """A bare figure out of reach is offered at half a point beyond the reach, since it means within half a point."""
    goals = OFF | {"goals": wish}
    change = single(check_all(tmp_path, goals, shelf_tree()), wish_id("goals.hardness.exactly"))
    side = "at_most" if eased > 0 else "at_least"
    reach = no_blend(tmp_path, OFF | {"goals": {"hardness": {side: wish["hardness"]}}}, shelf_tree())
    edge = single(reach, wish_id(f"goals.hardness.{side}")).after
    assert (change.after - figure) * eased > 0
    assert change.after - edge == pytest.approx(-0.5 * eased, abs=0.11)


@pytest.mark.parametrize("finer", [1.0, 0.1, 0.001])
def test_what_is_round_already_is_not_rounded_further(finer: float) -> None:
    """A figure within the solver's tolerance of a round one is that figure; beyond it the next one on the easy side."""
    made = build(sheet_of(at_least("hardness", 60.0), at_most("trace_speed", 20.0), exactly("superfat", 9.0)), SMALL)
    low, high = made.row_of(wish_id("goals.hardness.at_least")), made.row_of(wish_id("goals.trace_speed.at_most"))
    exact = made.row_of(wish_id("goals.superfat.exactly"))
    for off, down, up in ((5e-8, 51.3, 25.3), (-5e-8, 51.3, 25.3), (1e-5, 51.3, 25.4), (-1e-5, 51.2, 25.3)):
        assert rounded(Move(low, 51.3 + off), 0, 1.0) == pytest.approx(down, abs=1e-9)
        assert rounded(Move(high, 25.3 + off), 0, 1.0) == pytest.approx(up, abs=1e-9)
    assert rounded(Move(low, 51.3), 2, 1.0) == pytest.approx(51.1)
    assert rounded(Move(high, 25.3), 2, 1.0) == pytest.approx(25.5)
    step = 0.1 * finer
    assert rounded(Move(exact, 5.0 + 0.4 * step), 0, finer) == pytest.approx(5.0, abs=1e-6)
    assert rounded(Move(exact, 12.0 - 0.4 * step), 0, finer) == pytest.approx(12.0, abs=1e-6)
    assert rounded(Move(exact, 5.0), 2, finer) == pytest.approx(5.0 - step)  # one step more at the most


def test_a_line_that_opens_a_blend_without_the_house_is_offered_too(tmp_path: Path) -> None:
    """An all-olive bar that is to be hard: less hardness is offered beside less olive oil, though all-olive rules stand aside."""
    path = tmp_path / "bar.yaml"
    path.write_text("shares: {olive oil: 100 %}\ngoals: {hardness: {at_least: 58}, superfat: 5 %}\n", encoding="utf-8")
    told = answer(path, Path(__file__).parents[2] / "inventory" / "kittiwake.yaml")
    assert isinstance(told, NoBlend)
    assert [[change.id.key for change in way.changes] for way in told.concessions] == [["hardness"], ["olive oil"]]
    assert told.concessions[0].eases

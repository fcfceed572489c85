"""A sweep put together: figures that fit each other, exact answers, and beside them what `blend` says at other prices."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from sweeping import ROOT, SPREAD, as_json, programme

from optimiser.analysis.repricing import Repriced
from optimiser.analysis.sweep_parts import PartAnswer
from optimiser.answers import sweep_layout
from optimiser.answers.asked import read_question
from optimiser.answers.sweep import Kept, sweep
from optimiser.answers.sweep_figures import swing, whole
from optimiser.answers.sweep_layout import COUNTED_PART, LARGEST_PART, part_size
from optimiser.answers.sweep_results import Sweep
from optimiser.files.price_file import Typed
from optimiser.report.sweep_words import to_do
from optimiser.report.terminal.text import swept as as_text
from optimiser.solve.yielding import cheapest
from optimiser.text.diagnostics import BadInput

SHOCKS = "shocks: {today: {all fats: 0 %}, coconut oil: +40 %, palm: +60 %, all dearer: {all fats: +20 %}}\n"


def swept_over(text: str, folder: Path, *names: str, **told: object) -> Sweep:
    """Goal files of the tree over the scenarios of a text."""
    path = folder / "prices.yaml"
    path.write_text(text, encoding="utf-8")
    return sweep([ROOT / "goals" / f"{name}.yaml" for name in names], path, **told)  # type: ignore[arg-type]


def test_figures_of_a_bar_fit_each_other(tmp_path: Path) -> None:
    """Re-made is no dearer than kept, uses are shares, the handful holds today's blend, and the fixed one beats it on average."""
    found = swept_over(SPREAD, tmp_path, "budget", "fine-swirl", "laundry")
    assert len(found.goals) == 3
    for goal in found.goals:
        assert (goal.costs <= goal.kept_costs).all()
        assert goal.remade.mean <= goal.kept.mean
        assert 0.0 <= goal.saving_mean <= goal.saving_most
        assert all(0.0 <= fat.used_in <= 1.0 for fat in goal.fats)
        assert sum(fat.share for fat in goal.fats) == pytest.approx(100.0)
        assert goal.blends[0].label == "A"
        assert sum(one.best_in for one in goal.blends) == pytest.approx(1.0)
        assert 0.0 <= goal.handful <= 1.0
        assert goal.fixed.cost.mean <= goal.kept.mean * (1.0 + 1e-12)
        assert all(one.regret_worst >= one.regret_mean >= 0.0 for one in (*goal.blends, goal.fixed))
        assert all(one.cost.mean >= goal.remade.mean * (1.0 - 1e-12) for one in goal.blends)
        assert goal.missing == 0


def test_no_blend_held_fixed_costs_less_on_average(tmp_path: Path) -> None:
    """Over a table the mean cost of the blend held fixed is the least of all blends that any scenario has."""
    found = swept_over(SHOCKS, tmp_path, "budget").goals[0]
    assert all(found.fixed.cost.mean <= one.cost.mean + 1e-12 for one in found.blends)
    assert found.fixed.cost.mean < found.kept.mean


def test_at_today_s_prices_nothing_is_saved(tmp_path: Path) -> None:
    """The scenario that moves nothing costs today's cost, kept and re-made."""
    found = swept_over(SHOCKS, tmp_path, "budget", "design-fine-swirl", "mature-skin")
    for goal in found.goals:
        assert goal.kept_costs[0] == pytest.approx(goal.kept.today, rel=1e-12)
        assert goal.costs[0] == pytest.approx(goal.kept.today, rel=1e-7)


def test_it_says_what_blend_says_at_other_prices(tmp_path: Path) -> None:
    """Where no rule gave way and no pinch was tidied, re-made is what `blend` answers over the shelf with those prices."""
    found = swept_over(SHOCKS, tmp_path, "budget", "fine-swirl")
    for goal in found.goals:
        question = read_question(Path(goal.file))
        for place, factors in enumerate(({}, {"coconut oil": 1.4})):
            fats = tuple(
                item._replace(price=item.price * factors.get(item.fat.name, 1.0)) for item in question.shelf.fats
            )
            asked = cheapest(question.goals, question.shelf._replace(fats=fats))
            assert asked.found is not None
            before = asked.found if asked.before is None else asked.before[1]
            assert goal.costs[place] == pytest.approx(before.ratio, rel=1e-9)


def test_no_pinch_comes_back(tmp_path: Path) -> None:
    """A fat that was a pinch of today's blend is in no scenario's blend by less than the house would weigh, and that is said."""
    found = swept_over(SHOCKS, tmp_path, "mature-skin").goals[0]
    said = next(one for one in found.held if one.startswith("Never a pinch"))
    for blend in (*found.blends, found.fixed):
        assert all(share >= 2.9 for name, share in blend.fats if f"'{name}'" in said)


def test_how_often_a_limit_on_the_cost_is_broken(tmp_path: Path) -> None:
    """The share of scenarios above the file's limit, of today's blend and of every blend."""
    found = swept_over(SHOCKS, tmp_path, "budget").goals[0]
    limit = programme("budget")[0].most_costs[0]
    kept, made = float((found.kept_costs > limit).mean()), float((found.costs > limit).mean())
    assert found.over_kept == pytest.approx(kept)
    assert found.over == pytest.approx(made)
    assert kept > made


def test_files_without_a_blend_are_told_and_stop_nothing(tmp_path: Path) -> None:
    """The others are swept all the same; where none has one there is nothing to tell of."""
    found = swept_over(SHOCKS, tmp_path, "cannot-be", "budget")
    assert [one.file.endswith("cannot-be.yaml") for one in found.none] == [True]
    assert len(found.goals) == 1
    assert swept_over(SHOCKS, tmp_path, "cannot-be").goals == ()


def test_every_fault_of_all_files_is_told(tmp_path: Path) -> None:
    """Two goal files with a fault each."""
    files = []
    for number in range(2):
        files.append(tmp_path / f"{number}.yaml")
        files[-1].write_text(f"goals: {{hardnes{number}: 3}}\n", encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        sweep(files, tmp_path / "none.yaml", ROOT / "inventory" / "kittiwake.yaml")
    assert len(bad.value.diagnostics) == 2


def test_a_sweep_gone_on_with_is_the_same_to_the_byte(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some parts taken away, it is gone on with: only those are done, and the JSON is the same."""
    monkeypatch.setattr(sweep_layout, "PART", 1000)
    path = tmp_path / "prices.yaml"
    path.write_text(SPREAD, encoding="utf-8")
    typed = Typed(drawn=2500)
    names = ("laundry", "budget")
    plain = as_json(names, path, typed=typed)
    kept = tmp_path / "kept"
    assert as_json(names, path, typed=typed, kept=Kept(kept, resume=False, version="1")) == plain
    parts = sorted(kept.glob("part-*"))
    assert len(parts) == 6
    for one in (parts[1], parts[4]):
        one.unlink()
    todo: list[int] = []

    def watch(done: int, of: int, what: str) -> None:
        if what == "scenarios" and not done:
            todo.append(of)

    again = as_json(names, path, typed=typed, kept=Kept(kept, resume=True, version="1"), watch=watch)
    assert again == plain
    assert todo == [2000]


def test_a_changed_goal_file_is_not_gone_on_with(tmp_path: Path) -> None:
    """It is said which file has changed."""
    goals = tmp_path / "bar.yaml"
    goals.write_text("goals: {hardness: {at_least: 50}}\n", encoding="utf-8")
    prices = tmp_path / "prices.yaml"
    prices.write_text(SHOCKS, encoding="utf-8")
    shelf = ROOT / "inventory" / "kittiwake.yaml"
    sweep([goals], prices, shelf, kept=Kept(tmp_path / "kept", resume=False, version="1"))
    goals.write_text("goals: {hardness: {at_least: 51}}\n", encoding="utf-8")
    with pytest.raises(BadInput, match=r"bar\.yaml has changed"):
        sweep([goals], prices, shelf, kept=Kept(tmp_path / "kept", resume=True, version="1"))


def test_parts_are_laid_by_scenarios_alone() -> None:
    """Few scenarios are one part, many are two hundred, and counted fats have smaller ones."""
    assert part_size(500) == 10_000
    assert part_size(10_000_000) == 50_000
    assert part_size(10**9) == LARGEST_PART
    assert part_size(10**6, programme("everyday")[0]) == COUNTED_PART


def test_a_swing_by_hand() -> None:
    """Of costs 1 to 101: the mean 51, one in twenty below 6, one above 96; of fewer than twenty the ends."""
    found = swing(np.arange(1.0, 102.0), 50.0)
    assert found == pytest.approx((50.0, 51.0, 6.0, 96.0, 101.0))
    assert found.at_risk == pytest.approx(46.0)
    assert swing(np.arange(1.0, 4.0), 2.0) == (2.0, 2.0, 1.0, 3.0, 3.0)


def test_parts_are_put_together_in_order() -> None:
    """A blend that two parts have is one; what is not known stays so."""
    arrays, _ = programme("budget")
    one, other = arrays.kept, arrays.kept * 1.01
    numbers = np.array([0, 1]), np.array([0, -1])
    parts = [
        PartAnswer(numbers[0], np.array([1.0, 2.0]), np.array([1.0, 2.0]), np.array([one, other]), 3, 0),
        PartAnswer(numbers[1], np.array([2.0, np.nan]), np.array([2.0, 4.0]), np.array([other]), 1, 1),
    ]
    found = whole(parts, arrays)
    assert found.numbers.tolist() == [0, 1, 1, -1]
    assert found.known.tolist() == [0, 1, 2]
    assert (found.solved, found.alone) == (4, 1)
    assert Repriced(*found[:2], found.points).solved == 0


def test_counted_fats_are_swept(tmp_path: Path) -> None:
    """A file that counts its fats has no more of them in any scenario."""
    goal = json.loads(as_json(("everyday",), laid(tmp_path)))["goals"][0]
    assert goal["counted"]
    assert all(len(blend["fats"]) <= 6 for blend in goal["blends"])
    assert goal["not_known"] == 0


def laid(folder: Path) -> Path:
    """The shocks as a file."""
    path = folder / "prices.yaml"
    path.write_text(SHOCKS, encoding="utf-8")
    return path


def test_what_is_bought_at_today_s_prices_is_not_swept(tmp_path: Path) -> None:
    """A file that asks for the least cash is left out in words; the same file without that line is swept."""
    shelf = "currency: EUR\nfats:\n  - {fat: coconut oil, price: 3.1 / kg, packs: [{size: 5 kg, price: 16}]}\n"
    shelf += "  - {fat: olive oil, price: 7 / kg}\nalkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}\n"
    (tmp_path / "shelf.yaml").write_text(shelf, encoding="utf-8")
    plain = "shelf: shelf.yaml\nbatch: {fats: 12 kg}\ngoals: {hardness: {at_least: 25}}\nbuy: packs\n"
    (tmp_path / "plain.yaml").write_text(plain, encoding="utf-8")
    (tmp_path / "cash.yaml").write_text(plain + "aim: least cash\n", encoding="utf-8")
    prices = tmp_path / "prices.yaml"
    prices.write_text("shocks: {coconut oil: +40 %}\n", encoding="utf-8")
    found = sweep([tmp_path / "plain.yaml", tmp_path / "cash.yaml"], prices)
    assert [Path(goal.file).name for goal in found.goals] == ["plain.yaml"]
    (left_out,) = found.none
    assert "settled at today's prices" in left_out.why
    assert "ways out" not in as_text(found)


def test_the_nearest_blend_is_told_as_such(tmp_path: Path) -> None:
    """What the file asks for is said, and it is not among those to leave as they are."""
    prices = tmp_path / "prices.yaml"
    prices.write_text(SHOCKS, encoding="utf-8")
    found = sweep([ROOT / "examples" / "harder.yaml"], prices)
    assert found.goals[0].is_near
    assert "nearest blend" in found.goals[0].held[0]
    assert not any(one.head == "Leave as they are" for one in to_do(found))


def test_lots_of_a_fat_are_told_as_one(tmp_path: Path) -> None:
    """How often it is in, what it puts at risk and its break-even price are of the fat; beside one lot they are the same."""
    told = []
    for lots in ("stock: 900 kg", "lots: [{number: A, stock: 4 kg}, {number: B, stock: 900 kg}]"):
        shelf = f"currency: EUR\nfats:\n  - {{fat: coconut oil, price: 3.1 / kg, {lots}}}\n"
        shelf += "  - {fat: olive oil, price: 7 / kg}\n  - {fat: palm oil, price: 2 / kg}\n"
        (tmp_path / "shelf.yaml").write_text(
            shelf + "alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}\n", encoding="utf-8"
        )
        goals = tmp_path / "bar.yaml"
        goals.write_text(
            "shelf: shelf.yaml\nbatch: {fats: 50 kg}\n"
            "shares: {coconut oil: {at_least: 25 %}}\ngoals: {hardness: {at_least: 40}}\n",
            "utf-8",
        )
        prices = tmp_path / "prices.yaml"
        prices.write_text("shocks: {coconut oil: +40 %, all fats: +10 %}\n", encoding="utf-8")
        told.append({fat.fat: fat for fat in sweep([goals], prices).goals[0].fats})
    plain, joined = told
    assert set(joined) == set(plain)
    for name, fat in joined.items():
        assert fat.share == pytest.approx(plain[name].share, abs=1e-6)
        assert fat.adds == pytest.approx(plain[name].adds, abs=1e-9)
        assert fat.used_in == plain[name].used_in
        assert fat.price == pytest.approx(plain[name].price)
        for one, other in zip(fat[5:7], plain[name][5:7], strict=True):
            assert (one is None) == (other is None)
            assert one is None or one == pytest.approx(other, rel=1e-6)
    assert joined["coconut oil"].adds > 0.0


@pytest.mark.parametrize("fat", ["coconut oil", "lard"])
def test_what_is_bought_moves_with_its_fat(fat: str, tmp_path: Path) -> None:
    """Packs cheaper than the stock, and a tin beside tested lots, cost what `blend` says over a shelf with those prices."""

    def shelf(coconut: float, lard: float) -> str:
        packs = f"packs: [{{size: 5 kg, price: {16 * coconut}}}, {{size: 20 kg, price: {58 * coconut}}}]"
        return (
            "currency: EUR\nfats:\n"
            f"  - {{fat: coconut oil, price: {3.1 * coconut} / kg, stock: 1 kg, {packs}}}\n"
            f"  - {{fat: lard, price: {2.2 * lard} / kg, packs: [{{size: 5 kg, price: {9 * lard}}}],\n"
            "     lots: [{number: A, stock: 1 kg, saponification_value: 195}]}\n"
            "  - {fat: olive oil, price: 7 / kg, stock: 100 kg}\n  - {fat: palm oil, price: 2.6 / kg, stock: 2 kg}\n"
            "alkalis: {sodium hydroxide: {price: 2.4 / kg, purity: 98 %}}\n"
        )

    goals = tmp_path / "bar.yaml"
    goals.write_text(
        "batch: {fats: 12 kg}\nbuy: packs\npractice: {pinches: off}\n"
        "goals: {hardness: {at_least: 38}, quick_lather: {at_least: 15}}\n",
        encoding="utf-8",
    )
    (tmp_path / "shelf.yaml").write_text(shelf(1.0, 1.0), encoding="utf-8")
    by = {"coconut oil": (1.5, 1.0), "lard": (1.0, 1.2)}[fat]
    (tmp_path / "dearer.yaml").write_text(shelf(*by), encoding="utf-8")
    prices = tmp_path / "prices.yaml"
    prices.write_text(f"shocks: {{{fat}: {100 * (max(by) - 1):+.0f} %}}\n", encoding="utf-8")
    found = sweep([goals], prices, tmp_path / "shelf.yaml").goals[0]
    question = read_question(goals, tmp_path / "dearer.yaml")
    asked = cheapest(question.goals, question.shelf)
    assert asked.found is not None
    assert found.kept_costs[0] > found.kept.today * 1.01
    assert found.costs[0] == pytest.approx(asked.found.ratio, rel=1e-7)


def test_a_blend_that_is_not_the_cheapest_has_no_break_even_prices(tmp_path: Path) -> None:
    """Where pinches are left out at once a blend with enough of one may cost less even today: that is said, with no price."""
    found = swept_over(SHOCKS, tmp_path, "design-pot-swirl").goals[0]
    assert found.costs[0] < found.kept_costs[0] * (1.0 - 1e-6)
    assert any("not the cheapest of what is swept" in one for one in found.held)
    assert all(fat.stays_above is None and fat.stays_below is None for fat in found.fats)


def test_a_least_cost_has_no_break_even_prices(tmp_path: Path) -> None:
    """A blend that must cost so much is not allowed at other prices, so none of them ends what it is the cheapest at."""
    goals = tmp_path / "bar.yaml"
    goals.write_text("goals: {hardness: {at_least: 45}, cost: {at_least: 2.60 / kg}}\n", encoding="utf-8")
    found = sweep([goals], laid(tmp_path), ROOT / "inventory" / "kittiwake.yaml").goals[0]
    assert any("no break-even prices" in one for one in found.held)
    assert all(fat.stays_above is None and fat.stays_below is None for fat in found.fats)

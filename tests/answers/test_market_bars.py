"""Bars over two invented shelves: what comes in only where it is named, and pinches that go together."""

from __future__ import annotations

import json
import math
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest
from strategies import with_practice

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, NoBlend
from optimiser.cli.main import main
from optimiser.problem.goals import PracticeChange
from optimiser.problem.house_rules import of_least
from optimiser.problem.limits import NOWHERE
from optimiser.report.terminal import text

KITTIWAKE = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
MARKET, SMALL = (Path(__file__).parent / "shelves" / f"{name}.yaml" for name in ("market_town", "small"))
OILY = "for: oily skin\nbatch: {bars: 20, cured_weight: 100 g}\nadditives: {activated charcoal: 1 %}\nfree_from: [palm, animal]\n"
Told = Callable[[str, Path], Blend | NoBlend]


@pytest.fixture
def told(tmp_path: Path) -> Told:
    """The answer to a goal file's text over a shelf."""

    def made(written: str, shelf: Path) -> Blend | NoBlend:
        path = tmp_path / "bar.yaml"
        path.write_text(textwrap.dedent(written), encoding="utf-8")
        return answer(path, shelf)

    return made


def shares(story: Blend | NoBlend) -> dict[str, float]:
    """Per cent of each fat."""
    assert isinstance(story, Blend)
    return {line.fat: line.share for line in story.fats}


def flat(story: Blend | NoBlend) -> str:
    """The page as one line."""
    page = text.blend(story, 100) if isinstance(story, Blend) else text.no_blend(story, 100)
    return " ".join(page.split())


def test_pinches_that_do_not_go_one_by_one_go_together(told: Told) -> None:
    """Where no pinch goes by itself another fat may let all go: none is left, and no blend with that fat named is cheaper."""
    bar = told(OILY, KITTIWAKE)
    named = told(f"{OILY}shares: {{rice bran oil: {{at_least: 3 %}}}}\n", KITTIWAKE)
    assert min(shares(bar).values()) >= 3.0 - 1e-6
    assert isinstance(bar, Blend)
    assert isinstance(named, Blend)
    assert bar.cost.per_kg <= named.cost.per_kg * (1.0 + 1e-6)
    assert "no pinches" not in flat(bar)


def test_a_rule_that_gave_way_to_a_hair_leaves_no_pinches(told: Told) -> None:
    """A rule of the house gives a little more way rather than leave a gram of a fat in the pot."""
    bar = told(
        """
        goals: {quick_lather: {at_least: 36.7}, mildness: {at_least: 75}, hardness: {at_least: 62.6}, trace_speed: {at_most: 33.6}, cost: {at_most: 3 / kg}}
        free_from: [palm]
        """,
        MARKET,
    )
    assert min(shares(bar).values()) >= 3.0 - 1e-6
    assert isinstance(bar, Blend)
    given = [item.at for item in bar.stood_aside if item.at is not None]
    assert given == [pytest.approx(53.3, abs=0.25)]
    assert "house: no pinch of beef tallow and soybean oil." in flat(bar), (
        "a pinch would save nothing: the lye moves then"
    )


def test_strong_smelling_oils_come_in_only_where_they_are_named(told: Told) -> None:
    """Neem comes into no bar that does not name it (common practice, no source), and goes into one that does."""
    swirl = "design: fine swirl\nfor: everyday\nfree_from: [palm, animal]\n"
    assert "neem oil" not in shares(told(swirl, MARKET))
    named = told("free_from: [palm]\nshares: {neem oil: {at_least: 4 %}}\n", MARKET)
    assert shares(named)["neem oil"] == pytest.approx(4.0, abs=0.1)
    assert "Neem oil at least 4 % leaves no room for it" in flat(named)
    let_in = told("free_from: [palm]\nshares: {strong smelling: {at_most: 5 %}, neem oil: {at_least: 4 %}}\n", MARKET)
    assert "no strong smelling oils" not in flat(let_in)


@pytest.mark.parametrize(
    "goals",
    [
        "design: confetti\n",
        "for: mature skin\nbatch: {bars: 10, cured_weight: 115 g}\nadditives: {honey: 2 %, colloidal oatmeal: 2 %}\n",
    ],
)
def test_a_few_grams_of_stearic_acid_are_left_out(goals: str, told: Told) -> None:
    """Half a per cent of free fatty acid saves nothing that is felt and may seize the batter (common practice, no source)."""
    assert "stearic acid" not in shares(told(goals, MARKET))


def test_stearic_acid_that_is_named_stays(told: Told) -> None:
    """What the maker names is no pinch, however little."""
    named = told("design: confetti\nshares: {stearic acid: {at_least: 0.5 %}}\n", MARKET)
    assert shares(named)["stearic acid"] == pytest.approx(0.5, abs=0.05)


def test_what_is_a_pinch_of_a_kind_is_a_rule_that_can_be_overruled() -> None:
    """Of free fatty acids one per cent is a pinch, of waxes three tenths, of other fats three; or as the maker says."""
    sheet = with_practice()
    assert [3.0 * of_least(sheet, kind) for kind in ("butter", "fatty acid", "wax")] == pytest.approx([3.0, 1.0, 0.3])
    own = PracticeChange("pinches of fatty acids", (), NOWHERE)
    assert of_least(with_practice(practice=(own,)), "fatty acid") == 0.0


def test_a_shaving_bar_with_potash_is_made_of_tallow_and_stearic_acid(told: Told) -> None:
    """A puck softened by potassium is no bar of half stearic acid held hard by cocoa butter (common practice, no source)."""
    bar = shares(
        told("design: shaving bar\ngoals: {potassium_share: 40 %}\nadditives: {glycerine: 3 %}\n", MARKET),
    )
    assert 12.0 < bar["stearic acid"] < 25.0
    assert bar["beef tallow"] > 40.0
    assert "cocoa butter" not in bar


PASTE = "goals: {potassium_share: 100 %, superfat: 2 %, lye_concentration: 25 %}\nshares: {olive oil: {at_least: 40 %}, coconut oil: {at_least: 25 %}"


def test_a_paste_meant_clear_holds_few_long_saturated_acids(told: Told) -> None:
    """Palmitic and stearic soaps cloud a liquid soap (common practice, no source), unless the maker asks for them."""
    paste = told(f"{PASTE}}}\n", KITTIWAKE)
    assert isinstance(paste, Blend)
    assert shares(paste).get("palm oil", 0.0) < 25.0
    named = told(f"{PASTE}, palm oil: {{at_least: 30 %}}}}\n", KITTIWAKE)
    assert shares(named)["palm oil"] >= 30.0 - 1e-6
    bar = told("goals: {long_saturated: {at_least: 30 %}}\n", KITTIWAKE)
    assert isinstance(bar, Blend)


HONEYED = "free_from: [vegan]\nadditives: {honey: 2 %}\nliquids: {goat milk: 50 %}\n"


def clash_of(story: Blend | NoBlend) -> NoBlend:
    """An answer that is a clash."""
    assert isinstance(story, NoBlend)
    return story


def test_lines_that_the_file_rules_out_are_left_out(told: Told) -> None:
    """Honey and goat milk in a vegan bar: the way out is to leave both out, and not to let in lard; pasted it is a vegan bar."""
    story = clash_of(told(HONEYED, SMALL))
    (way,) = story.concessions
    assert [(str(change.id), change.after) for change in way.changes] == [
        ("additives.honey.exactly", 0.0),
        ("liquids.goat milk.exactly", 0.0),
    ]
    page = flat(story)
    assert "a. leave out honey and leave out goat milk: opens a blend at" in page
    assert "take out its line, additives: honey" in page
    assert "free from animal, which goat milk is not" in page
    assert "of the fats would have to be animal" not in page
    pasted = told("free_from: [vegan]\nadditives: {honey: 0 %}\nliquids: {goat milk: 0 %}\n", SMALL)
    without = told("free_from: [vegan]\n", SMALL)
    assert isinstance(pasted, Blend)
    assert isinstance(without, Blend)
    assert pasted.cost.per_kg == pytest.approx(without.cost.per_kg) == pytest.approx(way.cost_per_kg)


def test_a_tag_is_let_in_and_a_share_of_nothing_given_up(told: Told) -> None:
    """Ways out are told as a maker does them: let animal fats in, or give lard up."""
    page = flat(told("free_from: [animal, coconut]\nshares: {lard: {at_least: 20 %}}\n", SMALL))
    assert "let animal fats in (up to 20 % of the fats)" in page
    assert "give up lard at least 20 %: opens" in page
    assert "take out its line, shares: lard" in page
    assert "lard at least 20 %, given up" in page
    assert "lard: {at_least: 0 %}" not in page


def test_one_design_may_be_left_out_as_one_of_two_may(told: Told) -> None:
    """A castile in straight layers: to leave the layers out is among the ways out, beside the line that moves."""
    story = clash_of(told("design: straight layers\nshares: {olive oil: 100 %}\n", KITTIWAKE))
    assert any(str(way.changes[0].id) == "design.straight layers" for way in story.concessions)
    assert "leave out design straight layers: opens a blend at" in flat(story)


TIGHT = "{hardness: {at_least: 66}, mildness: {at_least: 72}, quick_lather: {at_least: 45}}"
TIGHTER = TIGHT.replace("72", "76")  # beyond what the superfat and the lye may move for


def test_how_far_a_clash_says_is_what_it_takes_at_the_least(told: Told) -> None:
    """Figures told in a clash are necessary and said to be no more; the house's superfat is named as what stands in the way."""
    story = clash_of(told(f"goals: {TIGHTER}\nfree_from: [palm, animal]\n", SMALL))
    page = flat(story)
    assert "One of these must give way, as far as this at least (a way out may ask more):" in page
    assert "What stands in the way: the superfat and the lye that the house works with until you name your own." in page
    moved = told(f"goals: {TIGHTER.replace('76', '75.6')}\nfree_from: [palm, animal]\n", SMALL)
    assert isinstance(moved, NoBlend), "so the figure is told as necessary alone"


def test_ways_to_what_nobody_would_pour_say_so_and_come_last(told: Told) -> None:
    """A way out whose blend says first that nobody would pour it says so on the clash page too, after all others."""
    story = clash_of(told(f"goals: {TIGHTER}\nfree_from: [palm, animal]\n", SMALL))
    far = [way.is_far for way in story.concessions]
    assert any(far)
    assert far == sorted(far)
    checked = 0
    for way in story.concessions:
        (change, *more) = way.changes
        if more or change.where not in ("goals", "practice"):
            continue
        goals = TIGHTER if change.where == "practice" else TIGHTER.replace(*moved_in(TIGHTER, change.paste))
        rules = f"practice: {{{change.paste}}}\n" if change.where == "practice" else ""
        opened = told(f"goals: {goals}\nfree_from: [palm, animal]\n{rules}", SMALL)
        assert isinstance(opened, Blend)
        assert bool(opened.far_off) == way.is_far
        checked += 1
    assert checked >= 2


def moved_in(goals: str, line: str) -> tuple[str, str]:
    """What a pasted line stands for in one goal of a file, and the line."""
    key = line.partition(":")[0]
    start = goals.index(f"{key}:")
    return goals[start : goals.index("}", start) + 1], line


def test_a_lye_out_of_the_ordinary_comes_after_all_others(told: Told) -> None:
    """A lye outside of 25-40 % (common practice, no source) is no way out that a maker reads first."""
    story = clash_of(
        told(
            """
            goals: {quick_lather: {at_least: 60}, mildness: {at_least: 75}, hardness: {at_least: 64}, trace_speed: very slow, cost: {at_most: 3 / kg}}
            free_from: [palm]
            """,
            MARKET,
        )
    )
    ranks = [
        (way.is_far, way.is_lean, any("lye" in str(change.id) and change.after < 25.0 for change in way.changes))
        for way in story.concessions
    ]
    assert ranks == sorted(ranks)
    assert not any(odd for *_, odd in ranks[:4])


@pytest.mark.long
@pytest.mark.parametrize(
    ("goals", "shelf", "sentence"),
    [
        ("for: mature skin\ngoals: {cost: {at_most: 3.00 / kg}}\n", MARKET, "! For mature skin is not met"),
        ("design: shaving bar\nfree_from: [animal, palm]\n", SMALL, ""),
        (
            f"goals: {TIGHT}\nfree_from: [palm, animal]\npractice: {{superfat: 16.1 %}}\n",
            SMALL,
            "! Nobody would pour this",
        ),
    ],
)
def test_feasible_says_what_the_blend_says_first(
    goals: str, shelf: Path, sentence: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """That there is a blend is told with the sentence that the blend begins with, and the exit code stays as it was."""
    path = tmp_path / "bar.yaml"
    path.write_text(goals, encoding="utf-8")
    story = answer(path, shelf)
    assert isinstance(story, Blend)
    sentence = sentence or ("! " if story.far_off else "There is a blend")
    assert main(["feasible", str(path), "--shelf", str(shelf)]) == 0
    out = capsys.readouterr().out
    assert out.startswith(sentence)
    assert "There is a blend that meets these goals." in out
    main(["blend", str(path), "--shelf", str(shelf)])
    page = capsys.readouterr().out
    assert page.startswith(out.partition("There is a blend")[0].rstrip("\n"))
    main(["feasible", str(path), "--shelf", str(shelf), "--json"])
    assert len(json.loads(capsys.readouterr().out)["far_off"]) == len(story.far_off)


@pytest.mark.long
def test_a_paste_is_told_as_a_paste(told: Told) -> None:
    """A paste has no ash, no rows of dashes and no cured bar; what is cloudy may stay so; lye-heavy says how much is short."""
    story = told(f"{PASTE}}}\n", KITTIWAKE)
    assert isinstance(story, Blend)
    page = " ".join(text.blend(story, 100, steps=True).split())
    assert "ash is likely" not in page
    assert "EUR / kg of dried paste" in page
    assert "Not told of a paste: hardness, wear life, quick lather, set-up, ash risk." in page
    assert "stays cloudy however long it is cooked" in page
    short = -story.alkali.superfat_likely_low
    assert short > 0.0
    assert f"about {math.ceil(10.0 * short) / 10.0:.1f} points more superfat" in page
    weaker = told("goals: {potassium_share: 10 %, lye_concentration: 24 %}\n", KITTIWAKE)
    assert "weaker than most makers use" in flat(weaker)


def test_a_shaving_batter_is_told_at_one_warmth_and_finished_hot(told: Told) -> None:
    """One figure for the warmth of a batter of much stearic acid, what goes into warm lye so told, and why no time is."""
    story = told("design: shaving bar\ngoals: {potassium_share: 40 %}\nadditives: {glycerine: 3 %}\n", MARKET)
    assert isinstance(story, Blend)
    page = " ".join(text.blend(story, 100, steps=True).split())
    assert "batter at 65 °C" in page
    assert "Keep it at about 65 °C" in page
    assert "50 °C" not in page
    assert "into the lye." in page
    assert "cooled lye" not in page
    assert "is finished hot" in page
    assert "o time to trace is told" in page

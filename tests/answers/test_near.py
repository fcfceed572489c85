"""The nearest blend to a recipe in hand, from two files to text and data."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from optimiser.answers.asked import read_question
from optimiser.answers.blend import Answered, answered
from optimiser.answers.choice_results import Choices
from optimiser.answers.choices import choices
from optimiser.answers.near_lines import NearFigures
from optimiser.answers.reach import reach
from optimiser.answers.reach_results import Reach
from optimiser.answers.results import Blend, NoBlend
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.files.in_use import files_in_use
from optimiser.files.recipe_file import read_recipe
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.report.terminal.near import sentence

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
SHELF = ROOT / "inventory" / "kittiwake.yaml"
HOUSE = """title: House bar
fats: {Olive Oil: 450 g, coconut: 250 g, palm oil: 250 g, castor oil: 50 g}
alkali: {sodium hydroxide: 143 g}
water: 300 g
"""
MILK = """title: Goat milk bar
fats: {canola oil: 300 g, lard: 400 g, coconut oil: 300 g}
superfat: 6 %
water: 300 g
liquids: {goat milk: 50 %}
additives: {sodium lactate: 40 g, honey: 10 g}
design: fine swirl
cure: 8 weeks
"""
OLIVE = "title: All olive\nfats: {olive oil: 2 kg}\nsuperfat: 4 %\nlye_concentration: 38 %\n"
PASTE = "title: Paste\nfats: {stearic acid: 400 g, coconut oil: 300 g, olive oil: 300 g}\nsuperfat: 3 %\npotassium_share: 90 %\nlye_concentration: 28 %\n"
PAIRS = {"house": HOUSE, "milk": MILK, "olive": OLIVE, "paste": PASTE}


def asked(folder: Path, goals: str, recipe: str = HOUSE) -> Answered:
    """The whole answer to goals near to a recipe."""
    (folder / "recipe.yaml").write_text(recipe, encoding="utf-8")
    (folder / "bar.yaml").write_text(f"near: recipe.yaml\n{goals}\n", encoding="utf-8")
    return answered(read_question(folder / "bar.yaml", SHELF))


def near_of(folder: Path, goals: str, recipe: str = HOUSE) -> tuple[Blend, NearFigures]:
    """The blend, and what is changed."""
    story = asked(folder, goals, recipe).story
    assert isinstance(story, Blend)
    assert story.near is not None
    return story, story.near


@pytest.mark.parametrize("name", sorted(PAIRS))
def test_nothing_asked_changes_nothing(tmp_path: Path, name: str) -> None:
    """A recipe without goals comes back to the gram: fats, alkali, water, additives, liquids and choices of the batch."""
    story, near = near_of(tmp_path, "", PAIRS[name])
    sheet = read_recipe(tmp_path / "recipe.yaml")
    whole = weigh(tmp_path / "recipe.yaml", shelf_file=SHELF).recipe
    assert near.is_unchanged
    assert {fat.name: grams for fat, grams in story.recipe.fats} == {item.name: item.grams for item in sheet.fats}
    assert story.recipe.sodium_hydroxide == pytest.approx(whole.sodium_hydroxide, abs=0.1001)
    assert story.recipe.potassium_hydroxide == pytest.approx(whole.potassium_hydroxide, abs=0.1001)
    assert story.recipe.water == pytest.approx(whole.water, abs=0.5)
    assert {item.name: grams for item, grams in story.recipe.additives} == pytest.approx(
        {item.name: grams for item, grams in whole.additives}, abs=0.5
    )
    assert (story.recipe.gel, story.recipe.cure_weeks, story.recipe.cured_water) == (
        whole.gel,
        whole.cure_weeks,
        whole.cured_water,
    )
    assert story.techniques == sheet.techniques
    assert story.title


def test_three_points_harder_is_one_fat_for_another(tmp_path: Path) -> None:
    """Harder and hardly dearer, the rest near: one fat out and one in, and the recipe's own superfat and lye stay."""
    story, near = near_of(tmp_path, "goals:\n  hardness: +3\n  cost: +0.60 / kg")
    hard = next(line for line in near.measures if line.measure.id == "hardness")
    assert story.figures["hardness"] == pytest.approx(hard.before + 3.0, abs=1e-4)
    assert near.cost_before is not None
    assert story.cost.per_kg <= near.cost_before + 0.6 + 1e-6
    assert len(near.fats) == 2
    assert near.moved <= 12.0
    assert near.proof.exact
    assert near.proof.least <= near.moved
    assert story.alkali.superfat == pytest.approx(near.superfat_before)


TRADE = [
    (
        "palm oil",
        {"lard", "beef tallow", "palm stearin"},
    ),  # common practice, no source: palm is replaced by lard or tallow
    ("coconut oil", {"babassu oil", "palm kernel oil"}),  # common practice, no source: one lauric oil for another
]


@pytest.mark.parametrize(("gone", "others"), TRADE)
def test_a_fat_that_ran_out_is_replaced_as_the_trade_does(tmp_path: Path, gone: str, others: set[str]) -> None:
    """One fat goes, and all of its share is taken by one that makers take for it."""
    _, near = near_of(tmp_path, f"shares: {{{gone}: 0 %}}")
    assert near.fats[0].fat == gone
    assert near.fats[0].why
    assert {change.fat for change in near.fats[1:]} <= others
    assert len(near.fats) == 2
    assert near.moved == pytest.approx(25.0, abs=1e-4)


STUDENTS = {  # first recipes as they are taught: common practice, no source
    "thirds": "{coconut oil: 340 g, palm oil: 330 g, olive oil: 330 g}",
    "seventy to thirty": "{olive oil: 700 g, coconut oil: 300 g}",
    "with sunflower": "{sunflower oil: 400 g, coconut oil: 300 g, lard: 300 g}",
}
LESSONS = ["goals: {hardness: +2}", "goals: {mildness: +3}", "goals: {rancidity: -0.3}", "free_from: [palm]"]


@pytest.mark.long
@pytest.mark.parametrize("goals", LESSONS)
@pytest.mark.parametrize("name", sorted(STUDENTS))
def test_a_students_recipe_is_mended_by_two_fats(tmp_path: Path, name: str, goals: str) -> None:
    """One fat out and one in where that will do; never more than three, and never a pinch."""
    story, near = near_of(tmp_path, goals, f"title: {name}\nfats: {STUDENTS[name]}\nsuperfat: 5 %\n")
    assert len(near.fats) <= 3
    assert all(change.after == 0.0 or change.after >= 3.0 - 1e-6 for change in near.fats)
    assert near.moved <= near.proof.least + 5.0 + 1e-6
    assert all(line.holds_when_weighed for line in story.goals if str(line.id).startswith("goals"))


def test_a_fat_that_must_go_is_told_first(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What goes and why stands before what comes in its place, and the alkali before the fats."""
    asked(tmp_path, "free_from: [palm]")
    assert main(["blend", str(tmp_path / "bar.yaml"), "--shelf", str(SHELF)]) == 0
    text = capsys.readouterr().out
    part = text[text.index("Nearest to House bar") :]
    order = ["Palm oil goes: it is not free from palm", "25.0 % of the fats changed", "Sodium hydroxide", "from  "]
    assert [part.index(words) for words in order] == sorted(part.index(words) for words in order)
    assert "never by" in " ".join(part.split())
    assert "Is it the nearest" in text
    assert "safety data sheet" in text


def test_the_data_has_what_is_changed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Moved, drift, what is proved, each fat with its shares, and the alkali's change in grams at the same mass of fats."""
    asked(tmp_path, "free_from: [palm]")
    assert main(["blend", str(tmp_path / "bar.yaml"), "--shelf", str(SHELF), "--json"]) == 0
    data: dict[str, Any] = json.loads(capsys.readouterr().out)
    near = data["near"]
    assert near["moved"] == pytest.approx(25.0, abs=1e-4)
    assert near["proved"] is True
    assert near["least_moved"] == pytest.approx(25.0, abs=1e-4)
    assert near["changed"][0] == {
        "fat": "palm oil",
        "from": 25.0,
        "to": 0.0,
        "from_g": 250.0,
        "to_g": 0.0,
        "why": "it is not free from palm",
    }
    assert near["alkali_change_g"] == pytest.approx(data["to_weigh"]["sodium_hydroxide_g"] - 143.0, abs=1e-6)
    assert near["drift"] == 0.0  # no measure moves by more than it is sure to
    assert {line["measure"] for line in near["measures"]} >= {"hardness", "trace_speed"}


def test_the_alkali_is_that_of_the_new_fats_by_hand(tmp_path: Path) -> None:
    """Moles by saponification values, less the superfat, by the purity: worked out here for the swapped recipe."""
    story, _ = near_of(tmp_path, "free_from: [palm]")
    demand = sum(grams * fat.saponification.value / 56106.0 for fat, grams in story.recipe.fats)
    by_hand = demand * (1.0 - story.alkali.superfat / 100.0) * 39.997 / story.recipe.sodium_purity
    assert story.recipe.sodium_hydroxide == pytest.approx(by_hand, abs=0.2)


def test_another_batch_tells_the_alkali_for_the_same_fats(tmp_path: Path) -> None:
    """Made for twice the fats, the recipe's own alkali is told doubled."""
    _, near = near_of(tmp_path, "batch: {fats: 2 kg}\nfree_from: [palm]")
    assert near.alkali_before[0] == pytest.approx(286.0, abs=0.3)
    assert near.fats[0].grams_before == pytest.approx(500.0, abs=0.5)


def test_goals_come_before_what_the_recipe_has(tmp_path: Path) -> None:
    """A superfat, a lye, an additive that the goals name are theirs; the rest is the recipe's."""
    story, _ = near_of(
        tmp_path, "goals: {superfat: 8 %, lye_concentration: 30 %}\nadditives: {sodium lactate: 2 %}", MILK
    )
    assert story.alkali.superfat == pytest.approx(8.0, abs=1e-6)
    assert story.water.lye_concentration == pytest.approx(30.0, abs=1e-6)
    told = {line.additive: line.share for line in story.additives}
    assert told == pytest.approx({"sodium lactate": 2.0, "honey": 1.0}, abs=1e-6)
    assert [line.liquid for line in story.liquids] == ["goat milk"]


def test_what_must_not_be_in_the_bar_goes(tmp_path: Path) -> None:
    """An additive or a liquid of the recipe that the goals exclude is left out, and told."""
    story, near = near_of(tmp_path, "free_from: [animal]", MILK)
    assert "goat milk" not in [line.liquid for line in story.liquids]
    assert any("Goat milk goes" in note for note in near.notes)
    assert [gone.fat for gone in near.gone] == ["lard"]


def test_a_recipe_that_would_burn_is_not_kept(tmp_path: Path) -> None:
    """The superfat of a lye-heavy recipe does not stand: the house's does, and the answer says so."""
    story, near = near_of(tmp_path, "", HOUSE.replace("143 g", "165 g"))
    assert story.alkali.superfat == pytest.approx(5.0, abs=1e-6)
    assert any("burns" in note for note in near.notes)


def test_house_rules_stand_at_what_the_recipe_has(tmp_path: Path) -> None:
    """An all-olive recipe is no reason to put other fats in; the answer says which rules stand where."""
    story, near = near_of(tmp_path, "goals: {mildness: as it is}", OLIVE)
    assert near.is_unchanged
    told = {str(item.said): item.at for item in story.stood_aside}
    assert any("olive oil" in said and at == 100.0 for said, at in told.items())
    assert all(item.why == "the recipe in hand has it so" for item in story.stood_aside)


def test_a_wax_comes_in_only_where_it_is_named(tmp_path: Path) -> None:
    """Beeswax would make the bar harder by the least change, and is another bar: it comes in where the goals name it."""
    _, near = near_of(tmp_path, "goals: {hardness: +3}")
    assert "beeswax" not in [change.fat for change in near.fats]
    _, near = near_of(tmp_path, "goals: {hardness: +3}\nmay_use: [beeswax]")
    assert "beeswax" in [change.fat for change in near.fats]


def test_no_blend_tells_the_clash(tmp_path: Path) -> None:
    """Where nothing can be as near as it likes and meet the goals, the clash is told in the words of the file."""
    story = asked(tmp_path, "goals: {hardness: +3, cost: -3 / kg}").story
    assert isinstance(story, NoBlend)
    assert any("in the recipe" in str(member.said) for clash in story.clashes for member in clash)


def test_kept_and_weighed_again_it_meets_the_goals(tmp_path: Path) -> None:
    """What is saved is judged against the goals that were told from the first recipe, and holds; the first recipe does not."""
    story, _ = near_of(tmp_path, "goals: {hardness: +3}")
    saved = tmp_path / "new.yaml"
    saved.write_text(recipe_yaml(story, saved), encoding="utf-8")
    assert weigh(saved, shelf_file=SHELF, goal_file=tmp_path / "bar.yaml").meets_goals
    assert weigh(tmp_path / "recipe.yaml", shelf_file=SHELF, goal_file=tmp_path / "bar.yaml").meets_goals is False


@pytest.mark.parametrize("command", ["feasible", "reach"])
def test_other_commands_take_a_recipe_too(tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Whether, and how far: the goals told from the recipe count, being near to it does not."""
    asked(tmp_path, "goals: {hardness: +3}")
    assert main([command, str(tmp_path / "bar.yaml"), "--shelf", str(SHELF), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    hard = [line for line in data.get("reach", []) if line["id"] == "hardness"]
    assert data["status"] == "feasible"
    assert all(line["low_limit"] > 60.0 and line["low"] < line["low_limit"] for line in hard)


def test_the_room_is_that_of_the_goals(tmp_path: Path) -> None:
    """Near to a recipe the goals leave as much room as without it: being near, and changing few fats, is no limit."""
    (tmp_path / "recipe.yaml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("goals: {hardness: {at_least: 64}}\n", encoding="utf-8")
    found = reach(tmp_path / "bar.yaml", SHELF, tmp_path / "recipe.yaml")
    assert isinstance(found, Reach)
    room = {line.id: (line.low, line.high) for line in found.lines}
    low, high = room["quick_lather"]
    assert low is not None
    assert high is not None
    assert high - low > 10.0
    low, high = room["rancidity"]
    assert low is not None
    assert high is not None
    assert high - low > 0.5


def test_counted_fats_are_the_solvers_word(tmp_path: Path) -> None:
    """At most five fats: as near as the solver's bound says, and it says that it is that."""
    story, near = near_of(tmp_path, "goals: {hardness: +3}\nfats: {at_most: 5, each_at_least: 4 %}")
    assert not near.proof.exact
    assert len(story.fats) <= 5
    assert near.moved == pytest.approx(near.proof.least, abs=1e-3)


def test_preferences_come_before_nearness(tmp_path: Path) -> None:
    """A preference that can be met is met, however far that is from the recipe."""
    story, near = near_of(tmp_path, "prefer:\n  - palm oil: {at_most: 0 %}")
    assert story.preferences[0].met
    assert near.moved == pytest.approx(25.0, abs=1e-4)


def test_the_programme_for_other_solvers_names_its_columns(tmp_path: Path) -> None:
    """The columns that tell how far a blend is from the recipe have names of their own, rows too."""
    from optimiser.answers.lp_file import lp_of

    found = asked(tmp_path, "goals: {hardness: +3}")
    text = lp_of(found.programme, found.ratio, found.story)
    assert "less.olive_oil" in text
    assert "drift.hardness" in text


def test_what_the_readme_shows_is_part_of_the_answer(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The part of an answer that the README prints is the program's own, to the letter."""
    shown = README.read_text(encoding="utf-8").partition(
        "<!-- in: barwright blend examples/harder.yaml -->\n```text\n"
    )[2]
    monkeypatch.chdir(ROOT)
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["blend", "examples/harder.yaml"]) == 0
    assert f"\n{shown.partition('```')[0]}\n" in capsys.readouterr().out


def test_the_recipe_in_hand_is_in_use(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is watched as the other files are, and never written over, named in the file or on the command line."""
    asked(tmp_path, "")
    bar, recipe = tmp_path / "bar.yaml", tmp_path / "recipe.yaml"
    assert recipe in files_in_use(bar)
    assert tmp_path / "other.yaml" in files_in_use(bar, None, tmp_path / "other.yaml")
    before = recipe.read_text(encoding="utf-8")
    assert main(["blend", str(bar), "--shelf", str(SHELF), "--save", str(recipe), "--force"]) == 2
    assert "never written over" in capsys.readouterr().err
    assert recipe.read_text(encoding="utf-8") == before


BY_BARS = """title: Workhorse
shelf: {shelf}
batch: {batch}
fats: {{olive oil: 40 %, palm oil: 30 %, coconut oil: 25 %, castor oil: 5 %}}
superfat: 5 %
lye_concentration: 33 %
"""
BATCHES = {
    "bars": "{bars: 24, cured_weight: 105 g}",
    "cavities": "{mould: {cavities: 6, volume: 80 ml}}",
    "slab": "{mould: {length: 10 in, width: 3.5 in, depth: 2.5 in}}",
    "batter": "{batter: 4 kg}",
    "fats": "{fats: 3 lb}",
    "scale": "{fats: 900 g, scale: 5 g}",
}


@pytest.mark.parametrize("name", sorted(BATCHES))
def test_the_recipes_own_batch_stands(tmp_path: Path, name: str) -> None:
    """As much is made as the recipe makes, and what it took is told as it is weighed out, to the gram; goals may say otherwise."""
    recipe = BY_BARS.format(shelf=SHELF, batch=BATCHES[name])
    story, near = near_of(tmp_path, "goals: {hardness: +3}", recipe)
    was = weigh(tmp_path / "recipe.yaml", shelf_file=SHELF).recipe
    assert near.alkali_before == (was.sodium_hydroxide, was.potassium_hydroxide)
    grams = {fat.name: weight for fat, weight in was.fats}
    assert near.fats
    assert all(line.grams_before == grams.get(line.fat, 0.0) for line in near.fats)
    assert story.recipe.fat_grams == pytest.approx(was.fat_grams, rel=0.01, abs=5.0)
    batch = read_question(tmp_path / "bar.yaml", SHELF).goals.batch
    told = read_recipe(tmp_path / "recipe.yaml").to_make
    assert told is not None
    assert (batch.bars, batch.mould, batch.batter_kg, batch.fats_kg) == (
        told.bars,
        told.mould,
        told.batter_kg,
        told.fats_kg,
    )
    assert batch.scale_g == told.scale_g
    other, of_other = near_of(tmp_path, "goals: {hardness: +3}\nbatch: {fats: 5 kg}", recipe)
    assert other.recipe.fat_grams == pytest.approx(5000.0, abs=2.0)
    assert of_other.alkali_before[0] == pytest.approx(
        5000.0 * was.sodium_hydroxide / was.fat_grams, abs=1.1 + 5.6 * (told.scale_g or 0.0)
    )


def test_the_shelf_of_the_recipe_will_do(tmp_path: Path) -> None:
    """A goal file without a shelf, near to a recipe that names one, is asked over that."""
    (tmp_path / "recipe.yaml").write_text(BY_BARS.format(shelf=SHELF, batch="{fats: 1 kg}"), encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("near: recipe.yaml\ngoals: {hardness: +3}\n", encoding="utf-8")
    assert Path(read_question(tmp_path / "bar.yaml").shelf.path) == SHELF


@pytest.mark.parametrize("name", ["bars", "cavities", "slab"])
def test_choices_near_to_a_recipe_by_bars(tmp_path: Path, name: str) -> None:
    """The first is the nearest, and no other changes more of the recipe than that one, though the nearest of all may be dearer."""
    (tmp_path / "recipe.yaml").write_text(BY_BARS.format(shelf=SHELF, batch=BATCHES[name]), encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("near: recipe.yaml\ngoals: {hardness: +3, cost: +0.20 / kg}\n", encoding="utf-8")
    found = choices(tmp_path / "bar.yaml", SHELF)
    assert isinstance(found, Choices)
    assert found.choices[0].says.startswith("the nearest")
    assert len(found.choices) > 1
    own = {"olive oil": 40.0, "palm oil": 30.0, "coconut oil": 25.0, "castor oil": 5.0}
    first, *others = (
        sum(
            max(0.0, share - {line.fat: line.share for line in one.blend.fats}.get(fat, 0.0))
            for fat, share in own.items()
        )
        for one in found.choices
    )
    assert all(moved <= first + 0.01 for moved in others)


@pytest.mark.parametrize(("fats", "why"), [(5, "takes 5 fats"), (2, "leaves a pinch"), (0, "leaves a pinch")])
def test_why_the_nearest_of_all_is_not_told(tmp_path: Path, fats: int, why: str) -> None:
    """It changes more fats than the one that is told, or leaves a pinch: which is said."""
    _, near = near_of(tmp_path, "goals: {hardness: +3}")
    proof = near.proof._replace(least=near.moved - 1.0, fats=fats)
    told = sentence(near._replace(proof=proof))
    assert why in told
    assert ("pinch" in told) is (fats <= len(near.fats))


LARD = (
    "title: Lard\nfats: {lard: 900 g, coconut oil: 340 g, olive oil: 570 g}\nsuperfat: 6 %\nlye_concentration: 32 %\n"
)


def test_a_rule_of_the_house_never_costs_nearness_unspoken(tmp_path: Path) -> None:
    """Where a rule alone keeps the nearest blend more than a pinch further off, it is named, with the line and what it would be."""
    goals = "goals: {quick_lather: +4, hardness: +1, cost: no dearer}\nfree_from: [palm]"
    blend, near = near_of(tmp_path, goals, LARD)
    told = [note for note in near.notes if "rule of the house" in note]
    free, of_free = near_of(tmp_path, f"{goals}\npractice: {{solid fats: off}}", LARD)
    assert near.moved - of_free.moved > 3.0
    assert [f"{of_free.moved:.1f} % changed" in note for note in told] == [True]
    assert "practice: {solid fats: off}" in told[0]
    assert not any("rule of the house" in note for note in of_free.notes)
    assert blend.recipe != free.recipe


@pytest.mark.parametrize("told", ["superfat: 5 %\nlye_concentration: 50 %", "superfat: 5 %\nlye_concentration: 49.9 %"])
def test_a_strong_lye_of_the_recipe_stands(tmp_path: Path, told: str) -> None:
    """A lye at the very end of what may be asked for is kept to the gram of water, whatever a balance rounds it to."""
    recipe = f"title: Strong\nfats: {{olive oil: 500 g, coconut oil: 300 g, palm oil: 200 g}}\n{told}\n"
    story, near = near_of(tmp_path, "", recipe)
    assert story.recipe.water == pytest.approx(weigh(tmp_path / "recipe.yaml", shelf_file=SHELF).recipe.water, abs=0.5)
    assert near.is_unchanged
    assert "nothing is changed" in sentence(near)


def test_a_lye_that_cannot_stand_is_told_and_the_water_compared(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """Water too little to dissolve the alkali: the lye is the house's, a note says so, and both waters are told."""
    recipe = HOUSE.replace("water: 300 g", "water: 110 g")
    _, near = near_of(tmp_path, "", recipe)
    assert any("lye concentration of 56" in note and "does not stand" in note for note in near.notes)
    assert near.water_before == pytest.approx(110.0)
    main(["blend", str(tmp_path / "bar.yaml"), "--shelf", str(SHELF)])
    text = " ".join(capfd.readouterr().out.split())
    assert f"{near.water_after:.1f} g in place of 110.0 g" in text
    assert "nothing is changed" not in text


SALT = "title: Salt\nfats: {coconut oil: 800 g, castor oil: 50 g, shea butter: 150 g}\nsuperfat: 18 %\nadditives: {salt: 700 g}\n"


def test_a_wax_comes_in_last_of_all(tmp_path: Path) -> None:
    """A salt bar that is to be harder: rules of the house give way before a wax comes in that the recipe has none of."""
    story, _ = near_of(tmp_path, "goals: {hardness: +3, cost: +0.60 / kg}", SALT)
    assert not [fat.name for fat, _ in story.recipe.fats if fat.kind in ("wax", "fatty acid")]


def test_what_the_recipe_brings_is_doubted_where_it_is_named(tmp_path: Path) -> None:
    """A warning of the recipe's own lactate stands at the line that names the recipe; nowhere where it was typed."""
    (tmp_path / "recipe.yaml").write_text(SALT.replace("salt: 700 g", "sodium lactate: 70 g"), encoding="utf-8")
    (tmp_path / "bar.yaml").write_text("title: A bar\nnear: recipe.yaml\n", encoding="utf-8")
    (tmp_path / "typed.yaml").write_text("title: A bar\n", encoding="utf-8")
    (odd,) = [item for item in read_question(tmp_path / "bar.yaml", SHELF).warnings if "sodium lactate" in item.message]
    assert odd.span is not None
    assert (Path(odd.span.file).name, odd.span.line) == ("bar.yaml", 2)
    typed = read_question(tmp_path / "typed.yaml", SHELF, tmp_path / "recipe.yaml").warnings
    assert [item.span for item in typed if "sodium lactate" in item.message] == [None]


def test_a_batch_too_small_for_its_balance_is_told(tmp_path: Path) -> None:
    """Four grams of fats: a step of the balance is a great part of the alkali, which `resize` says too; a kilo says nothing."""
    _, near = near_of(tmp_path, "", "title: Tiny\nfats: {olive oil: 3 g, coconut oil: 1 g}\nsuperfat: 5 %\n")
    assert any("finer balance" in note for note in near.notes)
    assert not any("finer balance" in note for note in near_of(tmp_path, "")[1].notes)

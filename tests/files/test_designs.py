"""Designs and people: what they bring, what replaces it, how it clashes, and how their own files are read."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from reading import read
from strategies import SPAN, wish_id

from optimiser.answers.blend import answer, answer_for, feasibility
from optimiser.answers.results import Blend, Feasible, NoBlend
from optimiser.answers.weigh import weigh
from optimiser.cli import reference
from optimiser.files.design_steps import POUR_TO
from optimiser.files.designs import by_name, designs, own_designs, people
from optimiser.files.goals import read_goals
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.problem.batch import Batch
from optimiser.problem.designs import Design, bring
from optimiser.problem.goals import GoalSheet
from optimiser.recipe.compliance import verdicts, wishes
from optimiser.report.json import documents as data
from optimiser.report.recipe_yaml import recipe_yaml
from optimiser.report.terminal import text
from optimiser.text.diagnostics import BadInput

ROOT = Path(__file__).parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
EVERY = (*designs(), *people())
OWN = """\
designs:
  - name: our veil
    also: [veil]
    about: Two thin colours, one poured through the other.
    pour_to: thin trace
    batch: {gel: {use: yes, why: It deepens the colours.}}
    goals:
      trace_speed: {at_most: 27, why: The veil must fall.}
    shares:
      butters: {at_most: 3 %, why: Butters thicken it.}
people:
  - name: kitchen hands
    about: A bar for hands that smell of onions.
    goals:
      superfat: {between: [2 %, 4 %], why: It rinses clean.}
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Callable[[str], GoalSheet]:
    """The goals in a text, in a folder of their own."""

    def made(text: str) -> GoalSheet:
        path = tmp_path / "goals" / "bar.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return read_goals(path, SHELF)

    return made


@pytest.fixture
def blended(sheet: Callable[[str], GoalSheet]) -> Callable[[str], Blend]:
    """The blend that a text asks for over the demo shelf."""

    def made(text: str) -> Blend:
        found = answer(Path(sheet(text).path), SHELF)
        assert isinstance(found, Blend), data.no_blend(found)["clashes"]
        return found

    return made


def shares(blend: Blend) -> dict[str, float]:
    """Per cent by fat."""
    return {line.fat: line.share for line in blend.fats}


def apart(one: Blend, other: Blend) -> float:
    """How much of one blend would have to be exchanged to make the other, per cent of the fats."""
    first, second = shares(one), shares(other)
    return sum(abs(first.get(name, 0.0) - second.get(name, 0.0)) for name in {*first, *second}) / 2.0


# -- the tables ----------------------------------------------------------------------------------------------------


def test_there_are_ten_designs_and_several_users() -> None:
    """At least ten techniques and four users of a bar are told of."""
    assert len(designs()) >= 10
    assert {"everyday", "oily skin", "mature skin", "working hands"} <= {whom.name for whom in people()}


@pytest.mark.parametrize("design", EVERY, ids=lambda design: design.name)
def test_every_row_has_a_reason_and_a_status(design: Design) -> None:
    """One line on what it is; rows on known quantities and shares, each with a sentence and a status of its own."""
    assert design.about.endswith(".")
    assert design.rows
    for row in design.rows:
        assert row.why.endswith(".")
        assert len(row.why.split()) >= 5
        assert row.status in {"prior", "common practice, no source"}
        assert row.limit.subject != "quantity" or row.limit.key in quantities()
    for choice in design.choices:
        assert choice.why.endswith(".")
        assert choice.status in {"prior", "common practice, no source"}


@pytest.mark.parametrize("design", designs(), ids=lambda design: design.name)
def test_every_design_says_where_to_stop_and_what_comes_after(design: Design) -> None:
    """A technique tells what the batter must do, the trace to pour at, and how to cover and cure."""
    assert design.pour_to in POUR_TO
    assert design.batter
    assert design.cover
    assert design.cure


@pytest.mark.parametrize("design", EVERY, ids=lambda design: design.name)
def test_what_replaces_a_rule_of_the_house_has_both_ends(design: Design) -> None:
    """The house's 5 % superfat and 33 % lye give way to a design's, so a design sets the least and the most of them."""
    for key in ("superfat", "lye_concentration"):
        sides = {row.limit.side for row in design.rows if row.limit.key == key}
        assert sides in (set(), {"at_least", "at_most"}), key


def test_a_user_claims_nothing_but_washing() -> None:
    """No word of medicine stands in what is said of skin."""
    claims = (
        "heal",
        "cure",
        "treat",
        "eczema",
        "acne",
        "psoriasis",
        "dermat",
        "medic",
        "therap",
        "inflam",
        "anti",
        "rash",
    )
    for whom in people():
        said = " ".join((whom.about, *(row.why for row in whom.rows))).casefold()
        assert not [claim for claim in claims if claim in said], whom.name


# -- in a goal file ------------------------------------------------------------------------------------------------


def test_a_design_becomes_rows_with_its_name_and_reason(sheet: Callable[[str], GoalSheet]) -> None:
    """Ids, words, span and reason of a design's row are the design's; its choices are the batch's."""
    found = sheet("title: x\ndesign: Fine  Swirl\nfor: mature skin\n")
    rows = {row.wish: row for row in build(found, read(Path(found.path), SHELF)[1]).rows}
    row = rows[wish_id("design.fine swirl.trace_speed.at_most")]
    assert (row.origin, str(row.said), row.limit) == ("design", "design fine swirl: trace speed at most 28", 28.0)
    assert row.span is not None
    assert (row.span.line, row.span.column) == (2, 9)
    assert row.why.startswith("Lines as thin")
    assert rows[wish_id("for.mature skin.superfat.at_least")].origin == "design"
    assert rows[wish_id("for.mature skin.superfat.at_least")].span is not None
    assert found.batch.batter_temperature == 30.0
    assert wish_id("practice.superfat.exactly") not in rows
    assert wish_id("practice.lye concentration.exactly") not in rows
    assert wish_id("practice.castor oil.at_most") in rows  # of castor oil and all that is built on it
    assert wish_id("practice.lauric oils.at_most") not in rows
    assert wish_id("practice.solid fats.at_most") not in rows
    assert wish_id("practice.hydrogenated fats.at_most") in rows


def test_the_makers_own_key_replaces_a_designs(sheet: Callable[[str], GoalSheet]) -> None:
    """A key under goals or shares puts both sides of the design's aside, and the answer says so; others stay."""
    found = sheet("design: fine swirl\ngoals: {trace_speed: {at_most: 33}}\nshares: {butters: {at_most: 9 %}}\n")
    keys = {item.limit.key for item in found.brought}
    assert not keys & {"trace_speed", "butters"}
    assert "solid fats" in keys
    assert "Your own limits on trace speed and butters replace those of fine swirl." in found.design_notes


@pytest.mark.parametrize(
    ("design", "key", "aside"),
    [
        ("design: fine swirl", "water_to_alkali: {between: [1.8, 2.2]}", "lye_concentration"),
        ("design: fine swirl", "water_share_of_fats: {at_most: 30 %}", "lye_concentration"),
        ("for: mature skin", "harshness: {at_most: 34}", "mildness"),
        ("for: laundry", "mildness: {at_least: 60}", "harshness"),
    ],
)
def test_the_same_figure_in_other_words_replaces_it_too(
    sheet: Callable[[str], GoalSheet], design: str, key: str, aside: str
) -> None:
    """Who gives the water one way has spoken of the lye in every way, and who speaks of harshness has of mildness."""
    assert [item for item in sheet(f"{design}\n").brought if item.limit.key == aside]
    found = sheet(f"{design}\ngoals: {{{key}}}\n")
    assert not [item for item in found.brought if item.limit.key == aside]
    assert [item for item in found.brought if item.limit.key not in (aside, key.partition(":")[0])]


def test_whom_it_is_for_decides_what_a_design_leaves_open(sheet: Callable[[str], GoalSheet]) -> None:
    """The superfat of a design stands aside for that of a user; a hardness that both ask stays with both."""
    found = sheet("design: chequer of blocks\nfor: mature skin\n")
    superfats = {f"{item.family}.{item.design}" for item in found.brought if item.limit.key == "superfat"}
    assert superfats == {"for.mature skin"}
    assert any("for mature skin replace those of chequer of blocks" in note for note in found.design_notes)
    both = sheet("design: stamped bar\nfor: working hands\n")
    assert {f"{item.family}.{item.design}" for item in both.brought if item.limit.key == "hardness"} == {
        "design.stamped bar",
        "for.working hands",
    }


@pytest.mark.parametrize(
    ("text", "batter", "gel"),
    [
        ("design: chequer of blocks\n", 38.0, True),
        ("design: chequer of blocks\nbatch: {gel: no}\n", 38.0, False),
        ("design: chequer of blocks\nbatch: {batter_temperature: 33 degC, bars: 5}\n", 33.0, True),
        ("design: [fine swirl, chequer of blocks]\n", 30.0, False),
        ("design: [drop swirl, chequer of blocks]\n", 32.0, True),
        ("design: straight layers\n", 35.0, False),
    ],
)
def test_choices_of_the_batch_are_defaults(
    sheet: Callable[[str], GoalSheet], text: str, batter: float, *, gel: bool
) -> None:
    """What the maker's batch says comes first, then the first design named; what replaces what is told."""
    found = sheet(text)
    assert (found.batch.batter_temperature, found.batch.gel) == (batter, gel)
    if "batch" in text or "[" in text:
        assert any("replaces" in note or "stands aside" in note for note in found.design_notes)


@pytest.mark.long
def test_two_designs_that_want_opposite_things_clash(sheet: Callable[[str], GoalSheet]) -> None:
    """Straight layers and a fine swirl are a clash of their own rows, and the ways out open a blend when written down."""
    path = Path(sheet("title: both\ndesign: [straight layers, fine swirl]\n").path)
    none = feasibility(path, SHELF)
    assert isinstance(none, NoBlend)
    clashes = [{member.id for member in clash} for clash in none.clashes]
    assert {
        wish_id("design.straight layers.trace_speed.at_least"),
        wish_id("design.fine swirl.trace_speed.at_most"),
    } in clashes
    assert {
        wish_id("design.straight layers.lye_concentration.at_least"),
        wish_id("design.fine swirl.lye_concentration.at_most"),
    } in clashes
    assert none.concessions
    words = " ".join(text.no_blend(none, width=100, colour=False, ascii=False).split())
    assert "Designs, and whom the bar is for" in words
    assert "design fine swirl: trace speed at most 28: Lines as thin as a thread need a batter" in words


def test_a_concession_of_a_design_can_be_pasted(sheet: Callable[[str], GoalSheet]) -> None:
    """The line to write names the section and the key, keeps the design's other side, and opens a blend."""
    text = "design: straight layers\nshares: {liquid oils: {at_least: 62 %}}\nfree_from: [palm]\n"
    none = feasibility(Path(sheet(text).path), SHELF)
    assert isinstance(none, NoBlend)
    moves = [
        change
        for way in none.concessions
        if len(way.changes) == 1
        for change in way.changes
        if change.id.origin == "design"
    ]
    pasted = [(change.where, change.paste) for change in moves if change.paste]
    assert pasted
    for where, line in pasted:
        added = f"{text}goals: {{{line}}}\n" if where == "goals" else text.replace("shares: {", f"shares: {{{line}, ")
        assert isinstance(feasibility(Path(sheet(added).path), SHELF), Feasible), line
    (left_out,) = [change for change in moves if not change.paste]
    line = f"{left_out.id.section}: {left_out.id.within}\n"
    assert line in text
    assert isinstance(feasibility(Path(sheet(text.replace(line, "")).path), SHELF), Feasible)


def test_the_same_goals_under_two_designs_give_two_bars() -> None:
    """Fine lines and straight layers over the same wishes share less than two thirds of their fats, and each names why."""
    lines, layers = (
        answer(ROOT / "goals" / f"design-{name}.yaml", SHELF) for name in ("fine-lines", "straight-layers")
    )
    assert isinstance(lines, Blend)
    assert isinstance(layers, Blend)
    assert apart(lines, layers) > 25.0
    cause = [line.id for line in lines.goals if line.origin == "design" and line.binding]
    assert wish_id("design.fine swirl.solid fats.at_most") in cause
    assert all(line.why for line in lines.goals if line.origin == "design")
    assert lines.figures["trace_speed"] < layers.figures["trace_speed"] - 10.0
    assert lines.figures["set_up"] < layers.figures["set_up"] - 10.0


def test_dropping_the_binding_row_undoes_its_effect(
    blended: Callable[[str], Blend],
) -> None:
    """Without the swirl's cap on solid fats the blend goes back towards the cheap hard oils: the row was the cause."""
    wishes_ = "goals: {mildness: {at_least: 68}, rancidity: {at_most: 2}}\n"
    kept = blended(f"design: fine swirl\n{wishes_}")
    freed = blended(f"design: fine swirl\n{wishes_}shares: {{solid fats: {{at_most: 75 %}}}}\n")
    solid = {"palm oil", "palm kernel oil", "lard", "beef tallow", "coconut oil", "palm stearin"}
    assert sum(share for name, share in shares(kept).items() if name in solid) == pytest.approx(45.0, abs=0.1)
    assert sum(share for name, share in shares(freed).items() if name in solid) > 50.0


@pytest.mark.long
@pytest.mark.parametrize("path", sorted((ROOT / "goals").glob("design-*.yaml")), ids=lambda path: path.stem)
def test_goal_files_that_begin_with_a_design_are_answered(path: Path) -> None:
    """Each begins with its design, answers with a handful of fats, and its design's rows hold of the weighed recipe."""
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    assert lines[0].startswith("title:")
    assert lines[1].startswith("design:")
    found = answer(path, SHELF)
    assert isinstance(found, Blend)
    assert 3 <= len(found.fats) <= 8
    assert [line for line in found.goals if line.origin == "design"]
    assert [str(line.said) for line in found.goals if not line.holds_when_weighed] == []
    assert found.alkali.superfat_likely_low > -1e-6


# -- judged --------------------------------------------------------------------------------------------------------


def test_the_judge_knows_design_rows_by_the_same_ids(sheet: Callable[[str], GoalSheet]) -> None:
    """Every design row of the model is a wish of the judge's, with the same id."""
    found = sheet("design: [piped top, peaked top]\nfor: everyday\n")
    rows = {row.wish for row in build(found, read(Path(found.path), SHELF)[1]).rows if row.origin == "design"}
    judged = {wish.id for wish in wishes(found, ()) if wish.origin == "design"}
    assert rows == judged
    assert len(rows) >= 15


def test_weighing_against_goals_judges_the_design(tmp_path: Path, blended: Callable[[str], Blend]) -> None:
    """A recipe made for layers is no swirl: the rows it misses are the swirl's own."""
    layers = blended("title: x\ndesign: straight layers\nshelf: kittiwake.yaml\n")
    recipe = tmp_path / "recipe.yaml"
    recipe.write_text(recipe_yaml(layers, recipe), encoding="utf-8")
    swirl = tmp_path / "swirl.yaml"
    swirl.write_text("design: fine swirl\n", encoding="utf-8")
    told = weigh(recipe, shelf_file=SHELF, goal_file=swirl)
    missed = {line.id for line in told.goals if not line.holds_when_weighed}
    assert told.meets_goals is False
    assert {wish_id("design.fine swirl.trace_speed.at_most"), wish_id("design.fine swirl.solid fats.at_most")} <= missed


def test_a_verdict_follows_the_figure(blended: Callable[[str], Blend], sheet: Callable[[str], GoalSheet]) -> None:
    """The judge's value of a design's row is the recipe's own figure."""
    found = blended("design: embeds\n")
    judged = {item.id: item for item in verdicts(sheet("design: embeds\n"), found.recipe, found.weighed)}
    row = judged[wish_id("design.embeds.hardness.at_least")]
    assert row.value == pytest.approx(found.weighed.values["hardness"])
    assert row.holds


# -- own designs ---------------------------------------------------------------------------------------------------


def test_own_designs_are_found_beside_or_above(tmp_path: Path, sheet: Callable[[str], GoalSheet]) -> None:
    """The nearest designs folder counts; its designs are named like ours and come before ours of the same name."""
    (tmp_path / "designs").mkdir()
    (tmp_path / "designs" / "ours.yaml").write_text(OWN, encoding="utf-8")
    found = sheet("design: Veil\nfor: kitchen hands\n")
    assert [f"{item.family}.{item.design}" for item in found.brought] == [
        *("design.our veil", "design.our veil"),
        *("for.kitchen hands", "for.kitchen hands"),
    ]
    assert found.brought[0].status == "the maker's own"
    assert found.batch.gel
    assert found.techniques[0].pour_to == "light"
    (tmp_path / "designs" / "ours.yaml").write_text(OWN.replace("our veil", "fine swirl"), encoding="utf-8")
    assert {item.limit.value for item in sheet("design: fine swirl\n").brought} == {27.0, 3.0}


def test_a_folder_of_other_things_called_designs_is_passed_over(tmp_path: Path) -> None:
    """YAML that has no list of designs or people is not ours, and the search goes on above it."""
    (tmp_path / "designs").mkdir()
    (tmp_path / "designs" / "ours.yaml").write_text(OWN, encoding="utf-8")
    inner = tmp_path / "site" / "designs"
    inner.mkdir(parents=True)
    (inner / "theme.yaml").write_text("colour: red\n", encoding="utf-8")
    assert [design.name for design in own_designs(tmp_path / "site")] == ["our veil", "kitchen hands"]
    assert own_designs(Path("/")) == ()


@pytest.mark.parametrize(
    ("before", "after", "code", "place"),
    [
        ("trace_speed: {at_most: 27, why: The veil must fall.}", "trace_speed: 27", "missing-key", (8, 20)),
        ("trace_speed: {at_most: 27, why: The veil must fall.}", "trace_speed: {at_most: 27}", "missing-key", (8, 20)),
        ("trace_speed: {at_most: 27", "trase: {at_most: 27", "unknown-key", (8, 7)),
        ("at_most: 27", "at_most: quickish", "unknown-word", (8, 30)),
        ("at_most: 3 %", "at_most: 0.03", "share-or-fraction", (10, 26)),
        ("butters:", "buters:", "unknown-fat", (10, 7)),
        ("pour_to: thin trace", "pour_to: runny", "unknown-word", (5, 14)),
        ("gel: {use: yes", "gel: {use: maybe", "not-a-switch", (6, 24)),
        ("batch: {gel:", "batch: {stir:", "unknown-key", (6, 13)),
        ("about: Two", "abuot: Two", "unknown-key", (4, 5)),
        ("name: kitchen hands", "name: [a, b]", "wrong-shape", (12, 11)),
    ],
)
def test_faults_of_own_designs_are_told_with_their_place(
    tmp_path: Path, sheet: Callable[[str], GoalSheet], before: str, after: str, code: str, place: tuple[int, int]
) -> None:
    """A slip in a file of designs is told in words with file, line and column."""
    assert before in OWN
    (tmp_path / "designs").mkdir()
    file = tmp_path / "designs" / "ours.yaml"
    file.write_text(OWN.replace(before, after), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        sheet("design: our veil\n")
    told = [(item.code, item.span.line, item.span.column) for item in caught.value.diagnostics if item.span]
    assert (code, *place) in told
    assert {item.span.file for item in caught.value.diagnostics if item.span} == {str(file)}


def test_a_name_given_twice_is_a_fault(tmp_path: Path, sheet: Callable[[str], GoalSheet]) -> None:
    """Two files with one name leave open which is meant, and both places are told."""
    (tmp_path / "designs").mkdir()
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / "designs" / name).write_text(OWN, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        sheet("design: our veil\n")
    codes = {item.code for item in caught.value.diagnostics}
    assert codes == {"repeated-name"}
    assert all(item.notes for item in caught.value.diagnostics)


# -- bringing, by itself -------------------------------------------------------------------------------------------


def test_nothing_is_brought_by_nothing() -> None:
    """Without designs the batch is the maker's and there is nothing to say."""
    brought = bring([], (), (), Batch())
    assert (brought.rows, brought.batch, brought.notes) == ((), Batch(), ())


def test_every_row_comes_through_unless_replaced() -> None:
    """A design alone brings all of its rows under its own name."""
    for design in EVERY:
        found = bring([(design, SPAN)], (), (), Batch())
        assert len(found.rows) == len(design.rows)
        assert {item.design for item in found.rows} == {design.name}
        assert all(str(item.limit.said).startswith(f"{design.family} {design.name}: ") for item in found.rows)


def test_names_and_other_names_lead_to_one_design() -> None:
    """Case, blanks and hyphens do not count."""
    assert by_name("design")["checkerboard"].name == "chequer of blocks"
    assert by_name("design")["in the pot swirl"].name == "in-the-pot swirl"
    assert by_name("for")["dry skin"].name == "mature skin"


# -- told ----------------------------------------------------------------------------------------------------------


def test_the_listing_names_every_design(tmp_path: Path) -> None:
    """Each design and user stands in the listing, and the data of one hold all of its rows."""
    told = reference.designs(start=tmp_path)
    assert all(f"{design.name}:" in told for design in EVERY)
    (one,) = json.loads(reference.designs("fine swirl", start=tmp_path, as_json=True))["designs"]
    assert (one["name"], one["key"], one["pour_to"]) == ("fine swirl", "design", "light")
    assert len(one["rows"]) == len(designs()[1].rows)
    everything: dict[str, Any] = json.loads(reference.designs(start=tmp_path, as_json=True))
    assert len(everything["designs"]) == len(EVERY)


def test_one_design_is_told_with_its_reasons(tmp_path: Path) -> None:
    """The card of a design tells every reason once."""
    told = " ".join(reference.designs("straight layers", start=tmp_path, width=400).split())
    for row in designs()[6].rows:
        assert told.count(row.why) == 1
    with pytest.raises(BadInput) as caught:
        reference.designs("drop swril", start=tmp_path)
    assert "drop swirl" in caught.value.diagnostics[0].help


def test_a_sheet_made_by_hand_needs_no_design(sheet: Callable[[str], GoalSheet]) -> None:
    """Taking the brought rows out of a sheet gives the bar without the design."""
    found = sheet("design: chequer of blocks\ngoals: {mildness: {at_least: 60}}\n")
    _, shelf = read(Path(found.path), SHELF)
    plain = answer_for(found._replace(brought=(), batch=Batch()), shelf)
    assert isinstance(plain, Blend)
    assert not [line for line in plain.goals if line.origin == "design"]


# -- rules that are not for a design ---------------------------------------------------------------------------------


def test_a_rule_set_aside_is_told_of_only_where_the_bar_goes_beyond_it(blended: Callable[[str], Blend]) -> None:
    """A shaving bar of few hard fats keeps to what the house thinks right of hydrogenated ones, and nothing is said of it."""
    rules = {rule.rule for rule in blended("design: shaving bar\n").stood_aside}
    assert "solid fats" in rules
    assert not rules & {"hydrogenated fats", "fatty acids"}


def test_a_salt_bar_is_answered_without_overruling_the_house(blended: Callable[[str], Blend]) -> None:
    """Coconut oil and salt go beyond what the house thinks right for other bars, and the answer says which rules stand aside."""
    found = blended("design: salt bar\nadditives: {salt: 70 %}\n")
    assert shares(found)["coconut oil"] >= 75.0 - 1e-6
    assert found.alkali.superfat >= 15.0 - 1e-6
    told = {rule.rule: rule.why for rule in found.stood_aside}
    assert told["lauric oils"] == told["solid fats"] == "it is not for a salt bar"
    assert told["salt in the lye"] == "salt exactly 70 % stands in its place"
    assert "short saturated acids at least" not in told
    assert not [line for line in found.goals if line.id.key in ("lauric oils", "salt in the lye")]
    assert all(line.holds_when_weighed for line in found.goals)


def test_salt_without_an_end_goes_no_further_than_asked_where_no_rule_of_the_house_serves(
    blended: Callable[[str], Blend], sheet: Callable[[str], GoalSheet]
) -> None:
    """Salt is cheaper than soap: the least that is asked for is not filled up for that, though no rule on salt stands."""
    found = blended("design: salt bar\nadditives: {salt: {at_least: 20 %}}\n")
    assert {line.additive: line.share for line in found.additives} == {"salt": pytest.approx(20.0)}
    own = sheet("design: salt bar\nadditives: {salt: {at_least: 20 %}}\npractice: {salt in the lye: 25 %}\n")
    assert [limit.side for limit in own.additives] == ["at_least"]


def test_a_rule_of_ones_own_stays_whatever_the_design(sheet: Callable[[str], GoalSheet]) -> None:
    """What the maker writes under practice is asked for, though the design would set the rule aside."""
    found = sheet("design: salt bar\npractice: {lauric oils: 60 %}\n")
    shelf = read(Path(found.path), SHELF)[1]
    rows = {row.wish for row in build(found, shelf).rows}
    judged = {wish.id for wish in wishes(found, [fat.fat.name for fat in shelf.fats])}
    assert wish_id("practice.lauric oils.at_most") in rows & judged
    assert wish_id("practice.solid fats.at_most") not in rows | judged
    assert wish_id("practice.butters.at_most") in rows & judged


def test_a_shaving_bar_may_hold_what_it_is_made_of(blended: Callable[[str], Blend]) -> None:
    """A shaving bar is answered on the demo shelf, rich in long saturated acids."""
    assert blended("design: shaving bar\n").figures["long_saturated"] >= 44.0 - 1e-6


def test_an_unknown_rule_to_set_aside_is_a_fault(tmp_path: Path) -> None:
    """A rule that the house has not cannot stand aside; the place and near names are told."""
    (tmp_path / "designs").mkdir()
    text = OWN.replace("    pour_to: thin trace\n", "    sets_aside: [lauric oil]\n")
    (tmp_path / "designs" / "ours.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        own_designs(tmp_path)
    (fault,) = caught.value.diagnostics
    assert (fault.code, fault.span.line if fault.span else 0) == ("unknown-rule", 5)
    assert "lauric oils" in fault.help

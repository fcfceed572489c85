"""Times of a batch: the general scales, which are priors, soaps of their own kind, and the maker's own scales."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest
from strategies import recipe_at

from optimiser.files.designs import designs
from optimiser.materials.additives import additives, own_additive
from optimiser.measures.general_times import general, general_times
from optimiser.measures.measures import lever_ranges, measures
from optimiser.measures.scales import OwnLever, Scale
from optimiser.problem.designs import Design
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.kinds import is_paste, kind_rows
from optimiser.recipe.making_steps import steps
from optimiser.recipe.times import PRIOR, BatchTimes, ExpectedTime, batch_times, likely, short_of_time
from optimiser.reference import rows
from optimiser.report.json.parts import times_part
from optimiser.report.terminal.steps import expected

OWN = Scale(
    "trace_speed", "s", -1 / 12, 12.0, 8, 0.2, 6.0, 40.0, 20.0, 25.0, 60.0, 0.25, {"gel": OwnLever(3.0, 1.0, 0.25)}
)
HOURS = Scale("set_up", "h", -1 / 14, 6.0, 8, 0.2, 6.0, 40.0, 20.0, 35.0, 50.0, 0.25)

OLIVE = {"olive oil": 100.0}
COCONUT = {"coconut oil": 100.0}
EVERYDAY = {"olive oil": 45.0, "coconut oil": 25.0, "palm oil": 25.0, "castor oil": 5.0}
HALVES = {"olive oil": 70.0, "coconut oil": 30.0}
THIRDS = {"olive oil": 34.0, "coconut oil": 33.0, "palm oil": 33.0}
RICH = {"shea butter": 30.0, "cocoa butter": 20.0, "coconut oil": 30.0, "olive pomace oil": 20.0}


def times_of(recipe: Recipe, techniques: Sequence[Design] = (), **more: Any) -> BatchTimes:
    """The times of a recipe by the general scales, or by those that are told."""
    return batch_times(recipe, judge(recipe), more.pop("scales", {}), techniques, **more)


def known(item: ExpectedTime | None) -> ExpectedTime:
    """A time that must be there."""
    assert item is not None
    return item


def design(name: str) -> Design:
    """A design of our own table."""
    return next(item for item in designs() if item.name == name)


def judged_at(shares: dict[str, float], **values: float) -> tuple[Recipe, Any]:
    """A recipe whose measures are put where a test wants them."""
    recipe = recipe_at(shares)
    judged = judge(recipe)
    return recipe, judged._replace(values={**judged.values, **values})


# -- the general scales --------------------------------------------------------------------------------------------


def test_without_trials_the_general_scale_stands() -> None:
    """No scale of the maker's own: each range is the table's at the batch's index, to the last bit, and says so."""
    recipe = recipe_at(EVERYDAY)
    values, found = judge(recipe).values, times_of(recipe)
    for item, key, index in (
        (found.blend, ("blend", "light"), values["trace_speed"]),
        (found.workable, ("workable", "light"), values["trace_speed"]),
        (found.unmould, ("unmould", ""), values["set_up"]),
    ):
        told = known(item)
        assert (told.low, told.high) == general_times()[key].range(index)
        assert (told.status, told.basis, told.own) == ("prior", PRIOR, False)
    assert likely("trace_speed", 41.0) == general()["trace_speed"].range(41.0)
    assert likely("set_up", 41.0) == general()["set_up"].range(41.0)


@pytest.mark.parametrize("key", list(general_times()))
def test_a_general_scale_halves_as_it_says(key: tuple[str, str]) -> None:
    """Every row is a prior without a source, halves over its points, and turns times back into indices."""
    scale = general_times()[key]
    assert scale.status == "prior"
    assert "no source" in scale.source
    assert scale.expected(scale.at_index) == pytest.approx(scale.reading)
    assert scale.expected(scale.at_index + scale.halves_every) == pytest.approx(scale.reading / 2)
    assert scale.index_of(scale.expected(33.0)) == pytest.approx(33.0)
    low, high = scale.range(scale.at_index - 20.0)
    assert math.sqrt(low * high) == pytest.approx(scale.expected(scale.at_index - 20.0))
    assert high / low == pytest.approx(scale.factor**2)


def test_general_scales_agree_with_the_measures() -> None:
    """What a time halves by is what its measure says of itself, and both measures of time have a scale for trials."""
    assert set(general()) == {"trace_speed", "set_up"}
    for scale in general_times().values():
        predicts = measures()[scale.measure].predicts.replace("halve every", "halves every")
        assert f"halves every {scale.halves_every:g} points" in predicts
    assert {scale.trace for scale in general_times().values()} == {"light", "medium", "thick", ""}


@pytest.mark.parametrize("shares", [OLIVE, EVERYDAY, HALVES, THIRDS, {"beef tallow": 80.0, "coconut oil": 20.0}])
def test_most_blends_take_a_blender_a_minute_or_so(shares: dict[str, float]) -> None:
    """Twenty seconds to two minutes of a stick blender to a light trace. Common practice, no source."""
    told = known(times_of(recipe_at(shares)).blend)
    assert 18 <= told.low < told.middle < told.high <= 125
    assert told.unit == "s"
    assert "by hand alone" in told.about


def test_a_slow_batter_stays_open_and_a_fast_one_does_not() -> None:
    """Olive oil stays fluid for a quarter of an hour and more; half butters at a medium trace for 2 to 5 minutes.

    Common practice, no source.
    """
    assert known(times_of(recipe_at(OLIVE)).workable).middle >= 15.0
    rich = known(times_of(recipe_at(RICH), [design("single pour")]).workable)
    assert (rich.trace, rich.unit) == ("medium", "min")
    assert 2.0 <= rich.low < rich.high <= 6.5


def test_a_thicker_trace_takes_longer_and_leaves_less() -> None:
    """From light to thick the blender runs longer and the batter stays workable for less."""
    found = [times_of(recipe_at(EVERYDAY), [design(name)]) for name in ("fine swirl", "single pour", "embeds")]
    assert [known(item.blend).trace for item in found] == ["light", "medium", "thick"]
    blends, open_for = [known(item.blend).middle for item in found], [known(item.workable).middle for item in found]
    assert blends == sorted(blends)
    assert open_for == sorted(open_for, reverse=True)
    assert "medium trace" in known(found[1].blend).words


@pytest.mark.parametrize(
    ("shares", "gel", "least", "most"),
    [
        (EVERYDAY, False, 18, 56),
        (THIRDS, False, 15, 48),
        (EVERYDAY, True, 12, 28),
        (THIRDS, True, 12, 24),
        (OLIVE, False, 44, 120),
    ],
)
def test_hours_to_unmould_are_what_makers_find(shares: dict[str, float], gel: bool, least: float, most: float) -> None:  # noqa: FBT001
    """One to two days for most blends, 12 to 24 h gelled, 2 to 5 days for olive oil alone. Common practice, no source."""
    told = known(times_of(recipe_at(shares, gel=gel)).unmould)
    assert least <= told.low < told.high <= most


@pytest.mark.parametrize("set_up", [30.0, 60.0, 75.0, 90.0])
def test_nobody_is_sent_to_cut_a_loaf_that_is_hot_inside(set_up: float) -> None:
    """However fast it sets, an ordinary loaf is left for twelve hours. Common practice, no source."""
    told = known(batch_times(*judged_at(THIRDS, set_up=set_up), {}).unmould)
    assert 12.0 <= told.low < told.high


@pytest.mark.parametrize(("index", "there"), [(-0.1, False), (0.0, True), (90.0, True), (90.1, False)])
def test_no_time_off_the_scale(index: float, there: bool) -> None:  # noqa: FBT001
    """Between 0 and 90 points a time is told, outside none; one index says nothing of the other."""
    found = batch_times(*judged_at(THIRDS, trace_speed=index, set_up=45.0), {})
    assert [item is not None for item in (found.blend, found.workable, found.unmould)] == [there, there, True]


# -- kinds of soap -------------------------------------------------------------------------------------------------


def test_a_salt_bar_is_cut_within_hours() -> None:
    """From a fifth of the fats in salt on, whatever else is in it: hours, and four weeks or more. Common practice, no source."""
    bar = times_of(recipe_at(COCONUT, superfat=20, extra={"salt": 50}))
    told = known(bar.unmould)
    assert (told.low, told.high, told.unit, told.status) == (1.0, 4.0, "h", "common practice, no source")
    assert (known(bar.cure).low, known(bar.cure).high) == (4.0, 6.0)
    less = recipe_at(COCONUT, extra={"salt": 19})
    assert "salt bar" not in {row["kind"] for row in kind_rows(less, judge(less).values)}
    assert known(times_of(recipe_at(COCONUT, extra={"salt": 20})).unmould).high == 4.0


def test_a_paste_has_nothing_to_unmould() -> None:
    """Above 60 % of the moles as potassium neither hours to unmould nor a cure are told, and the steps keep it in a jar."""
    recipe = recipe_at(OLIVE, potassium=100.0)
    found = times_of(recipe)
    assert found.told() == ()
    assert "nothing to unmould" in found.aside[0]
    text = " ".join(steps(recipe, judge(recipe), (), found))
    assert "lidded jar" in text
    assert "Unmould when" not in text
    assert "Cure on a rack" not in text
    shaving = times_of(recipe_at({"stearic acid": 30.0, **COCONUT}, potassium=40.0))
    assert (shaving.unmould is None, shaving.cure is None) == (False, False)


def test_one_bound_parts_pastes_from_bars() -> None:
    """A paste begins where what is known of bars ends: the kinds, the levers and the judge go by one figure."""
    bounds = {float(row["at_least"]) for row in rows("kind_times") if row["kind"] == "paste"}
    assert bounds == {lever_ranges()["potassium"].high}
    (most,) = bounds
    for share in (most - 0.5, most + 0.5):
        recipe = recipe_at(OLIVE, potassium=share)
        assert is_paste(recipe, judge(recipe).values) == (share > most)


def test_a_soap_is_of_one_kind() -> None:
    """A potash soap full of salt has the times of the first kind that it is, and of that alone."""
    recipe = recipe_at(COCONUT, potassium=100.0, extra={"salt": 30})
    assert {row["kind"] for row in kind_rows(recipe, judge(recipe).values)} == {rows("kind_times")[0]["kind"]}


@pytest.mark.parametrize(
    ("unit", "low", "high", "said"),
    [("s", 25.0, 70.0, "25 to 70 s"), ("min", 13.0, 34.0, "13 to 34 min"), ("h", 36.0, 96.0, "1.5 to 4 days")],
)
def test_a_time_is_said_in_the_unit_that_suits_it(unit: str, low: float, high: float, said: str) -> None:
    """Whatever unit it is kept in."""
    assert ExpectedTime("blend", "", unit, low, high, "prior", "").said() == said


def test_every_row_of_a_kind_says_where_it_comes_from() -> None:
    """Both ends of a range or neither, a status and a source."""
    for row in rows("kind_times"):
        assert bool(row["low"]) == bool(row["high"]), row
        assert not row["low"] or 0 < float(row["low"]) < float(row["high"]), row
        assert "no source" in row["status"]
        assert row["source"]


# -- the maker's own -----------------------------------------------------------------------------------------------


def test_the_makers_own_scale_comes_first() -> None:
    """With a scale the range is the scale's, around its own time, and it is called what the maker reads."""
    found = batch_times(*judged_at(THIRDS, trace_speed=40.0), {"trace_speed": OWN._replace(levers={})})
    told = known(found.blend)
    assert told.middle == pytest.approx(2 ** (12 - 40 / 12))
    student = 1.440  # two-sided 80 % at six degrees of freedom (tables of Student's t, from memory)
    half = student * 0.2 * math.sqrt(1.0 + 1.0 / 8.0)  # at the centre of the trials
    assert math.log2(told.high / told.low) == pytest.approx(2.0 * half, rel=1e-3)
    assert (told.own, told.status, told.words, told.trace) == (True, "your trials", "time to trace", "")
    assert told.basis == "four batches in five by 8 trials of yours"
    assert not known(found.workable).own
    assert not known(found.unmould).own


@pytest.mark.parametrize(("index", "beyond"), [(19.9, True), (20.0, False), (65.0, False), (65.1, True)])
def test_a_scale_ends_where_its_trials_end(index: float, beyond: bool) -> None:  # noqa: FBT001
    """An index no further from the outermost trial than it can be trusted (5 points) is still of the scale."""
    found = batch_times(*judged_at(THIRDS, trace_speed=index), {"trace_speed": OWN._replace(levers={})})
    assert known(found.blend).basis.endswith("beyond the trials") == beyond


def test_own_hours_below_twelve_are_believed_among_the_trials_alone() -> None:
    """A maker who cut after nine hours may be told nine; where nobody has been yet twelve is the least."""
    near = known(batch_times(*judged_at(THIRDS, set_up=45.0), {"set_up": HOURS}).unmould)
    assert near.low < 12.0
    far = known(batch_times(*judged_at(THIRDS, set_up=75.0), {"set_up": HOURS}).unmould)
    assert 12.0 <= far.low <= far.high


def test_own_levers_move_the_index() -> None:
    """A lever counts by what it differs from the book and by how far it is pulled from where the trials had it."""
    assert OWN.corrected(40.0, {"gel": 1.0}) == pytest.approx(40.0 + 2.0 * 0.75)
    assert OWN.corrected(40.0, {}) == pytest.approx(40.0 - 2.0 * 0.25)
    recipe, judged = judged_at(THIRDS, trace_speed=40.0)
    told = [
        known(batch_times(recipe._replace(gel=gel), judged, {"trace_speed": OWN}).blend).at for gel in (True, False)
    ]
    assert told == [pytest.approx(41.5), pytest.approx(39.5)]


def test_a_scale_of_few_trials_says_what_is_not_its_own() -> None:
    """What still goes by the general rule is said wherever the scale is."""
    few = OWN._replace(trials=1, own_slope=0.0, levers={})
    told = known(batch_times(*judged_at(THIRDS, trace_speed=40.0), {"trace_speed": few}).blend)
    assert told.basis == "four batches in five by 1 trial of yours, from blend to blend by the general rule"


# -- designs -------------------------------------------------------------------------------------------------------


def test_a_batter_that_is_too_fast_for_its_design_is_told() -> None:
    """A fine swirl takes a quarter of an hour: olive oil waits, butters do not, and a plain pour asks nothing."""
    swirl, plain = design("fine swirl"), design("single pour")
    assert swirl.workable == 15.0
    (told,) = short_of_time(times_of(recipe_at(RICH), [swirl]), [swirl])
    assert "a fine swirl takes about 15 min" in told
    assert known(times_of(recipe_at(RICH), [swirl]).workable).said() in told
    assert short_of_time(times_of(recipe_at(OLIVE), [swirl]), [swirl]) == ()
    assert short_of_time(times_of(recipe_at(RICH), [plain]), [plain]) == ()
    assert short_of_time(BatchTimes(), [swirl]) == ()


@pytest.mark.parametrize("name", [item.name for item in designs() if item.workable])
def test_a_design_leaves_the_time_that_it_needs(name: str) -> None:
    """The fastest batter that a design of ours allows is likely to stay open for as long as it takes."""
    one = design(name)
    (fastest,) = (row.limit.value for row in one.rows if row.limit.key == "trace_speed" and row.limit.side == "at_most")
    assert general_times()["workable", one.pour_to].expected(fastest) >= one.workable


def test_steps_and_times_are_the_same_figures() -> None:
    """The making steps tell each time as the answer does, light trace and cure of the design with them."""
    recipe, techniques = recipe_at(EVERYDAY), [design("fine swirl")]
    found = times_of(recipe, techniques)
    text = " ".join(steps(recipe, judge(recipe), techniques, found))
    for item in found.told():
        assert item.said() in text, item
    assert len(found.told()) == 4
    assert "a light trace:" in text
    assert "thin trace" not in text
    assert "less than a minute" not in text
    assert "Four weeks or longer" not in text
    assert known(found.cure).low == 5.0


def test_what_a_design_says_of_the_cure_besides_its_weeks_stays() -> None:
    """A salt bar may lie for months; its weeks are told as figures and once."""
    recipe, techniques = recipe_at(EVERYDAY, extra={"salt": 60.0}), [design("salt bar")]
    text = " ".join(steps(recipe, judge(recipe), techniques, times_of(recipe, techniques)))
    assert "Many let it lie for months." in text
    assert text.count("weeks") == 1


@pytest.mark.parametrize(("name", "seizes"), [("pine tar", True), ("rosin", True), ("kaolin", False)])
def test_what_brings_trace_at_once_has_no_times_to_trace(name: str, seizes: bool) -> None:  # noqa: FBT001
    """With pine tar or rosin neither minutes nor seconds are promised: it is told to come at once, in steps and answer.

    Common practice, no source.
    """
    made = recipe_at(EVERYDAY, extra={name: 3.0})
    found = times_of(made)
    assert (found.blend is None) is (found.workable is None) is seizes
    text = " ".join(steps(made, judge(made), (), found))
    assert (f"With {name} the batter comes to trace within seconds to minutes" in text) is seizes
    assert ("of blender in all" in text) is not seizes
    assert ("blend in bursts" in text) is not seizes
    assert bool(times_part(found).get("at_once")) is seizes
    assert any("within seconds" in str(part) for part in expected(found)) is seizes


def test_clove_brings_trace_at_once_by_its_name() -> None:
    """A scent of the maker's own called clove bud is of those; one called lavender, or a flower that only heats, is not."""
    scent = additives()["essential oil"]
    told = {name: own_additive(name, scent, None).seizes for name in ("clove bud", "lavender", "jasmine")}
    assert told == {"clove bud": True, "lavender": False, "jasmine": False}


@pytest.mark.parametrize(("coconut", "warm"), [(100.0, True), (80.0, True), (50.0, False), (30.0, False)])
def test_a_bar_mostly_of_coconut_is_cut_while_warm(coconut: float, warm: bool) -> None:  # noqa: FBT001
    """Nobody is told to wait for a coconut soap to be cold to the core: it is cut within hours; single moulds may wait.

    Common practice, no source.
    """
    made = recipe_at({"coconut oil": coconut, "olive oil": 100.0 - coconut}, superfat=15.0)
    found = times_of(made)
    text = " ".join(steps(made, judge(made), (), found))
    assert ("cut it while it is still warm" in text) is warm
    assert ("cold to the core" in text) is not warm
    assert (known(found.unmould).high <= 12.0) is warm
    assert known(found.cure).low >= 4.0


def test_a_coconut_paste_and_a_salt_bar_stay_what_they_are() -> None:
    """Coconut oil made with potassium is a paste, and with much salt a salt bar, before it is a coconut bar."""
    paste = recipe_at({"coconut oil": 1.0}, potassium=100.0)
    assert times_of(paste).unmould is None
    salty = recipe_at({"coconut oil": 1.0}, extra={"salt": 60.0}, superfat=18.0)
    assert known(times_of(salty).unmould).basis == "common practice for a salt bar"


@pytest.mark.parametrize(("asked", "short"), [(3.0, True), (20.0, False)])
def test_the_makers_own_cure_is_told_everywhere(asked: float, short: bool) -> None:  # noqa: FBT001
    """Answer and steps tell the weeks that the maker asks, and no others but as what the bar would take where that is longer."""
    recipe, techniques = recipe_at(EVERYDAY), [design("fine swirl")]
    found = times_of(recipe, techniques, cure_weeks=asked)
    assert (known(found.cure).low, known(found.cure).high) == (asked, asked)
    (step,) = [step for step in steps(recipe, judge(recipe), techniques, found) if step.startswith("Cure on a rack")]
    assert f"{asked:g} weeks or more" in step
    assert "as you ask" in step
    assert ("; this bar would take" in step) is short
    page = " ".join(str(part) for part in expected(found))
    assert f"cure {asked:g} weeks or more" in page
    assert "as you ask" in page


def test_free_oil_delays_a_coconut_bar_and_the_answer_says_what_set_up_does_not() -> None:
    """Much free oil lowers set-up and lengthens the hours, but a coconut bar is cut within the day all the same.

    Common practice, no source.
    """
    lean, rich = (
        known(times_of(recipe_at({"coconut oil": 1.0}, superfat=superfat)).unmould) for superfat in (2.0, 20.0)
    )
    assert lean.low < rich.low
    assert lean.high < rich.high <= 12.0
    assert "sets sooner than its set-up tells" in rich.basis

"""Expected times: the general scales, which are priors, and the maker's own."""

from __future__ import annotations

import math

import pytest

from optimiser.measures.measures import measures
from optimiser.measures.scales import OwnLever, Scale, general
from optimiser.recipe.times import PRIOR, expected_times, likely

OWN = Scale(
    "trace_speed", "s", -1 / 12, 12.0, 8, 0.2, 6.0, 40.0, 20.0, 25.0, 60.0, 0.25, {"gel": OwnLever(3.0, 1.0, 0.25)}
)


def test_the_general_scale_of_trace() -> None:
    """The time to trace halves every 15 points; the index, good to 5 points either way, makes the range."""
    low, high = likely("trace_speed", 40.0)
    assert math.sqrt(low * high) == pytest.approx(600.0)
    assert high / low == pytest.approx(2 ** (10 / 15))
    assert likely("trace_speed", 55.0) == pytest.approx((low / 2, high / 2))


def test_the_general_scale_of_set_up() -> None:
    """Hours to unmould are 18 x 2^(-(M - 45)/18), within 5 points either way."""
    for index in (25.0, 45.0, 70.0):
        low, high = likely("set_up", index)
        assert low == pytest.approx(18 * 2 ** (-(index + 5 - 45) / 18))
        assert high == pytest.approx(18 * 2 ** (-(index - 5 - 45) / 18))


def test_general_scales_agree_with_the_measures() -> None:
    """What the table of times halves by is what the measure says of itself, and every row says that it is a prior."""
    assert set(general()) == {"trace_speed", "set_up"}
    assert f"halves every {general()['trace'].halves_every:g} points" in measures()["trace_speed"].predicts
    assert f"{general()['set_up'].reading:g} hours" in measures()["set_up"].predicts
    assert f"for every {general()['set_up'].halves_every:g} points" in measures()["set_up"].predicts
    for row in general().values():
        assert row.status == "prior"
        assert "no source" in row.source
        assert row.index_of(row.expected(33.0)) == pytest.approx(33.0)


@pytest.mark.parametrize(
    ("trace_speed", "least", "most"), [(57.0, 60, 600), (39.0, 300, 1200), (27.0, 600, 2700), (20.0, 900, 3600)]
)
def test_general_times_are_what_makers_speak_of(trace: float, least: float, most: float) -> None:
    """Coconut alone thickens within minutes, an ordinary blend in five to twenty, olive or sunflower in up to an hour.

    Common practice, no source.
    """
    low, high = likely("trace_speed", trace)
    assert least <= low < high <= most


def test_the_makers_own_scale_comes_first() -> None:
    """With a scale the range is the scale's, around its own time."""
    low, high = likely("trace_speed", 40.0, OWN)
    assert math.sqrt(low * high) == pytest.approx(2 ** (12 - 40 / 12))
    assert low < high
    student = 1.440  # two-sided 80 % at six degrees of freedom (tables of Student's t, from memory)
    half = student * 0.2 * math.sqrt(1.0 + 1.0 / 8.0)  # at the centre of the trials
    assert math.log2(high / low) == pytest.approx(2.0 * half, rel=1e-3)
    assert likely("set_up", 45.0) == pytest.approx(likely("set_up", 45.0, None))


def test_expected_times_say_what_they_rest_on() -> None:
    """A prior says that it is one, an own scale how many trials it has and where they end."""
    values = {"trace_speed": 40.0, "set_up": 45.0}
    trace, hours = expected_times(values, {})
    assert (trace.own, trace.basis, trace.said()) == (False, PRIOR, "7.9 to 13 min")
    assert (hours.unit, hours.said()) == ("h", "15 to 22 h")
    assert "warmer batter" in trace.changed_by
    own = expected_times(values, {"trace_speed": OWN})[0]
    assert own.own
    assert own.basis == "four batches in five by 8 trials of yours"
    far = expected_times({"trace_speed": 70.0, "set_up": 45.0}, {"trace_speed": OWN})[0]
    assert far.basis.endswith("beyond the trials")


def test_own_levers_move_the_index() -> None:
    """A lever counts by what it differs from the book and by how far it is pulled from where the trials had it."""
    assert OWN.corrected(40.0, {"gel": 1.0}) == pytest.approx(40.0 + 2.0 * 0.75)
    assert OWN.corrected(40.0, {}) == pytest.approx(40.0 - 2.0 * 0.25)
    values = {"trace_speed": 40.0, "set_up": 45.0}
    assert expected_times(values, {"trace_speed": OWN}, {"gel": 1.0})[0].index == pytest.approx(41.5)
    assert expected_times(values, {"trace_speed": OWN})[0].index == 40.0


@pytest.mark.parametrize(("index", "beyond"), [(24.9, True), (25.0, False), (60.0, False), (60.1, True)])
def test_a_scale_ends_where_its_trials_end(index: float, beyond: bool) -> None:  # noqa: FBT001
    """The outermost trials are still of the scale; a hair further is beyond the trials."""
    found = expected_times({"trace_speed": index, "set_up": 45.0}, {"trace_speed": OWN})[0]
    assert found.basis == "four batches in five by 8 trials of yours" + (", beyond the trials" if beyond else "")


@pytest.mark.parametrize(("index", "told"), [(-0.1, False), (0.0, True), (90.0, True), (90.1, False)])
def test_no_time_off_the_scale(index: float, told: bool) -> None:  # noqa: FBT001
    """Between 0 and 90 points a time is told, outside none."""
    found = {item.measure for item in expected_times({"trace_speed": index, "set_up": 45.0}, {})}
    assert found == ({"trace_speed", "set_up"} if told else {"set_up"})

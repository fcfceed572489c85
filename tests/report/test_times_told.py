"""The times of a batch as the answer tells them, in words and as data."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from optimiser.cli.main import main
from optimiser.recipe.times import NO_TIMES, BatchTimes, ExpectedTime
from optimiser.report.json.parts import times_part
from optimiser.report.terminal.page import Paper, printed
from optimiser.report.terminal.steps import expected

FAST = "fats: {shea butter: 300 g, cocoa butter: 200 g, coconut oil: 300 g, olive pomace oil: 200 g}\nsuperfat: 5 %\n"
BLEND = ExpectedTime(
    "blend", "time of blender to a light trace", "s", 25.0, 70.0, "prior", "a rule of thumb", trace="light"
)
OWN = ExpectedTime("unmould", "time to unmould", "h", 20.0, 30.0, "your trials", "by 3 trials of yours", own=True)
CURE = ExpectedTime("cure", "cure", "weeks", 8.0, 12.0, "prior", "a rule of thumb by acids", best=(26.0, 52.0))


def told(times: BatchTimes) -> str:
    """The sentence of the answer, on a wide page."""
    return " ".join(printed(Paper(200), expected(times)).split())


def test_the_sentence_tells_each_time_and_whose_it_is() -> None:
    """Every time that is known, with the general rule named once and the maker's own marked; nothing where none is."""
    text = told(BatchTimes(blend=BLEND, unmould=OWN, cure=CURE))
    assert text == (
        "Stick blender to a light trace (by hand alone far longer) 25 to 70 s; unmould after 20 to 30 h (by your trials); "
        "cure 8 to 12 weeks, best after 6 to 12 months (a rule of thumb)."
    )
    assert told(BatchTimes(aside=("a paste has nothing to unmould",))) == "A paste has nothing to unmould."
    assert told(NO_TIMES) == ""


def test_data_names_every_time_and_its_unit() -> None:
    """Four keys, null for what is not known, ends under their unit, and what they rest on."""
    part = times_part(BatchTimes(blend=BLEND, unmould=OWN, cure=CURE))
    assert list(part) == ["blend_to_trace", "workable", "unmould", "cure"]
    assert part["workable"] is None
    blend, unmould, cure = (part[key] for key in ("blend_to_trace", "unmould", "cure"))
    assert (blend["low_s"], blend["high_s"], blend["trace"], blend["status"]) == (25.0, 70.0, "light", "prior")
    assert (unmould["low_h"], unmould["high_h"], unmould["own_scale"]) == (20.0, 30.0, True)
    assert "trace" not in unmould
    assert (cure["low_weeks"], cure["high_weeks"], cure["best_low_weeks"], cure["best_high_weeks"]) == (8, 12, 26, 52)
    assert cure["basis"] == "a rule of thumb by acids"


def weighed(shop: Path, goals: str, capfd: pytest.CaptureFixture[str]) -> Any:
    """A fast batter held against a goal file, as data."""
    (shop / "fast.yaml").write_text(FAST, encoding="utf-8")
    shelf = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
    (shop / "goals.yaml").write_text(f"title: bar\nshelf: {shelf}\n{goals}\n", encoding="utf-8")
    capfd.readouterr()
    main(["weigh", str(shop / "fast.yaml"), "--against", str(shop / "goals.yaml"), "--json"])
    return json.loads(capfd.readouterr().out)


def test_a_batter_too_fast_for_the_design_is_a_note(shop: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Butters under a fine swirl are warned of; the same recipe for a plain pour is not."""
    swirl = weighed(shop, "design: fine swirl", capfd)
    assert any("a fine swirl takes about 15 min" in note for note in swirl["notes"])
    assert swirl["times"]["blend_to_trace"]["trace"] == "light"
    plain = weighed(shop, "design: single pour", capfd)
    assert not any("stay workable" in note for note in plain["notes"])
    assert plain["times"]["blend_to_trace"]["trace"] == "medium"

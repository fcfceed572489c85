"""A line of the file that limits each of many fats is one wish in clashes and ways out."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend, NoBlend

SHELF = Path(__file__).parents[2] / "inventory" / "kittiwake.yaml"
GOALS = """\
practice: {one fat: ONE}
goals: {cost: {at_most: 1.95 / kg}, hardness: {at_least: 60}}
fats: {at_most: 4}
"""


def told(folder: Path, one: str) -> Blend | NoBlend:
    """The answer with a figure for the line."""
    path = folder / "bar.yaml"
    path.write_text(GOALS.replace("ONE", one), encoding="utf-8")
    return answer(path, SHELF)


@pytest.mark.long
def test_one_line_is_one_member_and_one_change(tmp_path: Path) -> None:
    """At most 20 % of each of at most four fats: two lines clash, not ten, and the line moves as a whole to a quarter."""
    story = told(tmp_path, "20 %")
    assert isinstance(story, NoBlend)
    (clash,) = story.clashes
    assert [str(member.id) for member in clash] == ["practice.one fat.at_most", "fats.at_most"]
    assert str(clash[0].said) == "one fat at most 20 %"
    assert clash[0].reaches == pytest.approx(25.0, abs=1e-6)
    for way in story.concessions:
        keys = [change.paste.partition(":")[0] for change in way.changes]
        assert len(set(keys)) == len(keys)
    lines = [way.changes[0].paste for way in story.concessions if len(way.changes) == 1]
    assert "one fat: {at_most: 25 %}" in lines


@pytest.mark.long
def test_the_line_opens_what_it_says(tmp_path: Path) -> None:
    """Written into the file the line opens a blend of four quarters; a little less opens none."""
    story = told(tmp_path, "20 %")
    assert isinstance(story, NoBlend)
    way = next(way for way in story.concessions if [change.id.key for change in way.changes] == ["one fat"])
    opened = told(tmp_path, "{at_most: 25 %}")
    assert isinstance(opened, Blend)
    assert opened.cost.per_kg == pytest.approx(way.cost_per_kg, rel=1e-6)
    assert isinstance(told(tmp_path, "24.9 %"), NoBlend)

"""A soap of a kind of its own is told by what is in it, and a design that lacks what it is made of is not made as one."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.results import WeighedRecipe
from optimiser.answers.weigh import weigh
from optimiser.files.designs import designs
from optimiser.text.diagnostics import BadInput

SALTY = "fats: {coconut oil: 800 g, olive oil: 200 g}\nsuperfat: 18 %\nlye_concentration: 32 %\n"


def salt_bar(tmp_path: Path, salt: str) -> WeighedRecipe:
    """A recipe of the design, with so much salt, or none."""
    path = tmp_path / "bar.yaml"
    added = f"additives: {{salt: {salt}}}\n" if salt else ""
    path.write_text(f"design: salt bar\n{SALTY}{added}", encoding="utf-8")
    return weigh(path)


@pytest.mark.parametrize(("salt", "much"), [("", "no salt"), ("3 %", "only 3.0 % salt")])
def test_a_salt_bar_without_salt_is_told_so_first(tmp_path: Path, salt: str, much: str) -> None:
    """What it lacks stands at the top with the line to write, and no step speaks of salt for the mould."""
    found = salt_bar(tmp_path, salt)
    assert found.cautions[0].startswith(f"This salt bar has {much}: write additives: {{salt: 60 %}}.")
    told = " ".join(found.steps)
    assert "salt is in" not in told
    assert "Have the salt ready" not in told
    assert "For the salt bar" not in told


def test_a_salt_bar_with_salt_has_its_own_steps(tmp_path: Path) -> None:
    """Where the salt is in there is nothing to write any more, and the block is cut warm."""
    found = salt_bar(tmp_path, "60 %")
    assert not any("has no salt" in text for text in found.cautions)
    told = " ".join(found.steps)
    assert "Have the salt ready" in told
    assert "additives:" not in told
    assert "cold to the core" not in told


def test_what_a_design_needs_is_an_additive(tmp_path: Path) -> None:
    """A name that is no additive is told where the design is read."""
    goal = tmp_path / "goal.yaml"
    own = tmp_path / "designs" / "ours.yaml"
    own.parent.mkdir()
    own.write_text("designs: [{name: ours, about: A bar., needs: {slat: 60 %}}]\n", encoding="utf-8")
    goal.write_text(f"design: ours\n{SALTY}", encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        weigh(goal)
    assert any("slat" in item.message for item in bad.value.diagnostics)


def test_our_salt_bar_needs_salt() -> None:
    """The table of designs says what a salt bar is made of."""
    (bar,) = [design for design in designs() if design.name == "salt bar"]
    assert bar.needs is not None
    assert bar.needs.additive == "salt"

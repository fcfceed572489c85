"""Pastes beside bars: nothing is told of them that weighing them alone does not tell."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimiser.answers.compare import compare
from optimiser.answers.weigh import weigh
from optimiser.cli.main import main
from optimiser.measures.differences import OF_BARS, differences, off_scale, on_scale, within
from optimiser.recipe.kinds import is_paste

ROOT = Path(__file__).parents[2]
BAR = ROOT / "examples" / "recipes" / "all-purpose.yaml"
SHELF = ROOT / "inventory" / "kittiwake.yaml"


def soft(folder: Path, potassium: float, fats: str = "{stearic acid: 50 %, coconut oil: 50 %}") -> Path:
    """A recipe with some potassium hydroxide, in per cent of a batch of bars."""
    path = folder / f"soft-{potassium:g}.yaml"
    path.write_text(
        f"title: Soft\nshelf: {SHELF}\nbatch: {{bars: 6, cured_weight: 80 g}}\nfats: {fats}\nsuperfat: 3 %\n"
        f"potassium_share: {potassium:g} %\nlye_concentration: 28 %\n",
        encoding="utf-8",
    )
    return path


def test_a_paste_is_no_softer_bar(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Neither in words beside a bar nor as figures off the scale, and no bars are weighed or priced of it."""
    path = soft(tmp_path, 90)
    assert main(["compare", str(BAR), str(path)]) == 0
    told = capsys.readouterr().out
    speed = next(line for line in told.splitlines() if line.strip().startswith("trace speed"))
    assert speed.split()[-3] == "-"
    assert main(["compare", str(BAR), str(soft(tmp_path, 40))]) == 0
    speed = next(line for line in capsys.readouterr().out.splitlines() if line.strip().startswith("trace speed"))
    assert "> 100" in speed  # a soft bar is one still, and brings trace at once
    found = compare([BAR, path])
    unsaid = ("softer", "harder", "trace", "set", "wear", "last", "dish")
    assert not any(word in said for said in found.bars[1].says for word in unsaid)
    weighs = next(line for line in told.splitlines() if "a bar weighs" in line)
    assert weighs.split()[-1] == "-"
    assert {"hardness", "trace_speed"} < set(OF_BARS)


def test_what_a_balance_rounds_off_makes_no_other_soap(tmp_path: Path) -> None:
    """Sixty per cent of potassium is a paste by its cautions, its head and its times, however the batch rounds its alkali."""
    seen = set()
    for grams in (700, 800, 900, 1000, 1100, 1234):
        path = soft(tmp_path, 60)
        text = path.read_text(encoding="utf-8").replace("{bars: 6, cured_weight: 80 g}", f"{{fats: {grams} g}}")
        path.write_text(text, encoding="utf-8")
        story = weigh(path)
        share = story.judgement.values["potassium_share"]
        seen.add(share < 60.0)
        assert is_paste(story.recipe, story.judgement.values)
        assert any("a paste: hardness, times and bars do not apply" in caution for caution in story.cautions)
    assert seen == {True, False}


def test_a_figure_off_its_scale_counts_as_at_its_end() -> None:
    """So beside another off the same end there is no difference, and what is told is that it is off."""
    (same,) = differences(_values(276.0), _values(140.0), ("trace_speed",))
    (ten,) = differences(_values(90.0), _values(140.0), ("trace_speed",))
    assert same.steps == 0.0
    assert ten.steps * within("trace_speed") == pytest.approx(10.0)
    assert (off_scale(276.0), off_scale(-3.0), off_scale(50.0), off_scale(float("nan"))) == ("> 100", "< 0", "", "")
    assert (on_scale(276.0), on_scale(-3.0), on_scale(50.0)) == (100.0, 0.0, 50.0)


def _values(value: float) -> dict[str, float]:
    from optimiser.measures.measures import measures

    return dict.fromkeys(measures(), value)

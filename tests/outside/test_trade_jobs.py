"""Jobs as a maker writes them, and the make-up that the first answer must have to be poured without an edit.

Every job is a goal file of a few lines over an invented shelf. What its bar must be made of is stated from how such bars are
made: common practice, no source. The bounds are wide on purpose: a bar outside of them is one that no teacher would hand out.
"""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

import pytest

from optimiser.answers.blend import answer
from optimiser.answers.results import Blend
from optimiser.materials.fat import Fat

ROOT = Path(__file__).resolve().parents[2]
SHELF = ROOT / "inventory" / "kittiwake.yaml"
ANY = (0.0, 100.0)
UNDER_A_PINCH = 2.9  # per cent: a fat of the body of a bar comes in no less than about 3 %
LEVERS = ("wax", "fatty acid")


class Job(NamedTuple):
    """What a maker asks for, and the bounds on shares (%) and figures within which such a bar is made.

    `shares` are by fat, kind, tag, or several of these joined by " + ". `figures` are by their keys. `named` are fats of which there may be
    more than half. `aside` are rules of the house of which the answer must say that they stood aside.
    """

    goals: str
    shares: dict[str, tuple[float, float]]
    figures: dict[str, tuple[float, float]] = {}  # noqa: RUF012
    named: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    lather: float = 36.0
    keeping: float = 1.8
    superfat: tuple[float, float] = (3.0, 8.0)


PALM_FREE = {"palm": (0.0, 0.0)}
PLANTS = {"animal": (0.0, 0.0)}
SLOW = {"trace_speed": (0.0, 30.0)}

JOBS: dict[str, Job] = {
    "a plain house bar": Job(
        "goals: {hardness: {at_least: 56}}",
        {"lauric": (15, 35), "liquid oil": (25, 60)},
    ),
    "everyday": Job(
        "for: everyday",
        {"lauric": (18, 32), "oleic": (25, 60), "liquid oil": (30, 65)},
        {"hardness": (56, 75)},
    ),
    "everyday, palm-free and nothing animal": Job(
        "for: everyday\nfree_from: [palm, animal]",
        {"lauric": (18, 32), "oleic": (35, 80), **PALM_FREE, **PLANTS},
    ),
    "everyday, with the oils named": Job(
        "for: everyday\nshares: {olive oil: {at_least: 35 %}, coconut oil: {between: [20 %, 28 %]}, castor oil: 5 %}",
        {"olive oil": (35, 50), "coconut oil": (20, 28), "castor oil": (5, 5)},
    ),
    "mature skin": Job(
        "for: mature skin",
        {"lauric": (10, 20), "oleic": (40, 75), "butter": (8, 25), "fine": (8, 60), "hard oil": (10, 36)},
        {"mildness": (70, 100)},
        superfat=(5, 9),
    ),
    "mature skin, palm-free and nothing animal": Job(
        "for: mature skin\nfree_from: [palm, animal]",
        {"lauric": (10, 20), "oleic": (40, 75), "butter": (8, 25), "fine": (8, 60), **PALM_FREE, **PLANTS},
        superfat=(5, 9),
    ),
    "mature skin in goat milk": Job(
        "for: mature skin\nliquids: {goat milk: 50 %}",
        {"lauric": (10, 20), "oleic": (40, 75), "butter": (8, 25)},
        superfat=(5, 9),
    ),
    "oily skin": Job(
        "for: oily skin",
        {"lauric": (22, 35), "liquid oil": (35, 70), "butter": (0, 5), "half-drying": (0, 16)},
        superfat=(1, 3),
    ),
    "working hands": Job(
        "for: working hands",
        {"lauric": (24, 36), "oleic": (18, 50)},
        {"hardness": (58, 80)},
        lather=44,
    ),
    "hard water": Job("for: hard water", {"lauric": (24, 36), "oleic": (18, 60)}, lather=44),
    "laundry": Job(
        "for: laundry",
        {"lauric": (55, 100), "half-drying": (0, 6), "liquid oil": (0, 20)},
        named=("coconut oil", "palm kernel oil"),
        superfat=(0, 3),
        lather=50,
    ),
    "laundry soap of nothing but coconut": Job(
        "for: laundry\nshares: {coconut oil: 100 %}\ngoals: {superfat: 1 %}",
        {"coconut oil": (100, 100)},
        named=("coconut oil",),
        aside=("one fat",),
        superfat=(1, 1),
    ),
    "a shampoo bar": Job(
        "for: shampoo",
        {"castor oil": (10, 20), "lauric": (24, 36), "oleic": (20, 60)},
        lather=42,
    ),
    "nothing but olive": Job(
        "shares: {olive oil: 100 %}",
        {"olive oil": (100, 100)},
        named=("olive oil",),
        aside=("one fat", "quick lather"),
        lather=0,
        keeping=2.3,
    ),
    "a salt bar": Job(
        "goals: {superfat: 18 %}\nshares: {coconut oil: {at_least: 80 %}}\nadditives: {salt: 50 %}",
        {"coconut oil": (80, 100)},
        {"hardness": (66, 130)},
        named=("coconut oil",),
        aside=("lauric oils",),
        superfat=(18, 18),
        lather=0,
    ),
    "a bar rich in castor": Job(
        "shares: {castor oil: 20 %}",
        {"castor oil": (20, 20), "lauric": (10, 35)},
        aside=("castor oil",),
    ),
    "tallow, three fifths": Job(
        "shares: {beef tallow: {at_least: 60 %}}",
        {"beef tallow": (60, 75), "lauric": (12, 35)},
        {"hardness": (60, 80)},
        named=("beef tallow",),
    ),
    "lard, half": Job(
        "shares: {lard: {at_least: 50 %}}\nfree_from: [palm]",
        {"lard": (50, 65), "lauric": (12, 35), **PALM_FREE},
        named=("lard",),
    ),
    "seven tenths of olive": Job(
        "shares: {olive oil: {at_least: 70 %}}",
        {"olive oil": (70, 80), "lauric": (10, 30)},
        named=("olive oil",),
    ),
    "a butter bar from plants": Job(
        "shares: {butters: {at_least: 25 %}}\nfree_from: [palm, animal]",
        {"butter": (25, 35), "lauric": (12, 35), **PALM_FREE, **PLANTS},
    ),
    "no coconut and no palm": Job(
        "shares: {coconut oil: 0 %}\nfree_from: [palm]",
        {"coconut oil": (0, 0), "lauric": (10, 35), **PALM_FREE},
    ),
    "a fine swirl": Job("design: fine swirl", {"oleic": (35, 75), "lauric": (12, 30)}, SLOW),
    "a fine swirl, palm-free and nothing animal": Job(
        "design: fine swirl\nfree_from: [palm, animal]",
        {"oleic": (35, 80), "lauric": (12, 30), **PALM_FREE, **PLANTS},
        SLOW,
    ),
    "a drop swirl for every day": Job(
        "design: drop swirl\nfor: everyday",
        {"oleic": (35, 75), "lauric": (12, 30)},
        {"trace_speed": (0, 33)},
    ),
    "ribbons in the pot": Job(
        "design: in-the-pot swirl\nfor: everyday",
        {"oleic": (30, 70), "lauric": (15, 32)},
        {"trace_speed": (0, 36)},
    ),
    "a marbled slab": Job("design: marbled slab", {"oleic": (30, 70), "lauric": (15, 30)}, {"trace_speed": (0, 33)}),
    "a fade without palm": Job(
        "design: fade\nfree_from: [palm]", {"oleic": (40, 80), "lauric": (10, 30), **PALM_FREE}, SLOW
    ),
    "a chequer of blocks": Job(
        "design: chequer of blocks",
        {"hard oil": (45, 80), "lauric": (20, 36), "liquid oil": (20, 50)},
        {"hardness": (62, 80), "set_up": (55, 100)},
        superfat=(3, 5),
    ),
    "a chequer of blocks without palm": Job(
        "design: chequer of blocks\nfree_from: [palm]",
        {"hard oil": (45, 80), "lauric": (20, 36), **PALM_FREE},
        {"set_up": (55, 100)},
        superfat=(3, 5),
    ),
    "straight layers": Job("design: straight layers", {"hard oil": (40, 80), "lauric": (18, 34)}, superfat=(3, 6)),
    "a piped top": Job("design: piped top", {"butter": (12, 30), "lauric": (18, 34), "oleic": (15, 50)}),
    "a stamped bar": Job(
        "design: stamped bar", {"hard oil": (55, 80), "lauric": (22, 36)}, {"hardness": (62, 80)}, superfat=(3, 5)
    ),
    "a salt bar by its design": Job(
        "design: salt bar\nadditives: {salt: 70 %}",
        {"coconut oil": (75, 100), "castor oil": (0, 8), "half-drying": (0, 5)},
        {"hardness": (70, 130), "lye_concentration": (30, 34)},
        named=("coconut oil",),
        aside=("lauric oils", "salt in the lye"),
        superfat=(15, 20),
        lather=0,
    ),
    "a shaving bar": Job(
        "design: shaving bar",
        {"lauric": (10, 26), "castor oil": (4, 10), "liquid oil": (4, 30), "hard oil + fatty acid + butter": (65, 96)},
        {"long_saturated": (44, 80), "lasting_lather": (55, 200), "hardness": (60, 100)},
        aside=("solid fats",),
        superfat=(3, 6),
    ),
    "cheap": Job("goals: {cost: {at_most: 2.90 / kg}}", {"lauric": (15, 35), "liquid oil": (25, 60)}),
    "hard and long in wear": Job(
        "goals: {hardness: {at_least: 64}, wear_life: {at_least: 32}}",
        {"lauric": (12, 35), "hard oil + butter": (55, 80)},
    ),
    "slow and mild": Job(
        "goals: {trace_speed: slow, mildness: {at_least: 70}}", {"oleic": (20, 75), "lauric": (10, 25)}
    ),
    "much lather, and mild with it": Job(
        "goals: {mildness: {at_least: 68}, quick_lather: {at_least: 42}}\nfree_from: [animal]",
        {"lauric": (18, 35), **PLANTS},
        lather=42,
    ),
}
FIVE = ("cheap", "everyday", "mature skin", "a fine swirl", "a stamped bar")


def of_job(name: str, folder: Path) -> Blend:
    """The first answer to a job."""
    bar = folder / "bar.yaml"
    bar.write_text(f"title: {name}\nshelf: {SHELF}\n{JOBS[name].goals}\n", encoding="utf-8")
    found = answer(bar)
    assert isinstance(found, Blend), [str(member.said) for clash in found.clashes for member in clash]
    return found


def share(found: Blend, key: str) -> float:
    """Per cent of the fats that are of a fat, a kind or a tag, or of any of several."""
    keys = set(key.split(" + "))
    fats: dict[str, Fat] = {fat.name: fat for fat, _ in found.recipe.fats}
    return math.fsum(
        line.share
        for line in found.fats
        if line.fat in fats and keys & {line.fat, line.kind, *fats[line.fat].tags, fats[line.fat].group}
    )


def faults(name: str, folder: Path) -> list[str]:
    """What a maker would have to change before pouring the first answer to a job."""
    job, found = JOBS[name], of_job(name, folder)
    out = [
        f"{key} {value:.1f} outside {low:g} to {high:g}"
        for key, (low, high) in job.shares.items()
        for value in [share(found, key)]
        if not low - 0.1 <= value <= high + 0.1
    ]
    figures = {"quick_lather": (job.lather, 200.0), "rancidity": (0.0, job.keeping), **job.figures}
    out += [
        f"{key} {found.figures[key]:.1f} outside {low:g} to {high:g}"
        for key, (low, high) in figures.items()
        if not low <= round(found.figures[key], 6) <= high
    ]
    low, high = job.superfat
    if not low - 0.05 <= found.alkali.superfat <= high + 0.05:
        out.append(f"superfat {found.alkali.superfat:.1f}")
    body = [line for line in found.fats if line.kind not in LEVERS]
    out += [f"a pinch of {line.fat}" for line in body if line.share < UNDER_A_PINCH]
    out += [f"more than half {line.fat}" for line in body if line.share > 50.1 and line.fat not in job.named]
    if not 1 <= len(found.fats) <= 7:
        out.append(f"{len(found.fats)} fats")
    if share(found, "half-drying") > 15.1:
        out.append("too much that half dries")
    rules = {item.rule for item in found.stood_aside}
    out += [f"nothing said of {rule}" for rule in job.aside if not any(rule in told for told in rules)]
    return out


@pytest.mark.long
@pytest.mark.parametrize("name", JOBS)
def test_the_first_answer_is_a_bar_that_such_a_bar_is_made_of(name: str, tmp_path: Path) -> None:
    """A job of a few lines gives a bar with the make-up that such bars have (common practice, no source)."""
    assert faults(name, tmp_path) == []


def test_there_are_at_least_thirty_jobs() -> None:
    """The jobs are enough to show more than luck, and none is asked twice."""
    assert len({job.goals for job in JOBS.values()}) == len(JOBS) >= 30


def test_five_kinds_of_bars_are_five_bars(tmp_path: Path) -> None:
    """Bars for different ends differ by at least a tenth of their fats."""
    bars = {name: {line.fat: line.share for line in of_job(name, tmp_path).fats} for name in FIVE}
    for one, other in combinations(FIVE, 2):
        fats = bars[one].keys() | bars[other].keys()
        moved = 0.5 * math.fsum(abs(bars[one].get(fat, 0.0) - bars[other].get(fat, 0.0)) for fat in fats)
        assert moved >= 10.0, (one, other, moved)

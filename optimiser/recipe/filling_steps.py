"""How the mould is filled: by the designs' own working steps, or poured and knocked where they have none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from optimiser.problem.designs import Design, Stage

TRACES = ("light", "medium", "thick")
WHAT_TRACE_IS = {
    "light": "a light trace: a drop from the spoon stays on the surface for a blink and sinks",
    "medium": "a medium trace: a drop lies on the surface like custard",
    "thick": "a thick trace: it holds the peaks that the spoon leaves",
    "": "a light trace: a drop from the spoon stays on the surface for a blink and sinks; anything up to a medium trace does as well",
}
KNOCK = "Knock the mould on the table to bring up the air."
SPOON = "Spoon the batter into the mould and press it down, into the corners first, so that no air stays."
NO_KNOCK = "Do not knock the mould: that would move the design."


def own_steps(techniques: Sequence[Design], stage: Stage) -> Iterator[str]:
    """The steps that designs bring for one stage, the first of each with whose they are where several bring some."""
    several = sum(bool(design.steps) for design in techniques) > 1
    for design in techniques:
        for place, do in enumerate(design.at(stage)):
            told = f"For the {design.name}: {do[0].lower()}{do[1:]}" if several and not place else do
            yield told if told.endswith((".", "!")) else f"{told}."


def pour_to(techniques: Sequence[Design]) -> str:
    """The trace at which the mould is filled: the lightest that any of them asks for; "" where none says."""
    return lightest(design.pour_to for design in techniques)


def blend_to(techniques: Sequence[Design]) -> str:
    """The trace to which all of the batter is taken, before it is split or poured; "" where none says."""
    return lightest(design.blend_to or design.pour_to for design in techniques)


def stops_at(techniques: Sequence[Design]) -> str:
    """The trace at which the blender is put aside for good, to which times are told; "" where no design says."""
    target = blend_to(techniques)
    return target if fills_by_itself(techniques) else pour_to(techniques) or target


def lightest(traces: Iterator[str]) -> str:
    """The lightest of several traces; "" where none is told."""
    told = [TRACES.index(trace) for trace in traces if trace]
    return TRACES[min(told)] if told else ""


def fills_by_itself(techniques: Sequence[Design]) -> bool:
    """Whether some design says how the mould is filled."""
    return any(design.at("pour") for design in techniques)


def set_apart(techniques: Sequence[Design]) -> Iterator[str]:
    """What the batter must do for each design, and what is set apart of it."""
    for design in techniques:
        if design.batter:
            yield f"For the {design.name}: {design.batter}"
    yield from own_steps(techniques, "apart")


def filling(techniques: Sequence[Design]) -> Iterator[str]:
    """How the mould is filled, and what is done at the top."""
    knocked = all(design.knock for design in techniques)
    thick = pour_to(techniques) == "thick"  # neither runs out of the pot nor lets air go at a knock
    if fills_by_itself(techniques):
        yield from own_steps(techniques, "pour")
        if not (thick and knocked):
            yield KNOCK if knocked else NO_KNOCK
    elif thick:
        yield SPOON if knocked else f"{SPOON} {NO_KNOCK}"
    elif knocked:
        yield f"Pour, and {KNOCK[0].lower()}{KNOCK[1:]}"
    else:
        yield f"Pour, low over the batter. {NO_KNOCK}"
    yield from own_steps(techniques, "top")

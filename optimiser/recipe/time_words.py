"""The times of a batch as the making steps tell them: the same figures as the answer's, in sentences."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from optimiser.problem.designs import Design
    from optimiser.recipe.times import BatchTimes, ExpectedTime


def blending(times: BatchTimes) -> str:
    """How long the blender runs and how long the batter then stays open; empty where neither is known."""
    if times.at_once:
        return f"{times.at_once[0].upper()}{times.at_once[1:]}."
    told = []
    if times.blend is not None:
        what = times.blend
        if what.own:
            told.append(f"Expect {what.said()} to trace, as you time it ({what.basis}).")
        else:
            told.append(
                f"Expect {what.said()} of blender in all to a {what.trace} trace ({of_thumb(what)}); stirred by hand alone it "
                "takes many times as long."
            )
    if times.workable is not None:
        what = times.workable
        told.append(
            f"At a {what.trace} trace it is likely to stay workable for {what.said()}. {what.changed_by[:1].upper()}{what.changed_by[1:]}."
        )
    return " ".join(told)


def unmoulding(times: BatchTimes, *, cut: bool = True) -> str:
    """When to unmould and cut; what to do in its place where there is nothing to unmould.

    Args:
        times: those of the batch.
        cut: whether it is cut then; not where the steps of a design say how.
    """
    cut = cut and times.cut
    then = "; cut" if cut else ""
    if times.aside:
        return f"{times.aside[0][:1].upper()}{times.aside[0][1:]}."
    if times.unmould is None:
        return f"Unmould when it is firm and comes away clean, still in gloves{then}."
    when = times.unmould
    if math.isnan(when.at):  # a kind with hours of its own
        how = f": {when.about}" if cut else ""
        return f"Unmould in {when.said()} or so ({when.basis}), still in gloves{how}."
    return (
        f"Unmould when it is firm, cold to the core and comes away clean, in {when.said()} or so ({of_thumb(when)}), still in "
        f"gloves{then}."
    )


def curing(times: BatchTimes, techniques: Sequence[Design]) -> str:
    """How long to cure, and what a design says of its cure besides how long; empty for what is not cured."""
    if times.cure is None:
        return ""
    particular = [
        part.strip(" .") for design in techniques for part in design.cure.split(";") if part and "week" not in part
    ]
    besides = "".join(f" {part[:1].upper()}{part[1:]}." for part in particular)
    return f"Cure on a rack in moving air: {times.cure.said()} ({of_thumb(times.cure)}).{besides}"


def of_thumb(what: ExpectedTime) -> str:
    """What a time rests on, in a few words."""
    if what.own or what.status != "prior":
        return what.basis
    return "a rule of thumb"

"""What may stand in for a fat, as facts: kinds that replace each other, states of a bar that are kept, how fats look and melt."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from optimiser.reference import rows

if TYPE_CHECKING:
    from collections.abc import Container, Mapping

    from optimiser.materials.fat import Fat


ANIMAL, OF_MEAT = "animal", ("pork", "beef", "poultry")


class Form(NamedTuple):
    """How far a kind is from the kind that it stands in for: 0 is like for like; `words` say what is changed."""

    step: int
    words: str


class KeptState(NamedTuple):
    """A tag that a bar without it stays without, as long as something else is there.

    `holds` is "firm" where nothing that bears the tag comes before what does not, "soft" where it does as soon as it alone
    keeps the bar, and "told" where it is told and ranks nothing. `offered`: what would be the best but for this tag is
    told after the others, as makers who do not mind would take it.
    """

    tag: str
    words: str
    holds: str
    offered: bool
    why: str


class Look(NamedTuple):
    """The colour that a fat gives a bar, and what it asks for at the bench; "" where there is nothing to say."""

    colour: str
    bench: str


@cache
def forms() -> Mapping[tuple[str, str], Form]:
    """By (kind that is out, kind that stands in)."""
    return {(row["out"], row["stands_in"]): Form(int(row["step"]), row["words"]) for row in rows("stand_in_forms")}


@cache
def kept_states() -> tuple[KeptState, ...]:
    """Every such tag, in the order in which they are told."""
    return tuple(
        KeptState(row["tag"], row["words"], row["holds"], row["offered"] == "yes", row["why"])
        for row in rows("kept_states")
    )


@cache
def common_fats() -> tuple[str, ...]:
    """Fats that any supplier of soap makers has: what a recipe without a shelf is worked out over."""
    return tuple(row["fat"] for row in rows("common_fats"))


def brought(there: Container[str], fat: Fat) -> tuple[KeptState, ...]:
    """The states that a fat would end for a bar that bears these tags already.

    Beeswax, honey and milk make no meat bar: fat of meat in a bar that has none is brought, whatever else of animals it has.
    """
    meaty = any(tag in fat.tags for tag in OF_MEAT) and not any(tag in there for tag in OF_MEAT)
    return tuple(
        state
        for state in kept_states()
        if state.tag in fat.tags and (state.tag not in there or (state.tag == ANIMAL and meaty))
    )


def look_of(fat: Fat) -> Look:
    """How a fat looks and what it asks for, by the first row that speaks of it; of one made of another, as of that."""
    told = [row for row in rows("fat_looks") if _speaks_of(row, fat)]
    return Look(
        next((row["colour"] for row in told if row["colour"]), ""),
        next((row["bench"] for row in told if row["bench"]), ""),
    )


def _speaks_of(row: Mapping[str, str], fat: Fat) -> bool:
    key = row["key"]
    return {"fat": key == fat.group, "tag": key in fat.tags, "kind": key == fat.kind}[row["match"]]

"""A named design, or whom a bar is for, and what it brings to a maker's own wishes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

from optimiser.measures.sides import SubjectKind
from optimiser.problem.batch import DEFAULT_BATTER, Batch
from optimiser.problem.limits import Limit
from optimiser.problem.wishes import Section, Whose, WishId
from optimiser.text.spans import Span

Family = Literal["design", "for"]


class DesignRow(NamedTuple):
    """One limit of a design with its reason; `gives_way` where whom the bar is for may decide instead."""

    limit: Limit
    why: str
    status: str
    gives_way: bool = False


class Choice(NamedTuple):
    """A choice of the batch that a design makes: "batter_temperature" in degC, "gel", or "cure_weeks"; `said` tells it in words."""

    key: str
    value: float | bool
    said: str
    why: str
    status: str


Stage = Literal["ready", "apart", "pour", "top", "after"]
STAGES: tuple[Stage, ...] = ("ready", "apart", "pour", "top", "after")
"""When a design's own step is done: before the lye is made; before the mould is filled; filling it, in place of the plain
pour; when it is full; once the soap is out of it, in place of the plain cut."""


class Step(NamedTuple):
    """A working step of a design's own, in a sentence, and when it is done."""

    stage: Stage
    do: str


class Need(NamedTuple):
    """An additive without which a bar is none of a design's, and how much of it is usual, per cent of the fats."""

    additive: str
    usual: float


class Design(NamedTuple):
    """A technique (family "design"), or whom a bar is for (family "for").

    `about` is one line on what it is, `batter` what the batter must do. `pour_to` is the trace at which the mould is filled
    ("light", "medium", "thick", or "" where it does not say), `blend_to` that to which all of the batter is taken before
    its own steps, where that is less, and `workable` how many minutes it must then stay open, 0 where it is not said; `cover` and `cure` are advice for the steps, "" where there is none.
    `steps` are its own, in order; with `parts` the batter is split and colours go into the parts; without `knock` the mould is not knocked on the table, without `touch_top` nothing may lie
    on the top. `sets_aside` names the rules of the house that are not for it; `needs` is the additive that makes it
    what it is. `span` is the name in its file.
    """

    name: str
    family: Family
    about: str
    batter: str
    pour_to: str
    cover: str
    cure: str
    rows: tuple[DesignRow, ...]
    choices: tuple[Choice, ...]
    names: tuple[str, ...]
    span: Span
    steps: tuple[Step, ...] = ()
    blend_to: str = ""
    parts: bool = False
    knock: bool = True
    touch_top: bool = True
    sets_aside: tuple[str, ...] = ()
    workable: float = 0.0
    needs: Need | None = None

    def at(self, stage: Stage) -> tuple[str, ...]:
        """Its own steps of one stage."""
        return tuple(step.do for step in self.steps if step.stage == stage)

    @property
    def gel(self) -> Choice | None:
        """What it chooses about gel, where it does."""
        return next((choice for choice in self.choices if choice.key == "gel"), None)


ALIKE = (
    frozenset({"lye_concentration", "water_to_alkali", "water_share_of_fats"}),
    frozenset({"harshness", "mildness"}),
)
"""Keys that are one figure told in several ways: who names one of them has spoken of them all."""

CHOICE_WORDS = {"batter_temperature": "batter temperature", "gel": "gel", "cure_weeks": "cure"}


class Brought(NamedTuple):
    """One limit that a design brings; `limit.said` names the design and `limit.span` is its name in the goal file.

    `gives_way`: it stands as near to its figure as the maker's own goals leave room for, as a rule of the house does.
    """

    design: str
    family: Family
    limit: Limit
    why: str
    status: str
    gives_way: bool = False

    @property
    def wish(self) -> WishId:
        """What the limit is known by."""
        return self.limit.wish(Section(self.family), self.design)


class Bringing(NamedTuple):
    """What the designs of a goal file come to: the limits still in force, the batch, and what was replaced, in words."""

    rows: tuple[Brought, ...]
    batch: Batch
    notes: tuple[str, ...]


# -- what it brings ------------------------------------------------------------------------------------------------


def bring(
    chosen: Sequence[tuple[Design, Span]],
    goals: Sequence[Limit],
    shares: Sequence[Limit],
    batch: Batch,
    heating: Sequence[str] = (),
) -> Bringing:
    """What designs add to a maker's own wishes.

    Args:
        chosen: designs and people with the places where the goal file names them.
        goals: the maker's own limits on figures, which come first.
        shares: the same on shares.
        batch: the maker's own batch; what it gives comes before what a design would choose.
        heating: what is put in that heats a batter by itself, by name: no design covers or warms such a one.
    """
    asked = {place for limit in (*goals, *shares) for place in told_by(limit)}
    for_whom = {
        place: design
        for design, _ in chosen
        if design.family == "for"
        for row in design.rows
        for place in told_by(row.limit)
    }
    rows: list[Brought] = []
    replaced: dict[tuple[str, str], list[str]] = {}
    for design, span in chosen:
        for key, sides in grouped(design.rows):
            place = (sides[0].limit.subject, key)
            if place in asked:
                replaced.setdefault(("Your own limit{} on {}", owner(design)), []).append(replacing(key, sides))
            elif place in for_whom and design.family == "design" and all(side.gives_way for side in sides):
                whom = for_whom[place].name
                whose = f"The limit{{}} on {{}} for {whom}"
                replaced.setdefault((whose, owner(design)), []).append(replacing(key, sides))
            else:
                rows += [brought(design, row, span) for row in sides]
    settled, said = choose(batch, [design for design, _ in chosen], heating)
    notes = (replacement(whose, other, keys) for (whose, other), keys in replaced.items())
    return Bringing(tuple(rows), settled, (*notes, *said))


def replacing(key: str, sides: Sequence[DesignRow]) -> str:
    """A limit of a design that is replaced, with its figures."""
    return f"{words_of(key)}|{told(sides)}"


def replacement(whose: str, other: str, keys: Sequence[str]) -> str:
    """Which limits take the place of a design's, in a sentence; the figures that are gone where there is but one."""
    names = [key.partition("|")[0] for key in keys]
    if len(names) == 1:
        return f"{whose.format('', names[0])} replaces {other} ({keys[0].partition('|')[2]})."
    listed = f"{', '.join(names[:-1])} and {names[-1]}"
    return f"{whose.format('s', listed)} replace {other.replace('that ', 'those ', 1)}."


def told_by(limit: Limit) -> Iterator[tuple[SubjectKind, str]]:
    """What a limit speaks of: its own key and those that say the same in other words."""
    alike = next((group for group in ALIKE if limit.key in group), frozenset({limit.key}))
    return ((limit.subject, key) for key in alike)


def grouped(rows: Sequence[DesignRow]) -> list[tuple[str, list[DesignRow]]]:
    """The rows of a design by key, both sides of one together."""
    groups: dict[tuple[SubjectKind, str], list[DesignRow]] = {}
    for row in rows:
        groups.setdefault((row.limit.subject, row.limit.key), []).append(row)
    return [(key, sides) for (_, key), sides in groups.items()]


def told(sides: Sequence[DesignRow]) -> str:
    """The limits of one key without its name: "at least 33 % and at most 36 %"."""
    return " and ".join(
        f"{side.limit.side.words} {side.limit.value:g}{' %' if side.limit.unit == '%' else ''}" for side in sides
    )


def owner(design: Design) -> str:
    """Whose limit it is, as a part of a sentence."""
    return f"that of {design.name}" if design.family == "design" else f"that for {design.name}"


def words_of(key: str) -> str:
    """A key as a person says it."""
    return key.replace("_", " ")


def brought(design: Design, row: DesignRow, span: Span) -> Brought:
    """A row of a design as a limit of the goal file that names it."""
    said = row.limit.said._replace(whose=Whose(design.family), owner=design.name)
    limit = row.limit._replace(said=said, span=span)
    return Brought(design.name, design.family, limit, row.why, row.status, row.gives_way or design.family == "for")


def warms(choice: Choice) -> bool:
    """Whether a choice makes a batch warmer than it is without: gel, or a warm batter."""
    return (choice.key == "gel" and bool(choice.value)) or (
        choice.key == "batter_temperature" and choice.value > DEFAULT_BATTER
    )


def choose(batch: Batch, chosen: Sequence[Design], heating: Sequence[str] = ()) -> tuple[Batch, list[str]]:
    """The batch with what designs choose where the maker did not, and what to say of it; the first design goes first.

    What heats the batter by itself (`heating`, by name) comes before a design that would warm it more.
    """
    notes: list[str] = []
    taken: dict[str, str] = {}
    for design in chosen:
        for choice in design.choices:
            what = CHOICE_WORDS[choice.key]
            if choice.key in batch.given:
                notes.append(f"Your own {what} replaces {owner(design)} ({choice.said}).")
            elif choice.key in taken:
                notes.append(f"{design.name}: {choice.said} stands aside for the {what} of {taken[choice.key]}.")
            elif heating and warms(choice):
                verb = "heats the batter by itself" if len(heating) == 1 else "heat the batter by themselves"
                notes.append(
                    f"{design.name}: {choice.said} stands aside, since {' and '.join(heating)} {verb}: such a batch is kept cool "
                    f"and uncovered. Write it yourself if you want it all the same."
                )
            else:
                taken[choice.key] = design.name
                batch = batch._replace(**{choice.key: choice.value})  # type: ignore[arg-type]
                notes.append(f"{design.name}: {choice.said}. {choice.why}")
    return batch, [note[:1].upper() + note[1:] for note in notes]

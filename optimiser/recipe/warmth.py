"""How warm a batch is kept once it is poured: what heats it by itself, what its design asks, what was chosen for it.

One place decides, so that no step and no advice says "cover it" where another says "keep it cool". Common practice, no
source: milk, honey, sugar, beer, fruit and the scents of flowers and spices heat a batter by themselves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from optimiser.recipe.evaluation import Recipe
from optimiser.recipe.naming import listed

if TYPE_CHECKING:
    from optimiser.materials.fat import Fat
    from optimiser.problem.designs import Design
    from optimiser.recipe.times import BatchTimes


MELTING_KINDS = ("hard oil", "butter", "wax", "fatty acid")
LIQUID_WAX_IODINE = 60.0  # g I2/100 g: a wax above it (jojoba) is liquid
STEARIN_IODINE = 35.0  # g I2/100 g: a hard oil or fat below it, lauric oils aside, needs real heat to melt
MELTED = (60.0, 70.0)  # degC that such fats take (common practice, no source)


class Warmth(NamedTuple):
    """What bears on the warmth of a batch, by name.

    `gels` is what was chosen for the batch. `heating` heats it by itself; `scents` may, and so may `unknown`, liquids of which
    nobody said what they hold. `kept_cool` are the designs that must not gel.
    """

    gels: bool
    heating: tuple[str, ...]
    scents: tuple[str, ...]
    unknown: tuple[str, ...]
    kept_cool: tuple[str, ...]

    @property
    def is_cool(self) -> bool:
        """Whether it is to be kept from heat."""
        return not self.gels and bool(self.heating or self.kept_cool)

    @property
    def why_cool(self) -> str:
        """Why it may not be covered to gel or poured warmer, in words; "" where it may."""
        if self.heating:
            return f"{heats(self.heating)} the batter by {'itself' if len(self.heating) == 1 else 'themselves'}"
        return f"{listed(list(self.kept_cool))} is kept from gel" if self.kept_cool else ""


def is_solid(fat: Fat) -> bool:
    """Whether a fat must be melted; jojoba is a wax that need not."""
    return fat.kind in MELTING_KINDS and not (fat.kind == "wax" and fat.iodine.value > LIQUID_WAX_IODINE)


def melts_high(fat: Fat) -> bool:
    """Whether a fat stays solid at the heat of an ordinary batter."""
    stearin = fat.kind == "hard oil" and fat.iodine.value < STEARIN_IODINE and "lauric" not in fat.tags
    return fat.kind in ("wax", "fatty acid") or "hydrogenated" in fat.tags or stearin


def warmer_fats(recipe: Recipe) -> tuple[str, ...]:
    """The fats that have to be warmer than the batter was meant to be, by name; none where it is as warm as they need."""
    if recipe.batter_temperature >= MELTED[0]:
        return ()
    return tuple(fat.name for fat, _ in recipe.fats if is_solid(fat) and melts_high(fat))


def shorter_when_warm(recipe: Recipe, times: BatchTimes) -> tuple[str, ...]:
    """What to say of times to trace and of a workable batter, which hold for a batter of the warmth that was meant."""
    names = list(warmer_fats(recipe))
    if not names or (times.blend is None and times.workable is None):
        return ()
    need = "needs" if len(names) == 1 else "need"
    told = f"The times to trace and of a workable batter hold for {recipe.batter_temperature:.0f} degC"
    return (f"{told}: they are far shorter when it is as warm as {listed(names)} {need}.",)


def warmth_of(recipe: Recipe, techniques: Sequence[Design] = ()) -> Warmth:
    """What bears on the warmth of a batch."""
    items = tuple(dict.fromkeys(item for item, _ in recipe.additives))
    heating = tuple(item.name for item in items if item.heats == "yes")
    perhaps = [item for item in items if item.heats == "may"]
    scents = tuple(item.name for item in perhaps if not item.is_liquid)
    unknown = tuple(item.name for item in perhaps if item.is_liquid)
    cool = tuple(design.name for design in techniques if design.gel is not None and not design.gel.value)
    return Warmth(recipe.gel, heating, scents, unknown, cool)


def heats(names: Sequence[str]) -> str:
    """Names with their verb: "honey heats", "honey and cow milk heat"."""
    return f"{listed(list(names))} {'heats' if len(names) == 1 else 'heat'}"


def covering(recipe: Recipe, techniques: Sequence[Design] = ()) -> Iterator[str]:
    """Whether the mould is covered, and how."""
    warmth = warmth_of(recipe, techniques)
    watch = "look at it every quarter of an hour, and open it to the air if the top swells or cracks"
    if warmth.gels:
        some = [*warmth.heating, *warmth.scents, *warmth.unknown]
        may = f" {listed(some).capitalize()} may overheat it: {watch}." if some else ""
        yield f"Cover and keep it warm so that it gels through.{may}"
        return
    if warmth.heating:
        whose = "itself" if len(warmth.heating) == 1 else "themselves"
        film = " (film on the surface does no harm)" if all(design.touch_top for design in techniques) else ""
        yield (
            f"Keep it cool and uncovered{film}, with air around the mould, so that it does not gel: {heats(warmth.heating)} it "
            f"by {whose}."
        )
        return
    cover = cover_of([design for design in techniques if design.cover and not asks_for_gel(design)])
    if cover:
        yield f"{cover[0].upper()}{cover[1:]}"
    elif any(asks_for_gel(design) for design in techniques):
        yield "Keep it cool, since it is not to gel."
    yield from in_doubt(warmth)


def in_doubt(warmth: Warmth) -> Iterator[str]:
    """What is to be done should something heat the batter of which it is not known."""
    instead = "leave it uncovered and cool instead."
    if warmth.scents:
        yield f"Should the {listed(list(warmth.scents))} be of flowers or spices, which overheat a batter, {instead}"
    if warmth.unknown:
        yield f"Should the {listed(list(warmth.unknown))} hold milk or sugar, which overheat a batter, {instead}"


def cover_of(techniques: Sequence[Design]) -> str:
    """The words on covering of the design whose top bears the least, else of the first; "" where there are none."""
    first = sorted(techniques, key=lambda design: design.touch_top)
    return first[0].cover if first else ""


def asks_for_gel(design: Design) -> bool:
    """Whether its own words on covering are for a batch that gels."""
    return design.gel is not None and bool(design.gel.value)

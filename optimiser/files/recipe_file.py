"""A recipe already in hand: what goes into the pot, in masses, or the fats in per cent of a batch."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from optimiser.files.batch import BARS, CURED_WATER, CURED_WEIGHT, GEL, TEMPERATURE, BatchForm, read_batch
from optimiser.files.cure import CURE
from optimiser.files.fields import FIGURE, TEXT, as_path, as_title
from optimiser.files.keys import Known
from optimiser.files.kinds import refuse_other
from optimiser.files.limit_values import lye_heavy
from optimiser.files.named_designs import Named, named_by, read_water, techniques
from optimiser.files.recipe_extras import Added, read_additives, read_liquids
from optimiser.files.recipe_masses import read_alkali, read_fats, water_grams
from optimiser.files.recipe_size import charge_of
from optimiser.files.shelf.shelf import own_extras, own_fats
from optimiser.measures.cure import USUAL_CURE, cured_water_at
from optimiser.measures.quantities import Quantity, quantities
from optimiser.problem.batch import DEFAULT_BAR, DEFAULT_BATTER, Batch
from optimiser.problem.goals import Water, extra_named, heating_names
from optimiser.problem.recipe import Poured, RecipeSheet, Weighed
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.forms import (
    Form,
    Gathering,
    Read,
    field,
    form_schema,
    names_of,
    read_form,
    scalar,
)
from optimiser.text.nodes import Node, Text
from optimiser.text.opening import beside
from optimiser.text.quantities import Misread, read_mass, read_share, write_number
from optimiser.text.source import read_yaml

if TYPE_CHECKING:
    from optimiser.problem.designs import Design


def read_recipe(path: Path, shelf: Path | None = None) -> RecipeSheet:
    """The recipe that a file holds.

    Args:
        path: a YAML file.
        shelf: the shelf to look a maker's own fats up in, in place of the one that the file names.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    source = read_yaml(path)
    refuse_other(source, "recipe")

    known = known_at(source.root, path, shelf)
    return as_sheet(read_form(RecipeForm, source, known), path, known)


def known_at(root: Node | None, path: Path, shelf: Path | None = None) -> Known:
    """The names of the maker's own that a recipe may hold: those of its shelf, and of the folder of designs."""
    fats = own_fats(root, path, shelf)

    @cache
    def own() -> tuple[Design, ...]:
        from optimiser.files.designs import own_designs

        return own_designs(path.parent, Known(fats))

    return Known(fats, own, own_extras=own_extras(root, path, shelf))


def as_sheet(form: RecipeForm, path: Path, known: Known) -> RecipeSheet:
    """A recipe form as the sheet it fills; the shelf's path is seen from the folder of `path`.

    What a design chooses for the batch stands where the recipe says nothing of it.
    """
    chosen = tuple(design for design, _ in techniques(form.design, form.for_, known.own_designs))
    charge = charge_of(form)
    told = Batch(
        batter_temperature=DEFAULT_BATTER if form.batter_temperature is None else form.batter_temperature,
        gel=bool(form.gel),
        cure_weeks=USUAL_CURE if form.cure is None else form.cure,
        given=frozenset(called for name, called in CHOSEN.items() if getattr(form, name) is not None),
    )
    batch = chosen_for(
        told, chosen, [*(item.name for item in form.additives), *(item.name for item in form.liquids)], known
    )
    return RecipeSheet(
        path=str(path),
        title=form.title or path.stem,
        shelf=None if form.shelf is None else beside(path.parent, form.shelf),
        fats=charge.fats,
        alkali=form.alkali,
        superfat=form.superfat,
        potassium_share=form.potassium_share,
        water_g=None if is_all_liquid(form) else form.water,
        lye_concentration=form.lye_concentration,
        additives=tuple(item.weighed(charge.grams) for item in form.additives),
        batter_temperature=batch.batter_temperature,
        gel=batch.gel,
        cured_water=cured_water_at(batch.cure_weeks) if form.cured_water is None else form.cured_water,
        bars=bars_of(form, charge.to_make),
        cured_weight_kg=bar_of(form),
        shelf_span=None if form.shelf is None else form.shelf.span,
        liquids=form.liquids,
        techniques=chosen,
        given=told.given,
        water=form.water_hardness,
        cure_weeks=batch.cure_weeks,
        to_make=charge.to_make,
        scale_g=None if form.batch is None else form.batch.scale_g,
        mould=None if form.batch is None or charge.to_make is not None else form.batch.mould,
    )


def bars_of(form: RecipeForm, to_make: Batch | None) -> int | None:
    """How many bars are made, where that is told: as a number, or by the cavities of a mould where nothing says what a bar weighs."""
    if to_make is None:
        mould = None if form.batch is None or form.cured_weight is not None else form.batch.mould
        return form.bars or (None if mould is None else mould.every_cavity)
    return to_make.bars or form.bars or (to_make.cavities if form.cured_weight is None else None)


def bar_of(form: RecipeForm) -> float:
    """What a cured bar weighs, in kg."""
    if form.batch is not None and form.batch.bars is not None:
        return form.batch.cured_weight_kg
    return DEFAULT_BAR if form.cured_weight is None else form.cured_weight


CHOSEN = {"batter_temperature": "batter_temperature", "gel": "gel", "cure": "cure_weeks"}
"""Keys of a recipe that a design may choose too, and what a batch calls them."""


def chosen_for(batch: Batch, techniques: Sequence[Design], extras: Sequence[str], known: Known) -> Batch:
    """The batch with what its designs choose beside such extras; the room of designs is loaded only where there are any."""
    if not techniques:
        return batch
    from optimiser.problem.designs import choose

    mine = {item.name: item for item in known.own_extras().values()}
    heating = heating_names(extra_named(name, mine) for name in extras)
    return choose(batch, techniques, heating)[0]


def is_all_liquid(form: RecipeForm) -> bool:
    """Whether no plain water goes in and liquids told by their share stand for all of it: then the lye says how much.

    Raises:
        BadInput: shares of no water at all.
    """
    told = [item.share for item in form.liquids if item.share is not None]
    if form.water != 0.0 or not told:
        return False
    if len(told) == len(form.liquids) and math.isclose(math.fsum(told), 100.0):
        return True
    message = "a share of the water is asked for, and there is none: 'water: 0 g'"
    help_ = "leave 'water' out, and the lye concentration says how much there is; or give the liquids in grams"
    raise BadInput([Diagnostic(Code.CONTRADICTION, message, help_, form.liquids[0].span)])


# -- reading ---------------------------------------------------------------------------------------------------


def _within_quantity(name: str) -> Callable[[Node, str, Any], float]:
    """Reads per cent, within what may be asked of a quantity."""

    def read(node: Node, what: str, _: Any) -> float:
        quantity: Quantity = quantities()[name]
        share = read_share(scalar(node, what), what)
        if name == "superfat" and share.value < 0:
            raise lye_heavy(f"{share.digits} %")
        if not quantity.lowest <= share.value <= quantity.highest:
            low, high = write_number(quantity.lowest), write_number(quantity.highest)
            raise Misread(
                Code.OUT_OF_RANGE,
                f"{share.digits} % is outside what {quantity.words} can be",
                f"it lies between {low} % and {high} %",
            )
        return share.value

    return read


def _is_nothing(node: Node | None) -> bool:
    try:
        return isinstance(node, Text) and read_mass(node) == 0.0
    except Misread:
        return False


class RecipeForm(Form):
    """A recipe in hand: masses of fats or their shares of a batch, alkali or superfat, water, additives."""

    what: ClassVar[str] = "a recipe"
    example: ClassVar[str] = "fats: {olive oil: 700 g, coconut oil: 250 g, castor oil: 50 g}"
    usual: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("oils", "oil", "fat"), "fats"),
        "lye": "for its strength write lye_concentration: 33 %; for what is weighed, alkali: {sodium hydroxide: 135 g}",
        **dict.fromkeys(("alkalis", "naoh", "koh", "sodium hydroxide", "potassium hydroxide"), "alkali"),
        **dict.fromkeys(("additive", "extras"), "additives"),
        **dict.fromkeys(("liquid", "milk", "in place of water", "instead of water"), "liquids"),
        **dict.fromkeys(("name",), "title"),
        **dict.fromkeys(("temperature",), "batter_temperature"),
        **dict.fromkeys(("designs", "technique"), "design"),
        **dict.fromkeys(("for whom", "skin", "user", "people"), "for"),
        **dict.fromkeys(("hardness of water", "hard water"), "water_hardness"),
    }

    title: str = field(Read("title", as_title, TEXT), default="", description="What the bar is called.")
    design: Named = field(
        Read("design", named_by("design", "design: fine swirl"), names_of("design")),
        default=(),
        description="A named design, or a list of them: the steps are its own.",
    )
    for_: Named = field(
        Read("for", named_by("for", "for: mature skin"), names_of("for")),
        default=(),
        alias="for",
        description="Whom the bar is for; kept beside the recipe.",
    )
    shelf: Text | None = field(
        Read("shelf", as_path, TEXT),
        default=None,
        description="The shelf's file, as a path from this file's folder; without it, the nearest inventory/ folder's only shelf.",
    )
    fats: tuple[Weighed, ...] = field(
        Read("fats", read_fats, names_of("weighed_fats")),
        description="Each fat with its mass, as in 700 g; or all in per cent, as in 70 %, with 'batch'.",
    )
    batch: Batch | None = field(
        Read("batch", read_batch, form_schema(BatchForm)),
        default=None,
        description="How much is made, where the fats are told in per cent; beside masses a mould that they fill, and the scale.",
    )
    alkali: tuple[Weighed, ...] = field(
        Read("alkali", read_alkali, names_of("weighed_alkali")),
        default=(),
        description="Each alkali with its mass as weighed; or give 'superfat' instead.",
    )
    superfat: float | None = field(
        Read("superfat", _within_quantity("superfat"), FIGURE),
        default=None,
        description="The superfat that the alkali is to be worked out for, as in 5 %; or give 'alkali' instead.",
    )
    potassium_share: float = field(
        Read("potassium_share", _within_quantity("potassium_share"), FIGURE),
        default=0.0,
        description="Beside 'superfat': the share of the alkali's moles, not of its mass, that is potassium hydroxide.",
    )
    water: float | None = field(
        Read("water", water_grams, TEXT),
        default=None,
        description="All the water, as in 280 g, liquids told by their share among it; or give 'lye_concentration' instead.",
    )
    lye_concentration: float | None = field(
        Read("lye_concentration", _within_quantity("lye_concentration"), FIGURE),
        default=None,
        description="Alkali as a share of the lye, as in 33 %; or give 'water' instead.",
    )
    additives: tuple[Added, ...] = field(
        Read("additives", read_additives, names_of("weighed_additives")),
        default=(),
        description="Each additive with its mass, as in 20 g, or for the fats, as in 2 % or 10 g / kg.",
    )
    liquids: tuple[Poured, ...] = field(
        Read("liquids", read_liquids, names_of("poured_liquids")),
        default=(),
        description="What stands for water: its share of all that is poured in water's place, as in 50 %, or its mass.",
    )
    batter_temperature: float | None = field(
        TEMPERATURE, default=None, description="How warm the batter is poured, as in 35 degC or 95 degF."
    )
    gel: bool | None = field(
        GEL, default=None, description="Whether the bars are covered and go through gel: yes or no."
    )
    cured_water: float | None = field(
        CURED_WATER, default=None, description="Share of the cured bar that is water, as in 10 %."
    )
    cure: float | None = field(CURE, default=None, description="How long the bars are cured, as in 6 weeks or 40 days.")
    bars: int | None = field(BARS, default=None, description="How many bars it makes.")
    cured_weight: float | None = field(
        CURED_WEIGHT, default=None, description="What one cured bar weighs, as in 110 g."
    )
    water_hardness: Water | None = field(
        Read("water_hardness", read_water, TEXT),
        default=None,
        description="How hard the wash water is, as in 250 mg/L (as CaCO3), 14 dH or 15 gpg.",
    )

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Refuses two answers to one question, and none at all where the alkali is the question."""
        faults = Gathering()
        pairs = (
            ("alkali", "superfat", "one follows from the other"),
            ("alkali", "potassium_share", "the alkalis as weighed tell it"),
        )
        for one, other, why in (*pairs, ("water", "lye_concentration", "one follows from the other")):
            if one in keys and other in keys:
                note = (f"'{one}' stands here", keys[one].span)
                message = f"'{other}' cannot stand beside '{one}': {why}"
                faults.add(Diagnostic(Code.CONTRADICTION, message, "keep one of the two", keys[other].span, (note,)))
        dry = "water" in keys and "liquids" not in keys and _is_nothing(entries.get("water"))
        if dry:
            message = "a recipe without water has no lye"
            help_ = "write how much there is, or what stands for it under 'liquids'"
            faults.add(Diagnostic(Code.OUT_OF_RANGE, message, help_, keys["water"].span))
        if keys and "alkali" not in keys and "superfat" not in keys:
            span = next(iter(keys.values())).span
            faults.add(
                Diagnostic(
                    Code.MISSING_KEY,
                    "the recipe has neither 'alkali' nor 'superfat'",
                    "write superfat: 5 %, or alkali: {sodium hydroxide: 135 g}",
                    span,
                )
            )
        faults.settle()

"""What a making sheet says, word by word, in the order of the page: the one thing that the web page and the PDF are set from."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from optimiser.answers.results import Blend
from optimiser.problem.units import Units
from optimiser.recipe.cautions import in_brief, standing
from optimiser.recipe.kinds import is_paste
from optimiser.recipe.weights import Weights, of_fats, of_jug, rough
from optimiser.report import words
from optimiser.report.page.days import Day, day_row, day_words
from optimiser.report.page.figures import Cost, Gauged, GoalRow, cost_of, gauged, goal_rows, silent_rules
from optimiser.report.page.label_list import label_lines
from optimiser.report.page.setting import Setting
from optimiser.report.terminal import advice as text_advice
from optimiser.report.terminal import blend as text_blend
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import steps as text_steps

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.sheet import AlkaliRow, FatRow, MakingSheet, PartRow

FIRST_AID = "First aid: on this sheet."
PLACES = {
    "water": "into the water, before the alkali",
    "hot lye": "into the lye while it is hot",
    "lye": "into the lye once it is cool",
    "fats": "into the fats",
    "liquid": "at a light trace, bit by bit",
    "trace": "at a light trace",
    "colour": "at a light trace, or into its part",
    "last": "last, when all else is in",
    "end": "at the very end, just before filling",
}
READINGS = (
    "Lye at",
    "Fats at",
    "Blender on at",
    "Trace at",
    "Poured at",
    "Unmoulded at",
    "Weight of all bars",
    "Room at",
)
OF_PASTE = (
    "Lye at",
    "Fats at",
    "Blended from",
    "Stays together at",
    "Clear at",
    "Into jars at",
    "Weight of the paste",
    "Room at",
)


class Weight(NamedTuple):
    """A weight: in grams for programs, as it is read off the balance, and the same in other units ("" where not asked)."""

    grams: str
    told: str
    also: str = ""


class Fat(NamedTuple):
    """A row of the weigh-out table."""

    name: str
    lot: str
    share: str
    weight: Weight
    reads: str
    melts: bool


class Boxed(NamedTuple):
    """What stands in a box of its own in large type."""

    name: str
    weight: Weight
    note: str


class Later(NamedTuple):
    """What is weighed beside, and where it goes in."""

    name: str
    weight: Weight
    place: str


class Contents(NamedTuple):
    """The whole sheet. Lists of sentences are told as they are, `heads` are the units over the columns of weights."""

    title: str
    files: str
    design: str
    amount: str
    made: str
    number: str
    heads: tuple[str, str]
    to_a_step: str
    danger: tuple[str, ...]
    brief: tuple[str, ...]
    fats: tuple[Fat, ...]
    all_fats: Weight
    alkalis: tuple[Boxed, ...]
    poured: tuple[Boxed, ...]
    fine_step: str
    lye: tuple[str, ...]
    cautions: tuple[str, ...]
    handling: tuple[str, ...]
    later: tuple[Later, ...]
    pot: Weight
    filled: tuple[str, ...]
    steps: tuple[str, ...]
    times: tuple[str, ...]
    readings: tuple[str, ...]
    what: str
    measures: tuple[Gauged, ...]
    legend: str
    changed: tuple[str, ...]
    goals: tuple[GoalRow, ...]
    goals_note: tuple[str, ...]
    aside: tuple[str, ...]
    bought: tuple[str, ...]
    cost: Cost | None
    advice: tuple[str, ...]
    days: tuple[Day, ...]
    notes: tuple[str, ...]
    label: tuple[str, ...] = ()


def contents(sheet: MakingSheet) -> Contents:
    """The words of a sheet."""
    story, recipe, judged = sheet.story, sheet.recipe, sheet.judged
    setting = Setting(fahrenheit=sheet.both or not recipe.units.is_metric)
    jug = Both.of(of_jug(recipe), both=sheet.both)
    fats = Both.of(of_fats(recipe), both=sheet.both)
    urgent = text_lye.urgent(recipe, judged, story.cautions)
    blend = story if isinstance(story, Blend) else None
    measures, legend = gauged(sheet, setting)
    paste = is_paste(recipe, judged.values)
    return Contents(
        title=setting.name(story.title) or ("Untitled bar" if blend else "Untitled recipe"),
        files=setting.name(files_of(sheet)),
        design=setting.name(", ".join(one.name for one in blend.techniques)) if blend else "",
        amount=setting.own(amount_of(sheet)),
        made="" if sheet.made is None else day_words(sheet.made),
        number=setting.name(sheet.number),
        heads=(fats.first.head, fats.second.head if fats.second else ""),
        to_a_step=setting.own(words.to_a_step(recipe.fat_step, recipe.units).removeprefix(", ")),
        danger=tuple(setting.own(item) for item in (*urgent, *far_off(sheet))),
        brief=tuple(setting.own(item) for item in brief(sheet)),
        fats=tuple(fat_row(row, fats, setting) for row in sheet.fats),
        all_fats=fats.weight(recipe.fat_grams),
        alkalis=tuple(alkali_box(row, jug, setting) for row in sheet.alkalis),
        poured=tuple(Boxed(setting.name(row.name), jug.whole(row.grams), "") for row in sheet.poured),
        fine_step=setting.own(words.to_a_step(recipe.alkali_step, recipe.units).removeprefix(", ")),
        lye=tuple(setting.own(item) for item in lye_words(sheet)),
        cautions=tuple(setting.own(item) for item in others(sheet, urgent)),
        handling=tuple(setting.own(item) for item in standing(recipe)),
        later=tuple(later_row(row, jug, setting) for row in sheet.later),
        pot=jug.whole(judged.batter_grams),
        filled=tuple(setting.own(item) for item in poured_into(sheet)),
        steps=tuple(setting.own(item) for item in story.steps),
        times=setting.lines(text_steps.expected(story.times)),
        readings=OF_PASTE if paste else READINGS,
        what="paste" if paste else "bar",
        measures=measures,
        legend=legend,
        changed=changed(sheet, setting),
        goals=goal_rows(story, setting),
        goals_note=silent_rules(story),
        aside=setting.lines(text_blend.aside(blend, full=True)) if blend else (),
        bought=bought(sheet, setting),
        cost=cost_of(story, setting),
        advice=setting.lines(text_advice.block(story.ash, story.water_hardness, full=True, units=recipe.units)),
        days=tuple(day_row(event, setting) for event in sheet.events),
        notes=tuple(setting.own(words.sentence(note)) for note in story.notes),
        label=tuple(label_lines(sheet, setting)),
    )


class Both(NamedTuple):
    """Weights in the units of the balance, and beside them in others where both are asked for."""

    first: Weights
    second: Weights | None = None

    @classmethod
    def of(cls, first: Weights, *, both: bool) -> Both:
        """Ounces to a hundredth beside grams, grams to a tenth beside ounces and pounds."""
        if not both:
            return cls(first)
        return cls(first, Weights(Units.OUNCES, 2) if first.units.is_metric else Weights(Units.GRAMS, 1))

    def weight(self, grams: float) -> Weight:
        """A weight in a column that its unit heads."""
        return Weight(
            in_grams(grams),
            self.first.figure(grams).replace(words.GLUE, " "),
            self.second.figure(grams) if self.second else "",
        )

    def whole(self, grams: float) -> Weight:
        """A weight with its unit."""
        return Weight(in_grams(grams), self.first.told(grams), self.second.told(grams) if self.second else "")

    def alkali(self, grams: float) -> Weight:
        """An alkali with its unit, its digits cut off and never rounded up."""
        return Weight(
            in_grams(grams), self.first.alkali_told(grams), self.second.alkali_told(grams) if self.second else ""
        )


def in_grams(grams: float) -> str:
    """Grams to the milligram, as data write them."""
    return repr(round(float(grams), 3)).removesuffix(".0")


def files_of(sheet: MakingSheet) -> str:
    """What the sheet was made from."""
    shelf = sheet.story.shelf_title if isinstance(sheet.story, Blend) else ""
    return ", over ".join(filter(None, (words.path(sheet.file), shelf)))


def amount_of(sheet: MakingSheet) -> str:
    """How much it makes."""
    units = sheet.recipe.units
    if is_paste(sheet.recipe, sheet.judged.values):
        return f"{rough(units).told(sheet.judged.batter_grams)} of paste for jars"
    if sheet.cost is not None:
        return words.bars(sheet.cost.bars, sheet.cost.bar_grams, units)
    return f"{rough(units).told(sheet.judged.cured_grams)} of soap once cured"


def far_off(sheet: MakingSheet) -> Iterator[str]:
    """What gave way so far that nobody would pour the bar; its words are loaded only where something did."""
    if isinstance(sheet.story, Blend) and sheet.story.far_off:
        from optimiser.report.terminal.far_off import loud

        yield from (loud(one, sheet.story.currency) for one in sheet.story.far_off)


def brief(sheet: MakingSheet) -> Iterator[str]:
    """What stands on every page; first aid is told on the sheet itself."""
    for line in in_brief(sheet.recipe):
        yield line.replace("First aid: --steps.", FIRST_AID)


def others(sheet: MakingSheet, urgent: Sequence[str]) -> Iterator[str]:
    """The cautions that this very recipe gives cause for, but those that stand at the top already."""
    said = {*urgent, *standing(sheet.recipe)}
    yield from dict.fromkeys(item for item in sheet.story.cautions if item not in said)


def fat_row(row: FatRow, weights: Both, setting: Setting) -> Fat:
    """A fat on the balance."""
    return Fat(
        name=setting.name(row.fat),
        lot=setting.name(row.lot),
        share=setting.own(f"{row.share:.1f} %"),
        weight=weights.weight(row.grams),
        reads=weights.weight(row.reads).told,
        melts=row.melts,
    )


def alkali_box(row: AlkaliRow, weights: Both, setting: Setting) -> Boxed:
    """An alkali with its purity, and on whose word that is."""
    pure = weights.first._replace(decimals=max(1, weights.first.decimals)).alkali_told(row.grams * row.purity)
    note = f"{100 * row.purity:g} % pure; {pure} as 100 %" if row.purity < 1 else "taken as 100 % pure"
    note += f"; may be up to {100 * row.purest:.4g} %" if row.purest > row.purity else ""
    return Boxed(setting.name(row.name), weights.alkali(row.grams), setting.own(note))


def later_row(row: PartRow, weights: Both, setting: Setting) -> Later:
    """What is weighed beside, with its place."""
    return Later(setting.name(row.name), weights.whole(row.grams), PLACES[row.place])


def poured_into(sheet: MakingSheet) -> Iterator[str]:
    """The moulds, and how far the batter fills them; nothing where none is told."""
    if sheet.story.filled is not None:
        from optimiser.report import filled

        yield f"Poured into: {filled.moulds(sheet.story.filled.mould, sheet.recipe.units)}."
        yield filled.filling(sheet.story.filled)


def bought(sheet: MakingSheet, setting: Setting) -> tuple[str, ...]:
    """What must be bought before it can be made, where the goals say that anything is."""
    story = sheet.story
    if not isinstance(story, Blend) or story.buying is None or not story.buying.lines:
        return ()
    from optimiser.report.terminal import buying as text_buying

    return (setting.own(text_buying.first_of_all(story.buying, story.currency)),)


def lye_words(sheet: MakingSheet) -> Iterator[str]:
    """What lye that is, and how much fat stays free."""
    asked = sheet.story.alkali.superfat if isinstance(sheet.story, Blend) else None
    yield text_lye.superfat_sentence(sheet.judged, asked)
    yield text_lye.lye_sentence(sheet.judged, say_heat=False)


def changed(sheet: MakingSheet, setting: Setting) -> tuple[str, ...]:
    """What is changed of a recipe in hand, where the blend is near to one."""
    story = sheet.story
    if not isinstance(story, Blend) or story.near is None:
        return ()
    from optimiser.report.terminal import near as text_near

    return setting.lines(text_near.block(story.near, story.recipe, story.currency, story.cost.per_kg))

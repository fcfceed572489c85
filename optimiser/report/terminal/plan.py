"""A plan in words: each bar with what to weigh and its cautions, who has what is scarce and what that saves, the buying list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.answers.rounded import on_rounding
from optimiser.recipe.cautions import standing
from optimiser.recipe.kinds import is_paste
from optimiser.report import words
from optimiser.report.terminal import blend as text_blend
from optimiser.report.terminal import lye as text_lye
from optimiser.report.terminal import steps as text_steps
from optimiser.report.terminal import verdicts as text_verdicts
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.plan_results import Plan, PlanBar, PlanProof, Scarce

A_CENT = 0.005
TINY = 1e-9
LEAST_TOLD = 0.0005  # kg


def parts(story: Plan, paper: Paper, *, steps: bool = False, full: bool = False, saved: str = "") -> Iterator[Part]:
    """The whole plan.

    Args:
        story: the answer.
        paper: what it is set on.
        steps: the making steps of each bar too.
        full: all that each bar has to tell beside.
        saved: the folder that the recipes were written into, if they were.
    """
    yield from text_lye.at_top(at_top(story))
    count = words.counted(len(story.bars), "bar")
    yield Heading(story.title or "Plan", f"{count}, {words.priced(story.cost_used, story.currency)} in all")
    yield Line(", over ".join(filter(None, (words.path(story.plan_file), story.shelf_title))))
    yield Gap()
    for number, bar in enumerate(story.bars, start=1):
        yield from one_bar(bar, number, steps=steps, full=full, buys=bool(story.buys))
    yield from who_has_what(story)
    yield from buying(story)
    yield Heading("Is it the cheapest?")
    yield Line(proof_sentence(story.proof, story.currency, house=house_of(story)))
    yield Gap()
    yield from closing(story, saved, paper.typed)


def at_top(story: Plan) -> tuple[str, ...]:
    """What cannot wait, each with the bars that it is said of."""
    of: dict[str, list[str]] = {}
    for bar in story.bars:
        for line in dict.fromkeys(text_lye.urgent(bar.blend.recipe, bar.blend.weighed, bar.blend.cautions)):
            of.setdefault(line, []).append(bar.name)
    return tuple(line if len(names) == len(story.bars) else f"{', '.join(names)}: {line}" for line, names in of.items())


def one_bar(bar: PlanBar, number: int, *, steps: bool, full: bool, buys: bool) -> Iterator[Part]:
    """One bar: what it is, its fats, alkali and water with cautions, what it costs."""
    blend = bar.blend
    paste = is_paste(blend.recipe, blend.figures)
    yield from text_blend.far_off(blend)
    yield Heading(
        f"{number}  {blend.title or bar.name}", text_blend.cost_per_kg(blend.cost, blend.currency, of_paste=paste)
    )
    yield Line(words.path(blend.goal_file))
    units = blend.recipe.units
    if paste:
        pot = blend.weighed.batter_grams
        yield Line(text_blend.paste_sentence(blend.cost, blend.currency, pot, blend.recipe.cured_water, units))
    else:
        yield Line(text_blend.cost_sentence(blend.cost, blend.currency, blend.recipe.cured_water, units))
    yield from text_blend.filling(blend)
    more = blend.cost.per_kg - bar.alone_per_kg
    if more >= A_CENT:
        dearer = words.money(more)
        alone = (
            "With the shelf to itself, bought at the least that a kilo can cost,"
            if buys
            else "With the shelf to itself"
        )
        yield Line(f"{alone} it would cost {dearer} {words.per(blend.currency, 'kg')} less.")
    yield from text_blend.aside(blend, full=full)
    for note in on_rounding(blend.rounding, blend.recipe, blend.goals, blend.preferences):
        yield Line(words.sentence(note), style="bold yellow", hang=2)
    yield Gap()
    yield from text_blend.fats(blend)
    yield Gap()
    money = {line.additive: words.priced(line.cost, blend.currency) for line in blend.additives}
    money |= {line.liquid: words.priced(line.cost, blend.currency) for line in blend.liquids}
    yield from text_lye.block(
        blend.recipe, blend.weighed, blend.cautions, asked=blend.alkali.superfat, costs=money, full=full
    )
    yield Gap()
    yield from text_verdicts.preferences(blend.preferences, blend.currency)
    if steps:
        yield from text_steps.numbered(blend.steps, standing(blend.recipe))


# -- what is scarce ------------------------------------------------------------------------------------------------


def who_has_what(story: Plan) -> Iterator[Part]:
    """Who has how much of what is scarce, what more of it would save, and what the plan saves beside the bars one by one."""
    yield Heading("What the bars share")
    if not story.scarce and story.one_by_one is None:
        yield Line("There is enough of every fat: each bar is what it would be by itself.")
        yield Gap()
        return
    for one in story.scarce:
        yield Line(scarce_sentence(story, one), hang=2)
    if not story.scarce and not story.buys:
        yield Line("No fat in stock is used up.")
    yield from beside(story)
    for says in priced_apart(story):
        yield Line(says, hang=2)
    yield Gap()


def priced_apart(story: Plan) -> Iterator[str]:
    """The fats of which a kilo costs one bar more than another, and why: each bar has its tins."""
    for fat in dict.fromkeys(line.fat for bar in story.bars for line in bar.blend.fats):
        prices = {
            bar.name: line.cost / line.grams * 1000.0
            for bar in story.bars
            for line in bar.blend.fats
            if line.fat == fat and line.grams > 1.0
        }
        if prices and max(prices.values()) - min(prices.values()) >= A_CENT:
            told = ", ".join(f"{words.money(price)} {name}" for name, price in prices.items())
            unit = words.per(story.currency, "kg")
            yield (
                f"{words.begun(fat)} costs one bar more than another ({told}; {unit}): each is weighed out of the tins that are meant for it, "
                "or a goal on the cost would not hold."
            )


def scarce_sentence(story: Plan, one: Scarce) -> str:
    """One fat of which nothing is left."""
    given = [
        f"{kilos(amount)} {bar.name}" for bar, amount in zip(story.bars, one.drawn_kg, strict=True) if amount > TINY
    ]
    left = one.there_kg - sum(one.drawn_kg)
    much = kilos(one.there_kg) if left < LEAST_TOLD else f"but {kilos(left)} of {kilos(one.there_kg)}"
    says = f"{words.begun(one.fat)}: all {much} used ({', '.join(given)})"
    if one.saves is None:
        return f"{says}."
    if one.saves < A_CENT:
        return f"{says}; more of it would save less than a cent a kilo."
    return f"{says}; one kilo more would save {words.priced(one.saves, story.currency)}."


def beside(story: Plan) -> Iterator[Part]:
    """What the plan saves beside the bars answered one by one."""
    found = story.one_by_one
    if found is None:
        return
    if found.dearer is None:
        yield Line(
            f"One by one in this order, each from what those before it left, there would be none for {found.stuck}.",
            hang=2,
        )
        return
    if found.cash is not None:
        told, together = words.priced(found.cash, story.currency), words.priced(story.cash_out, story.currency)
        yield Line(
            f"Bought for one by one, what is left over carried on, the fats would come to {told}; together to {together}.",
            hang=2,
        )
    more = found.dearer
    if more >= A_CENT:
        yield Line(
            f"One by one in this order, each from what those before it left, they would use up "
            f"{words.priced(more, story.currency)} more.",
            hang=2,
        )
    elif more > -A_CENT:
        if found.cash is None:
            yield Line("One by one in this order they would cost the same.")
    else:
        what = "use up" if found.cash is not None else "cost"
        but = ""
        if found.otherwise:
            but = f"; rules of the house would then give way otherwise in {words.joined(list(found.otherwise))}"
        yield Line(
            f"One by one in this order, each from what those before it left, they would {what} "
            f"{words.priced(-more, story.currency)} less{but}.",
            hang=2,
        )


def kilos(amount: float) -> str:
    """Kilos as a person writes them."""
    return f"{amount:.3f}".rstrip("0").rstrip(".") + f"{words.GLUE}kg"


# -- what is bought ------------------------------------------------------------------------------------------------


def buying(story: Plan) -> Iterator[Part]:
    """The buying list, and what is paid, used and left."""
    yield Heading("To buy", words.priced(story.cash_out, story.currency))
    if not story.buying:
        yield Line("Nothing: the stock does.")
    else:
        rows = [
            (
                line.fat,
                words.glued(f"{line.number:.0f} x {line.size}") if line.size else "by the kilo",
                kilos(line.kilos),
                words.money(line.cost),
            )
            for line in story.buying
        ]
        rows.append(("all", "", "", words.money(story.cash_out)))
        columns = (
            *(Column("fat", wraps=True), Column("packs"), Column("in all", "right")),
            Column(story.currency or words.MONEY, "right"),
        )
        yield Table(columns, rows, last_is_total=True)
    used, left = words.priced(story.cost_used, story.currency), words.priced(story.value_left, story.currency)
    yield Line(f"What is used costs {used}, stock, alkali and additives too; bought and left over: {left}.", hang=2)
    yield Gap()


# -- what is proved ------------------------------------------------------------------------------------------------


def house_of(story: Plan) -> str:
    """Under which rules of the house a proof is: "" where no bar has any."""
    if all(bar.blend.practice_off for bar in story.bars):
        return ""
    kept = not any(rule for bar in story.bars for rule in bar.blend.stood_aside if not rule.own)
    return f"With the rules of the house {'kept' if kept else 'as they stand above'}, no plan"


def proof_sentence(proof: PlanProof, currency: str, *, house: str = "") -> str:
    """Below what no plan can come; `house` begins it where there are rules of the house."""
    what = "of so much of each bar costs less than"
    if proof.of_cash:
        what = "pays for so much of each bar, what it buys and the alkali and additives that it uses, less than"
    how = "checked in exact arithmetic" if proof.exact else "by the solver's own bound, since something is counted"
    least = f"{words.floor_money(proof.least)} {currency}".rstrip()
    says = f"{house or 'No plan'} from this shelf {what} {least} ({how})"
    if proof.is_limited:
        says += "; the search ended before it was done"
    says += (
        f". This one lies {100.0 * proof.gap:.2g}{words.GLUE}% above that."
        if proof.gap > 1e-6
        else ", and this one is there."
    )
    if not proof.is_whole:
        says += " Rules of the house gave way to what is scarce; of other ways for them to give way nothing is proved."
    return says


def closing(story: Plan, saved: str, typed: str) -> Iterator[Part]:
    """What to do next."""
    if saved:
        yield Line(f"Written into {words.quoted(saved)}: a recipe for each bar.", indent=0)
        return
    yield Line("To keep the recipes, as rounded for the balance:", indent=0)
    yield Line(f"barwright plan {words.quoted(story.plan_file)}{typed} --save recipes", style="bold", whole=True)

"""The batch record in words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from optimiser.recipe.balance import places
from optimiser.recipe.handling import BOTH, DEFER_IN_BRIEF, in_brief
from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table, printed
from optimiser.text.durations import write_duration
from optimiser.text.signs import visible

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from optimiser.answers.batch_record import Unfit
    from optimiser.store.values import Added, Batch, Left, Listed, Lot, Observation, Recalled, Shipment, Shown, Traced

NO_DAY = "day not told"
NO_LOT = "no lot"
FIRST_AID = "'barwright explain lye'"
E4 = 10_000.0


def unfit(found: Unfit, paper: Paper) -> str:
    """Why a recipe was not recorded."""
    parts = [Line(f"! {line}", style="bold red", indent=0, hang=2) for line in found.urgent]
    return printed(paper, [*parts, Line("Nothing was recorded.", style="bold", indent=0)])


def added(path: Path, found: Added, paper: Paper, *, is_new: bool) -> str:
    """What was recorded, and where."""
    new = " (a new record)" if is_new else ""
    return f"Recorded: {paper.say(found.batch.id)} in {paper.say(str(path))}{new}\n{printed(paper, _added(found))}"


def _added(found: Added) -> Iterator[Part]:
    yield from _batch(found.batch)
    if found.left:
        yield Heading("Left of its lots", "grams")
        yield _stock(found.left)
        short = [item.lot.number for item in found.left if item.grams is not None and item.grams < 0]
        if short:
            yield Line(
                f"Of {words.joined(short)} more went in than there was: count it, and tell it with 'batch lot --counted'.",
                hang=2,
            )


def shown(found: Shown, paper: Paper) -> str:
    """A batch with all that is known of it."""
    return printed(paper, _shown(found))


def _shown(found: Shown) -> Iterator[Part]:
    yield from _batch(found.batch)
    if found.observations:
        yield Heading("Seen of it")
        yield from (Line(_seen(item), hang=2) for item in found.observations)
        yield Gap()
    if found.shipments:
        yield from _shipments(found.shipments, found.batch.bars)
    yield Line("Next, the recipe as it was weighed out:", indent=0)
    command = f"barwright batch show {words.quoted(found.batch.id)} --recipe"
    yield Line(command, style="bold", whole=True)


def _batch(batch: Batch) -> Iterator[Part]:
    decimals = places(use.grams for use in batch.uses)
    yield Heading(batch.title or "Untitled recipe", f"{batch.id}, {batch.made or NO_DAY}")
    rows = [
        (use.material, words.grams(use.grams, decimals), _lot(use.lot) if use.kind != "water" else "")
        for use in batch.uses
    ]
    rows.append(("all in the pot", words.grams(batch.batter_g, decimals), ""))
    yield Table((Column("", wraps=True), Column("grams", "right"), Column("lot", wraps=True)), rows, last_is_total=True)
    yield Gap()
    yield Line(
        f"Superfat {batch.superfat:.1f} %; likely low {batch.superfat_likely:.1f} %, worst case {batch.superfat_worst:.1f} %. "
        f"Lye of {batch.lye_concentration:.1f} %.",
        hang=2,
    )
    yield Line(_made_into(batch), hang=2)
    yield from (Line(f"! {line}", hang=2) for line in batch.cautions)
    yield from _cautions(use.material for use in batch.uses)


def _cautions(materials: Iterable[str]) -> Iterator[Part]:
    """What the alkalis among these call for, where there are any."""
    held = set(materials)
    alkalis = tuple(name for name in BOTH if name in held)
    if alkalis:
        yield Line(f"! {in_brief(alkalis)[0]}", hang=2)
        yield Line(f"! {DEFER_IN_BRIEF.replace('--steps', FIRST_AID)}", hang=2)
        yield Gap()


def _made_into(batch: Batch) -> str:
    bars = "number of bars not told" if batch.bars is None else words.counted(batch.bars, "bar")
    cost = "" if batch.cost_e4 is None else f", {words.priced(batch.cost_e4 / E4, batch.currency)} of materials"
    return f"{words.sentence(f'{bars}, {words.grams(batch.cured_g, 0)} g once cured{cost}')} Recipe {batch.sha256[:12]}, by barwright {batch.version}."


def recipe(found: Shown) -> str:
    """The recipe as it was weighed out: a file that `weigh` reads, whatever letters the terminal has."""
    return "".join(f"{visible(line)}\n" for line in found.batch.recipe.split("\n")[:-1])


def listing(path: Path, lines: Sequence[Listed], paper: Paper) -> str:
    """Every batch."""
    return printed(paper, _listing(path, lines))


def _listing(path: Path, lines: Sequence[Listed]) -> Iterator[Part]:
    yield Heading(f"Batches in {path}", words.counted(len(lines), "batch", "batches"))
    if not lines:
        yield Line("Nothing yet: 'barwright batch add RECIPE' records the first.")
        return
    columns = (
        *(Column("id", wraps=True, least=8), Column("made"), Column("title", wraps=True, least=10)),
        *(Column("fats\ng", "right"), Column("bars", "right"), Column("sent", "right")),
        *(Column("lots", "right"), Column("fats with\nno lot", "right")),
    )
    yield Table(
        columns,
        [
            (
                *(line.id, line.made or words.NOTHING, line.title, words.grams(line.fats_g, 0)),
                words.NOTHING if line.bars is None else f"{line.bars}",
                *(f"{line.sent}", f"{line.lots}", f"{line.untold}"),
            )
            for line in lines
        ],
    )


def recalled(path: Path, found: Recalled, paper: Paper) -> str:
    """Every batch that holds a lot, and the record that was read."""
    return printed(paper, [*_recalled(found), read_from(path)])


def read_from(path: Path) -> Part:
    """Which record an answer is from."""
    return Line(f"Read in {path}.", hang=2)


def _recalled(found: Recalled) -> Iterator[Part]:
    materials = words.joined([lot.material for lot in found.lots])
    yield Heading(f"Lot {found.number}: {materials}", words.counted(len(found.batches), "batch", "batches"))
    for lot in found.lots:
        if lot.best_before:
            yield Line(f"{lot.material} {lot.number}: best before {lot.best_before}.")
    if len({lot.material for lot in found.lots}) > 1:
        yield Line("More than one material goes by this number: all of them are told.", hang=2)
    if found.made_from_it:
        yield Line(
            f"Made from it: {words.joined([f'{lot.material} {lot.number}' for lot in found.made_from_it])}.", hang=2
        )
    if found.batches:
        columns = (
            *(Column("id", wraps=True, least=8), Column("made"), Column("title", wraps=True, least=10)),
            *(Column("grams", "right"), Column("as lot", wraps=True, least=8), Column("bars", "right")),
            Column("sent", "right"),
        )
        decimals = places(item.grams for item in found.batches)
        yield Table(
            columns,
            [
                (
                    *(item.id, item.made or words.NOTHING, item.title, words.grams(item.grams, decimals)),
                    ", ".join(lot.number for lot in item.through),
                    words.NOTHING if item.bars is None else f"{item.bars}",
                    f"{sum(sent.bars for sent in item.shipments)}",
                )
                for item in found.batches
            ],
        )
        yield Line("Grams of the lot itself, or of what was made from it.")
    else:
        yield Line("No batch is recorded with it.")
    yield Gap()
    yield from _cautions(lot.material for lot in found.lots)
    yield from _sent(found)
    if found.may_hold:
        yield Heading(
            "No lot was told, so these may hold it too", words.counted(len(found.may_hold), "batch", "batches")
        )
        asked = (
            *(Column("id", wraps=True, least=8), Column("made"), Column("title", wraps=True, least=10)),
            *(Column("of", wraps=True), Column("grams", "right")),
        )
        decimals = places(item.grams for item in found.may_hold)
        yield Table(
            asked,
            [
                (item.id, item.made or words.NOTHING, item.title, item.material, words.grams(item.grams, decimals))
                for item in found.may_hold
            ],
        )


def _sent(found: Recalled) -> Iterator[Part]:
    rows = [
        (item.id, f"{sent.bars}", sent.recipient, sent.sent_on) for item in found.batches for sent in item.shipments
    ]
    if rows:
        yield Heading("Where their bars went")
        columns = (Column("id", wraps=True, least=8), Column("bars", "right"), Column("to", wraps=True), Column("on"))
        yield Table(columns, rows)
        yield Gap()


def traced(path: Path, found: Traced, paper: Paper) -> str:
    """Every lot that is in a batch, and the record that was read."""
    return printed(paper, [*_traced(found), read_from(path)])


def _traced(found: Traced) -> Iterator[Part]:
    yield Heading(f"Batch {found.id}: {found.title}", found.made or NO_DAY)
    decimals = places(item.grams for item in found.lots if item.grams is not None)
    rows = [
        (
            *(item.lot.number, item.lot.material),
            words.NOTHING if item.grams is None else words.grams(item.grams, decimals),
            ", ".join(lot.number for lot in item.through),
        )
        for item in found.lots
    ]
    if rows:
        columns = (
            *(Column("lot", wraps=True, least=8), Column("of", wraps=True)),
            *(Column("grams", "right"), Column("inside lot", wraps=True)),
        )
        yield Table(columns, rows)
    if found.untold:
        listed = [f"{use.material} ({words.grams(use.grams, places([use.grams]))} g)" for use in found.untold]
        yield Line(f"No lot told: {words.joined(listed)}.", hang=2)
    yield Gap()
    yield from _cautions([*(item.lot.material for item in found.lots), *(use.material for use in found.untold)])
    if found.shipments:
        yield from _shipments(found.shipments, None)


def stock(path: Path, lots: Sequence[Left], paper: Paper) -> str:
    """What is left of every lot."""
    return printed(paper, _all_stock(path, lots))


def _all_stock(path: Path, lots: Sequence[Left]) -> Iterator[Part]:
    yield Heading(f"Lots in {path}", words.counted(len(lots), "lot"))
    if not lots:
        yield Line(
            "Nothing yet: lots come in with 'barwright batch add RECIPE --lot' and 'barwright batch lot'.", hang=2
        )
        return
    yield _stock(lots)
    if any(item.grams is None for item in lots):
        yield Line(
            f"{words.NOTHING}: nobody told how much there was; 'barwright batch lot LOT --of FAT --counted MASS' does.",
            hang=2,
        )
    yield Line("Drawn: what batches took with --draw-down. The shelf's own file is never changed.", hang=2)
    yield from _cautions(item.lot.material for item in lots)


def _stock(lots: Sequence[Left]) -> Table:
    decimals = places(value for item in lots for value in (item.grams or 0.0, item.drawn))
    columns = (
        *(Column("of", wraps=True), Column("lot", wraps=True, least=8), Column("left", "right")),
        *(Column("drawn", "right"), Column("best before")),
    )
    return Table(
        columns,
        [
            (
                *(item.lot.material, item.lot.number),
                words.NOTHING if item.grams is None else words.grams(item.grams, decimals),
                *(words.grams(item.drawn, decimals), item.lot.best_before or ""),
            )
            for item in lots
        ],
    )


def _lot(lot: Lot | None) -> str:
    return NO_LOT if lot is None else lot.number


def _seen(item: Observation) -> str:
    told = [
        "" if item.trace_s is None else f"trace after {write_duration(item.trace_s)}",
        "" if item.unmould_h is None else f"unmoulded after {write_duration(3600.0 * item.unmould_h)}",
        "" if item.hardness is None else f"hardness {item.hardness:g} {item.hardness_unit}",
        "" if item.ash is None else "soda ash" if item.ash else "no soda ash",
        *item.notes,
    ]
    return f"{item.noted_on or NO_DAY}: {'; '.join(filter(None, told))}"


def _shipments(items: Sequence[Shipment], bars: int | None) -> Iterator[Part]:
    sent = sum(item.bars for item in items)
    of = "" if bars is None else f" of {bars}"
    yield Heading("Where its bars went", f"{sent}{of} sent")
    columns = (Column("bars", "right"), Column("to", wraps=True), Column("on"))
    yield Table(columns, [(f"{item.bars}", item.recipient, item.sent_on) for item in items])
    yield Gap()

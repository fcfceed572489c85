"""The answer when there is no blend: which goals clash, in the maker's words, and what would make peace."""

from __future__ import annotations

import math
from itertools import groupby
from typing import TYPE_CHECKING

from optimiser.measures.sides import Side
from optimiser.measures.telling import FINEST
from optimiser.problem.wishes import Origin, Whose
from optimiser.report import words
from optimiser.report.terminal.page import Gap, Heading, Line, Part
from optimiser.text.names import shown as in_quotes
from optimiser.text.signs import excerpt

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.answers.results import Change, ClashMember, Concession, NoBlend
    from optimiser.text.spans import Span

TOLD_WHOLE = 3  # clashes told with their lines and figures
MOST_CLASHES = 8  # clashes told at all
MOST_WAYS = 6
LONG_LINE = 200  # letters of a line of the file that is shown whole


def parts(story: NoBlend) -> Iterator[Part]:
    """The whole answer."""
    yield Line("No blend meets these goals together.", style="bold red", indent=0)
    yield Gap()
    yield Heading(story.title or "Untitled bar", words.path(story.goal_file))
    if story.shelf_title:
        yield Line(f"over {story.shelf_title}")
    yield Gap()
    for place, clash in enumerate(story.clashes[:TOLD_WHOLE], start=1):
        yield from told(clash, place, story)
    yield from told_briefly(story)
    yield from more(story)
    yield from designs(story)
    yield from house_rules(story)
    yield from ways_out(story.concessions, story.currency, is_complete=story.concessions_complete)
    yield Line(proof_sentence(story), indent=0)
    yield Gap()
    yield from next_step(story)


def told(clash: Sequence[ClashMember], place: int, story: NoBlend) -> Iterator[Part]:
    """One clash: the lines of the file, the sentence, what each could reach."""
    whole = f" of {len(story.clashes)}" if story.complete else ""
    yield Heading(f"Clash {place}{whole}")
    yield from lines_shown(clash, story.goal_file)
    yield Line(sentence(clash), style="bold")
    if place - 1 in story.loose:
        yield Line("Some of these may have no part in it: the search ended before each was tried for going.", hang=2)
    reaches = [member.reach for member in clash if member.reach]
    if reaches:
        held = "With the other lines of this clash held" if len(clash) > 1 else "On this shelf"
        yield Line(words.sentence(f"{held}: {'; '.join(reaches)}"), hang=2)
    yield Gap()


def told_briefly(story: NoBlend) -> Iterator[Part]:
    """Further clashes, a sentence each."""
    rest = story.clashes[TOLD_WHOLE:MOST_CLASHES]
    if not rest:
        return
    yield Heading("Also")
    for place, clash in enumerate(rest, start=TOLD_WHOLE + 1):
        yield Line(f"{place}. {sentence(clash)}", hang=3)
    yield Gap()


def designs(story: NoBlend) -> Iterator[Part]:
    """The limits of designs that take part, each once, with its reason and how to replace it."""
    limits = {
        member.id: member
        for clash in story.clashes[:MOST_CLASHES]
        for member in clash
        if member.origin == Origin.DESIGN
    }
    if not limits:
        return
    yield Heading("Designs in these clashes", "your own goal or share on the same key replaces it")
    for member in limits.values():
        yield Line(f"{words.in_sentence(member.said)}: {words.sentence(member.why)}", hang=2)
    yield Gap()


def house_rules(story: NoBlend) -> Iterator[Part]:
    """The rules of the house that take part, each once, with its reason and how to overrule it."""
    rules = {
        member.id: member
        for clash in story.clashes[:MOST_CLASHES]
        for member in clash
        if member.origin == Origin.PRACTICE and member.line is None
    }
    ends = [member.said for member in rules.values() if member.said.whose == Whose.SHELF]
    rules = {name: member for name, member in rules.items() if member.said.whose != Whose.SHELF}
    if ends:
        told = words.joined([words.without_house(said) for said in ends])
        yield Line(f"Every bar keeps what the shelf sets under at_most: {told}.", hang=2)
        yield Gap()
    if not rules:
        return
    yield Heading("House practice in these clashes", "to overrule a rule, name it under practice:")
    for member in rules.values():
        rule, name = words.without_house(member.said), member.id.key
        yield Line(f"{rule}: {words.sentence(member.why)} (practice: {in_quotes(name)})", hang=2)
    yield Gap()


def lines_shown(clash: Sequence[ClashMember], goal_file: str) -> Iterator[Part]:
    """The lines as written, each once, under the name of their file when it is not the goal file."""
    spans = [member.span for member in clash if member.span is not None and member.span.line > 0]
    shown = {(span.file, span.line): written(span) for span in reversed(spans)}
    unique = sorted((file != goal_file, file, line, text) for (file, line), text in shown.items())
    gutter = max((len(str(line)) for *_, line, _ in unique), default=1)
    for file, found in groupby(unique, key=lambda item: item[1]):
        if file != goal_file:
            yield Line(f"{words.path(file)}:")
        for _, _, number, text in found:
            yield Line(f"{number:>{gutter}} | ".replace(" ", words.GLUE) + text, indent=4, hang=gutter + 3, quoted=True)


def written(span: Span) -> str:
    """The line as it stands in the file; of a very long one what surrounds the wish."""
    text = span.text.strip()
    return text if len(text) <= LONG_LINE else excerpt(span.text, span.column - 1, span.end_column - 1, LONG_LINE)[0]


def sentence(clash: Sequence[ClashMember]) -> str:
    """Say "A and B cannot both hold." in the maker's words; one alone is out of this shelf's reach."""
    says = [words.in_sentence(member.said) for member in clash]
    if len(says) == 1:
        return words.sentence(f"{says[0]} is out of reach of this shelf, whatever else is given up")
    return words.sentence(f"{words.joined(says)} cannot {'both' if len(says) == 2 else 'all'} hold")


def more(story: NoBlend) -> Iterator[Part]:
    """Clashes not told, and whether there may be more that were not found."""
    left = len(story.clashes) - MOST_CLASHES
    if left > 0:
        found = words.counted(left, "clash", "clashes")
        yield Line(f"{found} more; --json lists every one.", indent=0)
    if not story.complete:
        found = words.counted(len(story.clashes), "clash", "clashes")
        yield Line(f"There may be more clashes: the search stopped after {found}.", indent=0)
    if not story.reaches_complete:
        yield Line("How far each line could go was not worked out for every clash: the search stopped.", indent=0)
    if left > 0 or not (story.complete and story.reaches_complete):
        yield Gap()


def ways_out(concessions: Sequence[Concession], currency: str, *, is_complete: bool = True) -> Iterator[Part]:
    """The smallest changes that open a blend, with what it costs and the line to write."""
    if not concessions:
        if not is_complete:
            yield Line("Ways out were looked for, but the search stopped before one was found.", indent=0)
            yield Gap()
        return
    yield Heading("Ways out, smallest first")
    for place, way in enumerate(concessions[:MOST_WAYS]):
        yield from way_out(way, chr(ord("a") + place), currency)
    if len(concessions) > MOST_WAYS:
        yield Line(f"{len(concessions) - MOST_WAYS} more; --json lists every one.")
    if not is_complete:
        yield Line("There may be more, and smaller ones: the search stopped after these.")
    yield Gap()


def way_out(way: Concession, letter: str, currency: str) -> Iterator[Part]:
    """One way out: its changes, what the blend it opens costs, and what to write for each."""
    known = math.isfinite(way.cost_per_kg)
    price = f"a blend at {words.money(way.cost_per_kg)} {words.per(currency, 'kg')}" if known else "a blend"
    changes = words.joined([change_words(change) for change in way.changes])
    lean = ", likely lye-heavy: ordinary lots may leave free alkali in it" if way.is_lean else ""
    yield Line(f"{letter}. {changes}: opens {price}{lean}", hang=3)
    for told_where, line in dict.fromkeys((place_of(change), change.paste) for change in way.changes if change.paste):
        where = f"under {told_where}:" if told_where not in ("", "fats") else "write"
        yield Line(f"{where}  {line}", indent=5, hang=7, quoted=True)


def place_of(change: Change) -> str:
    """Where a line is to be pasted; a stock stands in the entry of its fat."""
    return f"{change.where}, in the entry of {change.id.key}" if change.id.origin == Origin.STOCK else change.where


def change_words(change: Change) -> str:
    """What moves, from where to where and how far; the far end never told tighter than it is."""
    if not (math.isfinite(change.before) and math.isfinite(change.after)):
        return f"give up {change.said}"
    decimals = words.decimals_of(change.unit)
    while (after := moved_to(change, decimals)) == round(change.before, decimals) and decimals < FINEST:
        decimals += 1
    distance = words.amount(round(abs(after - change.before), decimals), change.unit)
    way = "lower" if after < change.before else "higher"
    left = Side.AT_LEAST if after < change.before else Side.AT_MOST  # what it was is no longer met
    end = words.against(after, change.before, left, change.unit, met=False)
    return f"{change.said}, moved to {end} ({distance} {way})"


def moved_to(change: Change, decimals: int) -> float:
    """Where a wish moves, in so many decimals."""
    return eased(change.after, change.id.side, decimals) if change.id.names_its_side else round(change.after, decimals)


def eased(value: float, side: Side, decimals: int) -> float:
    """In so many decimals, on the easy side."""
    power = 10.0**decimals
    if side == Side.AT_LEAST:
        return math.floor(value * power + 1e-6) / power
    return math.ceil(value * power - 1e-6) / power if side == Side.AT_MOST else value


def proof_sentence(story: NoBlend) -> str:
    """On whose word there is no blend."""
    if story.exact:
        return "Checked exactly: no combination of the fats on this shelf can meet them all."
    return (
        "Found by the solver's search and not proved in exact arithmetic: fats are counted here, "
        "or the clash is as narrow as the solver's own tolerance."
    )


NO_WAY_KNOWN = "Next: ease or take out one of the lines of a clash above, then"


def next_step(story: NoBlend) -> Iterator[Part]:
    """What to try now, the command on a line of its own."""
    if not story.goal_file:  # asked for without a file, so no command can ask again
        return
    command = "blend" if story.concessions else "feasible"
    yield Line("Next: change one of these lines, then" if story.concessions else NO_WAY_KNOWN, indent=0)
    yield Line(f"barwright {command} {words.quoted(story.goal_file)}", style="bold", whole=True)

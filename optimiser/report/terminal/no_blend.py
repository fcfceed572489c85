"""The answer when there is no blend: what would make peace, then which goals clash, in the maker's words."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from optimiser.measures.sides import Side
from optimiser.problem.wishes import Origin, Whose
from optimiser.report import words
from optimiser.report.terminal.page import Gap, Heading, Line, Part
from optimiser.report.terminal.ways_out import ways_out
from optimiser.text.names import shown as in_quotes
from optimiser.text.signs import excerpt

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from optimiser.answers.results import ClashMember, NoBlend
    from optimiser.problem.wishes import WishId
    from optimiser.text.spans import Span

TOLD_WHOLE = 3  # groups of clashes told with their lines and figures
MOST_GROUPS = 6  # groups told at all
ONE_WHOLE, FEW_GROUPS = 1, 3  # the same where designs clash with each other alone
STANDS = "the superfat and the lye that the house works with until you name your own"
MOST_NAMED = 4  # rules that set the clashes of one group apart, named
LONG_LINE = 200  # letters of a line of the file that is shown whole


class Group(NamedTuple):
    """Clashes of the same wishes of the maker's, which differ only in rules of the house or limits of designs.

    `first` is the one that is told, at `place` among all clashes (from 1); `others` differ from it.
    """

    first: tuple[ClashMember, ...]
    place: int
    others: tuple[tuple[ClashMember, ...], ...] = ()


def parts(story: NoBlend, *, full: bool = False) -> Iterator[Part]:
    """The whole answer: ways out, clashes, the rules in them, on whose word. In full each clash by itself, and every way."""
    groups = each_alone(story) if full else grouped(story)
    whole, most = (
        (ONE_WHOLE, FEW_GROUPS) if len(groups) > TOLD_WHOLE and are_designs_alone(story) else (TOLD_WHOLE, MOST_GROUPS)
    )
    shown = [group.first for group in (groups if full else groups[:most])]
    yield Line("No blend meets these goals together.", style="bold red", indent=0)
    yield Gap()
    yield Heading(story.title or "Untitled bar", words.path(story.goal_file))
    if story.shelf_title:
        yield Line(f"over {story.shelf_title}")
    yield Gap()
    yield from ways_out(story.concessions, story.currency, is_complete=story.concessions_complete, full=full)
    for number, group in enumerate(groups if full else groups[:whole], start=1):
        yield from told(group, number, len(groups), story)
    if not full:
        yield from told_briefly(groups[:most], whole)
    yield from more(story, 0 if full else len(groups) - most)
    yield from on_hard_oils(member.id.key for clash in shown for member in clash)
    yield from designs(shown)
    yield from house_rules(shown)
    yield Line(proof_sentence(story), indent=0, hang=2)
    yield Gap()
    yield from next_step(story)
    if not full and (any(group.others for group in groups) or len(groups) > whole):
        yield Line("--full tells every clash by itself.", indent=0)


def grouped(story: NoBlend) -> list[Group]:
    """The clashes, those together that differ only in rules of the house and limits of designs; the shortest speaks."""
    found: dict[frozenset[WishId], list[tuple[int, tuple[ClashMember, ...]]]] = {}
    for place, clash in enumerate(story.clashes, start=1):
        found.setdefault(heart(clash), []).append((place, clash))
    out = []
    for pairs in found.values():
        place, first = min(pairs, key=lambda pair: (len(pair[1]), pair[0]))
        out.append(Group(first, place, tuple(clash for at, clash in pairs if at != place)))
    return out


def heart(clash: Sequence[ClashMember]) -> frozenset[WishId]:
    """What a clash is about: the maker's own wishes; without any the limits of designs, and without these all of it."""
    mine = [member.id for member in clash if not is_rule(member)]
    brought = [member.id for member in clash if member.origin == Origin.DESIGN]
    return frozenset(mine or brought or [member.id for member in clash])


def each_alone(story: NoBlend) -> list[Group]:
    """Every clash in a group of its own."""
    return [Group(clash, place) for place, clash in enumerate(story.clashes, start=1)]


def is_rule(member: ClashMember) -> bool:
    """Whether a wish is no choice of the maker's own: a rule of the house, or a limit that a design brings."""
    house = member.origin == Origin.PRACTICE and member.line is None and member.said.whose != Whose.SHELF
    return house or member.origin == Origin.DESIGN


def told(group: Group, number: int, all_groups: int, story: NoBlend) -> Iterator[Part]:
    """One clash: the lines of the file, the sentence, what each could reach, and how many are like it."""
    clash = group.first
    whole = f" of {all_groups}" if story.complete else ""
    yield Heading(f"Clash {number}{whole}")
    yield from lines_shown(clash, story.goal_file)
    yield Line(sentence(clash), style="bold")
    if group.place - 1 in story.loose:
        yield Line("Some of these may have no part in it: the search ended before each was tried for going.", hang=2)
    yield from reaches(clash)
    if group.others:
        yield Line(like_it(group), hang=2)
    yield Gap()


def reaches(clash: Sequence[ClashMember]) -> Iterator[Part]:
    """How far each line of a clash would have to give way by itself; of one alone how far the shelf goes."""
    known = [member for member in clash if member.reach]
    if len(clash) == 1:
        yield from (Line(words.sentence(f"On this shelf: {member.reach}"), hang=2) for member in known)
        return
    if known:
        yield Line("One of these must give way, as far as this at least (a way out may ask more):")
    for member in known:
        yield Line(f"{words.in_sentence(member.said)}, {member.gives or member.reach}", indent=4, hang=2)


def like_it(group: Group) -> str:
    """How many clashes differ from this one in rules alone, and which rules these are."""
    own = {member.id for member in group.first}
    rules = {
        member.id: member for clash in group.others for member in clash if is_rule(member) and member.id not in own
    }
    kinds = {member.origin for member in (*rules.values(), *filter(is_rule, group.first))}
    what = "limits of the design" if kinds == {Origin.DESIGN} else "rules of the house" if len(kinds) == 1 else "rules"
    names = [words.one_side(member.said) for member in rules.values()]
    further = len(names) - MOST_NAMED
    named = words.joined([*names[:MOST_NAMED], *([f"{further} more"] if further > 0 else [])])
    differ = "differs" if len(group.others) == 1 else "differ"
    return f"And {len(group.others)} more that {differ} only in {what}{f': {named}' if named else ''}."


def are_designs_alone(story: NoBlend) -> bool:
    """Whether every clash is one of designs with each other, so that there is one thing to choose: which of them."""
    return all(member.origin == Origin.DESIGN for clash in story.clashes for member in clash)


def told_briefly(groups: Sequence[Group], whole: int = TOLD_WHOLE) -> Iterator[Part]:
    """Further clashes, a sentence each, beyond those told `whole`."""
    rest = groups[whole:]
    if not rest:
        return
    yield Heading("Also")
    for number, group in enumerate(rest, start=whole + 1):
        like = f" ({len(group.others)} more like it)" if group.others else ""
        yield Line(f"{number}. {sentence(group.first)[:-1]}{like}.", hang=3)
    yield Gap()


def on_hard_oils(figures: Iterable[str]) -> Iterator[Part]:
    """What `hard oils` leaves out, where a wish uses it."""
    if words.HARD_OILS in figures:
        yield Line(words.ON_HARD_OILS, hang=2)
        yield Gap()


def designs(clashes: Sequence[Sequence[ClashMember]]) -> Iterator[Part]:
    """The limits of designs that take part, each once, with its reason and how to replace it."""
    limits = {member.id: member for clash in clashes for member in clash if member.origin == Origin.DESIGN}
    if not limits:
        return
    yield Heading("Designs, and whom the bar is for", "your own goal or share on the same key replaces it")
    for member in limits.values():
        yield Line(f"{words.in_sentence(member.said)}: {words.sentence(member.why)}", hang=2)
    yield Gap()


def house_rules(clashes: Sequence[Sequence[ClashMember]]) -> Iterator[Part]:
    """The rules of the house that take part, each once, with its reason and how to overrule it."""
    rules = {
        member.id: member
        for clash in clashes
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


def more(story: NoBlend, left: int = 0) -> Iterator[Part]:
    """How many clashes are left untold, and whether there may be more that were not found."""
    if left > 0:
        yield Line(f"{left} more.", indent=0)
    if not story.complete:
        found = words.counted(len(story.clashes), "clash", "clashes")
        yield Line(f"There may be more clashes: the search stopped after {found}.", indent=0)
    if not story.reaches_complete:
        yield Line("How far each line could go was not worked out for every clash: the search stopped.", indent=0)
    if left > 0 or not (story.complete and story.reaches_complete):
        yield Gap()


def proof_sentence(story: NoBlend) -> str:
    """On whose word there is no blend."""
    ruled = [any(is_rule(member) for member in clash) for clash in story.clashes]
    if story.exact and all(ruled) and story.complete:
        return (
            f"Checked exactly. What stands in the way: {whose_rules(story)}. Without them the fats on this shelf meet these "
            "goals."
        )
    if story.exact:
        some = f" In {sum(ruled)} of these clashes {whose_rules(story)} take part." if any(ruled) else ""
        return f"Checked exactly: no combination of the fats on this shelf can meet them all.{some}"
    return (
        "Found by the solver's search and not proved in exact arithmetic: fats are counted here, "
        "or the clash is as narrow as the solver's own tolerance."
    )


def whose_rules(story: NoBlend) -> str:
    """Whose rules take part in the clashes, beside the maker's own lines."""
    rules = [member for clash in story.clashes for member in clash if is_rule(member)]
    return words.joined(sorted({whose(member) for member in rules}, reverse=True))


def whose(member: ClashMember) -> str:
    """Whose rule it is: "rules of the house", "limits of the design fine swirl", "limits for mature skin"."""
    if member.origin != Origin.DESIGN:
        return STANDS if member.id.side == Side.EXACTLY else "rules of the house"
    brought_by = f"{member.said.whose} {member.said.owner}".strip()
    return f"limits {brought_by}" if brought_by.startswith("for ") else f"limits of the {brought_by}"


NO_WAY_KNOWN = "Next: ease or take out one of the lines of a clash above, then"


def next_step(story: NoBlend) -> Iterator[Part]:
    """What to try now, the command on a line of its own."""
    if not story.goal_file:  # asked for without a file, so no command can ask again
        return
    command = "blend" if story.concessions else "feasible"
    yield Line("Next: change one of these lines, then" if story.concessions else NO_WAY_KNOWN, indent=0)
    yield Line(f"barwright {command} {words.quoted(story.goal_file)}", style="bold", whole=True)

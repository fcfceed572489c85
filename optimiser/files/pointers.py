"""Where a maker's own word belongs: the help of a fault on a word that is no name of ours."""

from __future__ import annotations

from optimiser.materials.liquids import find_liquid
from optimiser.measures.quantities import find_quantity
from optimiser.measures.shares import tag_called
from optimiser.measures.vocabulary import NOTHING, SAME, Meaning, every_word, meanings
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.names import fold, nearest
from optimiser.text.nodes import Node, Table, Text

OF_GOALS = (
    *("title", "shelf", "batch", "design", "for", "goals", "shares", "free_from", "fats", "prefer", "practice"),
    *("additives", "liquids", "may_use", "near", "water_hardness", "buy", "aim", "use_up", "made"),
)
"""What heads a part of a goal file."""
SECTIONS = (*OF_GOALS, "alkali", "alkalis", "water", "recipe")
"""What heads a part of a goal file or a recipe."""
LISTS = ("free_from", "may_use")
NAMED = ("design", "for")
AS_IN = "40 %"
FREE = " free"
"""What makers write behind a thing that must stay out: "nut free"."""


def place_of(word: str, section: str) -> str:
    """What a maker's word is here and what to write for it, as a sentence of help; "" where it is no word of makers.

    Args:
        word: what was written.
        section: the key of the goal file under which it stands; "" for a key of the file itself.
    """
    found = meanings(word) or _without(word)
    if not found:
        return ""
    told = [f"{meaning.here}: {_write(meaning, section)}" for meaning in found if meaning.pointer != NOTHING]
    remarks = [meaning.remark.rstrip(".") for meaning in found if meaning.remark]
    if any(_on_our_scale(meaning) for meaning in found):
        remarks.append("'barwright measures' says what the figures mean")
    if len(told) > 1:
        help_ = f"which is meant? {'; or '.join(told)}"
    else:
        help_ = f"here that is {told[0] if told else found[0].here}"
    return ". ".join((help_, *remarks))


def near_place(word: str, section: str) -> str:
    """The same for a maker's word with a slip in it, told after the word that may be meant."""
    for near in nearest(word, every_word(), 1):
        return f"did you mean '{near}'? {place_of(near, section)}"
    return ""


def line(meaning: Meaning) -> str:
    """An entry with its section, as a goal file has it in one line."""
    if not meaning.section:
        return meaning.entry
    if meaning.section in NAMED:
        return f"{meaning.section}: {meaning.entry}"
    return f"{meaning.section}: {f'[{meaning.entry}]' if meaning.section in LISTS else f'{{{entry(meaning)}}}'}"


def entry(meaning: Meaning) -> str:
    """What to write in the section: of a word that is taken for a kind of fat, with a share that makes it an entry."""
    return f"{meaning.entry}: {AS_IN}" if (meaning.pointer, meaning.section) == (SAME, "shares") else meaning.entry


def thickness(key: Text, node: Node) -> Diagnostic | None:
    """The fault of a thickness of the batter where a speed is asked for: "trace: medium"; None where it is none."""
    if fold(key) != "trace":
        return None
    values = node.values() if isinstance(node, Table) else (node,)
    for value in values:
        word = f"{fold(value)} trace" if isinstance(value, Text) else ""
        if len(meanings(word)) > 1:
            return Diagnostic(
                Code.UNKNOWN_KEY, f"'trace: {value}' may mean two things", place_of(word, "goals"), key.span
            )
    return None


def is_section(word: str) -> bool:
    """Whether a word heads a part of a goal file."""
    return fold(word) in map(fold, OF_GOALS)


def _write(meaning: Meaning, section: str) -> str:
    beside = section == "prefer" and meaning.section in ("goals", "shares")
    if meaning.section == section or beside:
        return f"write {entry(meaning)}"
    if not section:
        return f"write {line(meaning)}"
    if meaning.section in ("", *LISTS, *NAMED):
        return f"write, in a line of its own, {line(meaning)}"
    return f"write under {meaning.section}: {entry(meaning)}"


def _without(word: str) -> tuple[Meaning, ...]:
    """What "nut free" means: a bar without anything that has the tag nut."""
    stem = fold(word).removesuffix(FREE)
    tag = tag_called(stem) if stem != fold(word) else None
    if tag is None:
        return ()
    return (Meaning((word,), "here", f"a bar without anything that has the tag {tag}", "free_from", tag, ""),)


def liquid_tags(word: str) -> str:
    """The tags of a liquid that must stay out, as a sentence of help: "cows milk" is the tag milk; "" where it has none."""
    liquid = find_liquid(word)
    if liquid is None or not liquid.tags:
        return ""
    tag = next((tag for tag in sorted(liquid.tags) if tag in fold(liquid.name).split()), min(liquid.tags))
    return f"here that is the tag {tag}, for everything of the kind: write {tag}"


def _on_our_scale(meaning: Meaning) -> bool:
    if meaning.section != "goals":
        return False
    quantity = find_quantity(meaning.entry.partition(":")[0])
    return quantity is not None and quantity.unit == "index"

"""What a key of a goal file stands for: a quantity, a fat, a kind, a group, a tag, an additive, a rule of the house."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping
from functools import cache
from typing import Any, NamedTuple

from optimiser.files.limit_values import NO_SCALES, OwnScales, Subject
from optimiser.files.lot_names import no_such_lot
from optimiser.files.pointers import is_section, liquid_tags, near_place, place_of, thickness
from optimiser.materials.additives import Additive, additives
from optimiser.materials.additives import find as find_additive
from optimiser.materials.fat import GROUPS, PLURALS
from optimiser.materials.fat_table import fold as fold_fat
from optimiser.materials.fat_table import reference
from optimiser.materials.liquids import find_liquid, liquids
from optimiser.materials.loose_names import LooseName, find_loose
from optimiser.measures.practice import Rule, rules, usual_most
from optimiser.measures.quantities import find_quantity, quantities
from optimiser.measures.shares import kinds_by_word, share_named, share_words, tag_called, tags_by_word
from optimiser.measures.sides import Side, SubjectKind
from optimiser.measures.vocabulary import same_as
from optimiser.reference import rows
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults, unknown_key
from optimiser.text.names import fold, listed, nearest, offer, shown
from optimiser.text.nodes import Node, Text

ALKALIS: Mapping[str, tuple[str, ...]] = {
    "sodium hydroxide": ("NaOH", "caustic soda", "soda lye"),
    "potassium hydroxide": ("KOH", "caustic potash", "potash lye"),
}

RENAMED: Mapping[str, str] = {
    "lather_start": "quick_lather",
    "lather_stay": "lasting_lather",
    "lauric_and_myristic": "short_saturated",
    "palmitic_and_stearic": "long_saturated",
    "short_chain": "butyric_and_caproic",
    "trace": "trace_speed",
}
"""Keys under `goals` that had another name once."""

LEVER_KINDS = ("wax", "fatty acid")
"""Kinds of fat that are levers in small amounts rather than the body of a bar."""


def _nothing() -> Mapping[str, str]:
    return {}


def _no_extras() -> Mapping[str, Additive]:
    return {}


def _not_told() -> float | None:
    return None


class Known(NamedTuple):
    """Names that the reference table does not have: the maker's own fats, looked up only when one is asked for.

    `own_fats` gives names as the shelf writes them, by folded name. `own_designs` gives the designs of the maker's own
    folder to the room that knows designs. `fats_kg` is what the batch's fats weigh, None where that is not told.
    `scales` are those of the maker's own bench. `own_extras` are additives and liquids of the maker's own by folded name.
    `from_recipe`: the file has a recipe in hand, from which limits may be told.
    """

    own_fats: Callable[[], Mapping[str, str]] = _nothing
    own_designs: Callable[[], tuple[Any, ...]] = tuple
    fats_kg: Callable[[], float | None] = _not_told
    scales: OwnScales = NO_SCALES
    own_extras: Callable[[], Mapping[str, Additive]] = _no_extras
    from_recipe: bool = False

    def additive(self, name: str) -> Additive | None:
        """The additive of this name: of the table, or else of the maker's own."""
        return find_additive(name) or self._own(name, is_liquid=False)

    def liquid(self, name: str) -> Additive | None:
        """The liquid of this name: of the table, or else of the maker's own."""
        return find_liquid(name) or self._own(name, is_liquid=True)

    def _own(self, name: str, *, is_liquid: bool) -> Additive | None:
        own = self.own_extras().get(fold_fat(name))
        return own if own is not None and own.is_liquid == is_liquid else None

    def extra_names(self, *, are_liquids: bool) -> tuple[str, ...]:
        """Every name of an additive, or of a liquid, the maker's own among them."""
        table = liquids() if are_liquids else additives()
        own = (item.name for item in self.own_extras().values() if item.is_liquid == are_liquids)
        return (*(called for item in table.values() for called in (item.name, *item.synonyms)), *own)


def quantity_subject(key: Text, node: Node, known: Known) -> Subject:
    """What a key under `goals` stands for.

    Raises:
        Faults: unknown; the help names the nearest, or the section where it belongs.
    """
    quantity = find_quantity(key)
    if quantity is not None:
        return Subject(
            *(quantity.id, SubjectKind.QUANTITY, quantity.words, quantity.unit, quantity.bands),
            lowest=quantity.lowest,
            highest=quantity.highest,
            scales=known.scales,
            only_at_least=quantity.only_at_least,
        )
    _refuse_old(key, node)
    help_ = place_of(key, "goals") or _elsewhere(key, known)
    if not help_ and _plain_share(key, Known()) is not None:
        help_ = "shares of fats, kinds and tags stand under 'shares'"
    if help_:
        raise Faults(Diagnostic(Code.UNKNOWN_KEY, f"{shown(key)} is no goal of its own", help_, key.span))
    raise Faults(_with_help(unknown_key(key, node, "goals", _quantity_names()), key, "goals"))


def _refuse_old(key: Text, node: Node) -> None:
    """Refuses what had another name once, and a thickness where a speed is asked for."""
    thick = thickness(key, node)
    if thick is not None:
        raise Faults(thick)
    renamed = RENAMED.get(fold(key).replace(" ", "_"))
    if renamed is not None:
        message = f"{shown(key)} is now called {renamed}"
        raise Faults(Diagnostic(Code.UNKNOWN_KEY, message, f"write {renamed}: instead", key.span))


def _elsewhere(key: Text, known: Known) -> str:
    """Where a name stands that is no goal and no share but something else of a goal file; "" where it is not."""
    if known.additive(key) is not None:
        return "it stands under 'additives'"
    if known.liquid(key) is not None:
        return "it stands under 'liquids'"
    if find_alkali(key) is not None:
        return "the shelf says which alkalis there are; a goal can be set on potassium_share"
    return "it is a key of the file itself, at the left margin" if is_section(key) else ""


def _with_help(fault: Diagnostic, key: Text, section: str) -> Diagnostic:
    if fault.help:
        return fault
    return fault._replace(help=near_place(key, section) or "'barwright measures' lists what a goal can be set on")


def share_subject(key: Text, node: Node, known: Known) -> Subject:
    """What a key under `shares` stands for.

    Raises:
        Faults: unknown; the help names the nearest, or the section where it belongs.
    """
    found = _plain_share(key, known)
    if found is not None:
        return found._replace(whole_kg=known.fats_kg)
    if find_quantity(key) is not None:
        raise Faults(
            Diagnostic(Code.UNKNOWN_FAT, f"{shown(key)} is no fat, kind or tag", "it stands under 'goals'", key.span)
        )
    if find_loose(key) is not None or no_such_lot(key, ()) is not None:
        raise Faults(unknown_fat(key, "", tuple(known.own_fats().values())))
    message = f"{shown(key)} is no fat, kind or tag that is known here"
    help_ = place_of(key, "shares") or _elsewhere(key, known)
    help_ = help_ or unknown_key(key, node, "shares", share_names(known)).help
    help_ = help_ or "a fat of your own must stand on the shelf; 'barwright fats' lists the known ones"
    raise Faults(Diagnostic(Code.UNKNOWN_FAT, message, help_, key.span))


def wish_subject(key: Text, node: Node, known: Known) -> Subject:
    """What a key under `prefer` stands for: a share, as under `shares`, or a quantity.

    "stearic acid" is the fat here as it is there; the acid in every fat answers to its number, C18:0.

    Raises:
        Faults: unknown.
    """
    found = _plain_share(key, known)
    if found is not None:
        return found._replace(whole_kg=known.fats_kg)
    if find_quantity(key) is not None:
        return quantity_subject(key, node, known)
    if find_loose(key) is not None:
        raise Faults(unknown_fat(key, ""))
    _refuse_old(key, node)
    help_ = place_of(key, "prefer") or _elsewhere(key, known)
    if help_:
        raise Faults(Diagnostic(Code.UNKNOWN_KEY, f"{shown(key)} is nothing to prefer by that name", help_, key.span))
    raise Faults(_with_help(unknown_key(key, node, "prefer", (*_quantity_names(), *share_names(known))), key, "prefer"))


def find_alkali(name: str) -> str | None:
    """The alkali of this name or formula."""
    folded = fold(name)
    return next((alkali for alkali, more in ALKALIS.items() if folded in map(fold, (alkali, *more))), None)


def lever_named(name: Text, known: Known) -> tuple[str, SubjectKind]:
    """What a name under `may_use` stands for: its canonical name, and "additive" or "fat".

    Raises:
        Faults: unknown, or a fat that is in play without being named.
    """
    additive = known.additive(name)
    if additive is not None:
        return additive.name, SubjectKind.ADDITIVE
    fat = reference().find(name)
    if fat is not None and fat.kind in LEVER_KINDS:
        return fat.name, SubjectKind.FAT
    if fat is not None or find_fat_name(name, known) is not None:
        help_ = "take it out: every fat of the shelf may be used without being named here"
        raise Faults(Diagnostic(Code.NOT_A_LEVER, f"{shown(name)} is a fat like any other", help_, name.span))
    if known.liquid(name) is not None:
        message = f"{shown(name)} stands for water, and is used as much as is asked for"
        raise Faults(Diagnostic(Code.UNKNOWN_LEVER, message, "it stands under 'liquids'", name.span))
    names = (*known.extra_names(are_liquids=False), *lever_fats())
    help_ = place_of(name, "may_use") or offer(
        name, names, "'barwright additives' lists what there is; waxes and fatty acids may stand here too"
    )
    raise Faults(
        Diagnostic(Code.UNKNOWN_LEVER, f"{shown(name)} is nothing that the pot may hold here", help_, name.span)
    )


@cache
def lever_fats() -> tuple[str, ...]:
    """The waxes and fatty acids of the reference table, by name."""
    return tuple(row["fat"] for row in rows("fats") if row["kind"] in LEVER_KINDS)


def unknown_fat(name: Text, otherwise: str, also: tuple[str, ...] = ()) -> Diagnostic:
    """The fault of a fat that is not known, with the nearest names and the way out; or of a name that says too little."""
    loose = find_loose(name)
    if loose is not None:
        line = f"- {{fat: {loose.name}, price: ..., lot: {{saponification_value: ..., tolerance: ...}}}}"
        return needs_certificate(name, loose, f"put it on the shelf with it: {line}")
    if (gone := no_such_lot(name, also)) is not None:
        return gone
    found = offer(name, (*reference().every_name(), *also))
    help_ = f"{found} {otherwise}" if found else otherwise[:1].lower() + otherwise[1:]
    return Diagnostic(Code.UNKNOWN_FAT, f"{shown(name)} is no fat that is known here", help_, name.span)


def needs_certificate(name: Text, loose: LooseName, help_: str) -> Diagnostic:
    """The fault of a name under which different things are sold."""
    why = f"{loose.why[0].lower()}{loose.why[1:]}".rstrip(".")
    message = f"{shown(name)} says too little without a certificate: {why}"
    sold_as = f"; or write {loose.like}, if its seller says that it is all that" if loose.like else ""
    return Diagnostic(Code.NEEDS_CERTIFICATE, message, f"{help_}{sold_as}", name.span)


def find_fat_name(name: str, known: Known) -> str | None:
    """The canonical name of a fat of the reference table or of the maker's own."""
    fat = reference().find(name)
    return fat.name if fat is not None else known.own_fats().get(fold_fat(name))


def rule_named(key: Text, known: Known) -> Rule:
    """The rule of the house of this name.

    Raises:
        Faults: there is none.
    """
    folded = fold(key)
    for rule in rules():
        if fold(rule.name) == folded:
            return rule
    additive = known.additive(key)
    if additive is not None:
        return next((rule for rule in rules() if rule.key == additive.name), None) or usual_most(additive)
    names = [rule.name for rule in rules()]
    within = [name for name in names if fold(name).startswith(folded + " ")]
    within += [rule.name for rule in rules() if any(folded == fold(f"{rule.words} {side.words}") for side in Side)]
    otherwise = place_of(key, "practice") or offer(key, names, "'barwright measures' lists the rules of the house")
    help_ = f"did you mean {listed(within)}?" if within else otherwise
    raise Faults(Diagnostic(Code.UNKNOWN_RULE, f"{shown(key)} is no rule of the house", help_, key.span))


def rule_subject(rule: Rule) -> Subject:
    """What a rule of the house is about."""
    words = rule.words
    quantity = quantities().get(rule.key) if rule.subject == SubjectKind.QUANTITY else None
    if quantity is not None:
        return Subject(
            *(rule.key, rule.subject, words, rule.unit, quantity.bands),
            lowest=quantity.lowest,
            highest=quantity.highest,
            only_at_least=quantity.only_at_least,
        )
    return Subject(rule.key, rule.subject, words, rule.unit)


def tag_named(name: Text, absent: Container[str] = ()) -> str:
    """The tag as the reference table writes it; a word that means exactly one, such as "dairy", is taken for it.

    Args:
        name: as it stands in the file.
        absent: words that are not offered.

    Raises:
        Faults: unknown; the help names the nearest, and the way to leave out one fat.
    """
    tag = tag_called(name)
    if tag is not None:
        return tag
    help_, fat = place_of(name, "free_from") or liquid_tags(name), reference().find(name)
    if help_:
        raise Faults(Diagnostic(Code.UNKNOWN_TAG, f"{shown(name)} is no tag", help_, name.span))
    if fat is not None:
        help_ = f"to leave out one fat, write under shares: {fat.name}: 0 %"
        within = [tag for tag in sorted(fat.tags) if tag in fat.name.split()]
        help_ = f"everything of {within[0]} has the tag '{within[0]}'; {help_}" if within else help_
        raise Faults(Diagnostic(Code.UNKNOWN_TAG, f"{shown(name)} is a fat, not a tag", help_, name.span))
    same = [word for word in same_as("free_from") if word not in absent]
    near = nearest(name, (*tags_by_word().values(), *same))
    help_ = f"did you mean {listed(near)}?" if near else f"tags: {', '.join(sorted(tags_by_word().values()))}"
    raise Faults(Diagnostic(Code.UNKNOWN_TAG, f"{shown(name)} is no tag that is known here", help_, name.span))


def find_kind(name: str) -> str | None:
    """The kind or group of fats of this name, one or many: "hard oils" for "hard oil"."""
    found = kinds_by_word().get(fold(name))
    return found[0] if found is not None else None


def share_names(known: Known) -> tuple[str, ...]:
    """Every name that a share may have."""
    return (*reference().every_name(), *PLURALS.values(), *GROUPS, *tags_by_word().values(), *known.own_fats().values())


def tag_names() -> tuple[str, ...]:
    """Every tag of a fat or an additive, sorted."""
    return tuple(sorted(tags_by_word().values()))


def _plain_share(key: str, known: Known) -> Subject | None:
    """What a share may be asked of: as the reference knows it, or else a fat of the maker's own."""
    found = share_named(key)
    if found is None:
        own = known.own_fats().get(fold_fat(key))
        found = None if own is None else (own, SubjectKind.FAT)
    return None if found is None else Subject(found[0], found[1], share_words(*found), "%")


def _quantity_names() -> tuple[str, ...]:
    return tuple(
        dict.fromkeys(name for item in quantities().values() for name in (item.id.replace("_", " "), item.words))
    )

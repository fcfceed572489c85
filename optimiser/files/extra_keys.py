"""What a key under `additives` or `liquids` stands for."""

from __future__ import annotations

from optimiser.files.keys import Known
from optimiser.files.limit_values import Subject
from optimiser.files.pointers import place_of
from optimiser.materials.additives import find
from optimiser.measures.sides import SubjectKind
from optimiser.text.codes import Code
from optimiser.text.diagnostics import Diagnostic
from optimiser.text.forms import Faults
from optimiser.text.names import fold, listed, nearest, shown
from optimiser.text.nodes import Text
from optimiser.text.writing import scalar

MOST_OFFERED = 5
ALL_OF_THEM = "'barwright additives' lists them all"
OF_ONES_OWN = "one of your own stands on the shelf: - {{additive: {name}, like: {model}, price: ... / kg}}"
OWN_LIQUID = "'barwright additives' lists them; one of your own stands on the shelf with 'like', or with its 'water'"


def additive_subject(key: Text, known: Known, *, of_goals: bool = False) -> Subject:
    """What a key under `additives` stands for; a goal file (`of_goals`) has a place for what makers say otherwise.

    Raises:
        Faults: unknown, or a liquid.
    """
    found = known.additive(key)
    if found is None:
        fault = unknown_additive(key, known)
        help_ = place_of(key, "additives") if of_goals else ""
        raise Faults(fault._replace(help=help_ or fault.help))
    return Subject(found.name, SubjectKind.ADDITIVE, found.name, "%")


def liquid_subject(key: Text, known: Known, *, of_goals: bool = False) -> Subject:
    """What a key under `liquids` stands for; a goal file (`of_goals`) has a place for what makers say otherwise.

    Raises:
        Faults: unknown, or an additive.
    """
    found = known.liquid(key)
    if found is None:
        fault = unknown_liquid(key, known)
        help_ = place_of(key, "liquids") if of_goals and fold(key) != "water" else ""
        raise Faults(fault._replace(help=help_ or fault.help))
    return Subject(found.name, SubjectKind.LIQUID, found.name, "%")


def unknown_additive(name: Text, known: Known, otherwise: str = "", also: str = "") -> Diagnostic:
    """The fault of an additive that is not known, with the nearest names; `also` is told beside them."""
    if known.liquid(name) is not None:
        message = f"{shown(name)} stands for water: it is no additive"
        return Diagnostic(Code.UNKNOWN_ADDITIVE, message, "it stands under 'liquids'", name.span)
    model = model_of(name)
    own = OF_ONES_OWN.format(name=scalar(str(name).strip()), model=model or "...")
    if not otherwise and model:
        help_ = own
    else:
        help_ = _near(name, known, otherwise or f"{ALL_OF_THEM}; {own}", also, are_liquids=False)
    return Diagnostic(Code.UNKNOWN_ADDITIVE, f"{shown(name)} is no additive that is known here", help_, name.span)


def model_of(name: str) -> str:
    """The additive of the list whose name another one's ends with ("clove essential oil"); nothing where there is none."""
    words = fold(name).split()
    tails = (" ".join(words[place:]) for place in range(1, len(words)))
    return next((found.name for found in map(find, tails) if found is not None), "")


def unknown_liquid(name: Text, known: Known, otherwise: str = OWN_LIQUID, also: str = "") -> Diagnostic:
    """The fault of a liquid that is not known, with the nearest names; `also` is told beside them."""
    if fold(name) == "water":
        help_ = "take it out: what no liquid stands for is plain water"
        return Diagnostic(Code.UNKNOWN_LIQUID, "plain water stands for nothing else", help_, name.span)
    if known.additive(name) is not None:
        message = f"{shown(name)} does not stand for water: it is an additive"
        return Diagnostic(Code.UNKNOWN_LIQUID, message, "it stands under 'additives'", name.span)
    help_ = _near(name, known, otherwise, also, are_liquids=True)
    return Diagnostic(Code.UNKNOWN_LIQUID, f"{shown(name)} is no liquid that is known here", help_, name.span)


def _near(name: Text, known: Known, otherwise: str, also: str, *, are_liquids: bool) -> str:
    """The nearest names, if there are any, and the way out."""
    found = nearest(name, known.extra_names(are_liquids=are_liquids), MOST_OFFERED)
    if not found:
        return f"{also[:1].lower()}{also[1:]}" or otherwise
    return f"did you mean {listed(found)}? {also or ALL_OF_THEM}"

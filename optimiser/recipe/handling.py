"""What stands beside every alkali figure: hazards, handling and first aid in full for the bench, and the same in two lines.

Hazard statements H290, H302 and H314 and precautionary statements P301+P330+P331, P303+P361+P353, P305+P351+P338 and P310:
Regulation (EC) No 1272/2008 (CLP), annexes III, IV and VI, after the Globally Harmonized System. The minutes of rinsing,
vinegar and the vessel are common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.materials.lye import POTASSIUM, SODIUM

if TYPE_CHECKING:
    from collections.abc import Sequence

BOTH = (SODIUM, POTASSIUM)
HAZARDS = {
    (SODIUM,): "Sodium hydroxide burns skin and blinds (H314), and eats aluminium, zinc and tin (H290)",
    (POTASSIUM,): (
        "Potassium hydroxide burns skin and blinds (H314), harms if swallowed (H302), and eats aluminium, zinc and tin (H290)"
    ),
    BOTH: (
        "Sodium and potassium hydroxide burn skin and blind (H314), the latter harms if swallowed (H302), and both eat "
        "aluminium, zinc and tin (H290)"
    ),
}
GUARD = "goggles, gloves, long sleeves; alkali into water, never water onto alkali"
ROOM = "children and animals out of the room; running water within reach"
VESSEL = (
    "Vessels: stainless steel or heat-proof polypropylene (PP). Never aluminium, zinc (galvanised ware) or tin, from which alkali "
    "sets hydrogen free, which burns and explodes; and no glass, which cracks."
)
SKIN = (
    "First aid, skin and hair: take off at once all clothing that the lye has touched, and rinse with plenty of running water for "
    "15 minutes or longer (P303+P361+P353); have burns seen by a doctor. No vinegar, nor any other acid."
)
EYES = (
    "First aid, eyes: rinse at once with plenty of water for 15 minutes or longer, lids held open, contact lenses out if that is "
    "easy, and get medical help at once (P305+P351+P338, P310). No vinegar."
)
SWALLOWED = (
    "First aid, swallowed: rinse the mouth, do not make anyone vomit, and call a poison centre or a doctor at once "
    "(P301+P330+P331, P310)."
)
LEFT_OVER = (
    "Soap with alkali left over burns skin. Weigh twice, use lots with certificates of analysis, and test a cured bar before anyone "
    "washes with it."
)
DEFER = (
    "These figures are arithmetic, not advice: the supplier's safety data sheet, the rules where you live and licensed "
    "practice come before anything printed here."
)
IN_BRIEF = {
    (SODIUM,): "Sodium hydroxide burns and blinds (H314)",
    (POTASSIUM,): "Potassium hydroxide burns, blinds (H314), harms if swallowed (H302)",
    BOTH: "Sodium and potassium hydroxide burn, blind (H314), harm if swallowed (H302)",
}
GUARD_IN_BRIEF = "goggles, gloves; alkali into water, never the reverse"
DEFER_IN_BRIEF = "The supplier's safety data sheet, local rules, licensed practice come first. First aid: --steps."
DEFER_ELSEWHERE = (
    "The supplier's safety data sheet, local rules, licensed practice come first. First aid: 'barwright explain lye'."
)


def in_use(alkalis: Sequence[str]) -> tuple[str, ...]:
    """The alkalis named, in order; both where none is."""
    return tuple(name for name in BOTH if name in alkalis) or BOTH


def hazard(alkalis: Sequence[str]) -> str:
    """What the alkalis do, without a full stop."""
    return HAZARDS[in_use(alkalis)]


def in_full(alkalis: Sequence[str] = BOTH) -> tuple[str, ...]:
    """Hazards of these alkalis, handling, vessels, first aid, and to whom all of it defers."""
    guarded = f"{hazard(alkalis)}: {GUARD}; {ROOM}."
    return guarded, VESSEL, SKIN, EYES, SWALLOWED, LEFT_OVER, DEFER


def in_brief(alkalis: Sequence[str] = BOTH) -> tuple[str, str]:
    """The same in two lines: what these alkalis do and what to wear, and where the rest is to be found."""
    return f"{IN_BRIEF[in_use(alkalis)]}: {GUARD_IN_BRIEF}.", DEFER_IN_BRIEF


def in_brief_elsewhere(alkalis: Sequence[str] = BOTH) -> tuple[str, str]:
    """The same where a page has no steps to tell first aid."""
    return in_brief(alkalis)[0], DEFER_ELSEWHERE


def without_recipe() -> tuple[str, str]:
    """The same where no recipe is shown, and no steps can be told: of both alkalis."""
    return in_brief()[0], DEFER_ELSEWHERE

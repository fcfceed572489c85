"""What the sheet tells for the label: both lists of ingredients, net weight, and that they are a draft."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.answers.label import labelled
from optimiser.report import words
from optimiser.report.terminal.label import net_weight, of_the_union

if TYPE_CHECKING:
    from collections.abc import Iterator

    from optimiser.answers.sheet import MakingSheet
    from optimiser.report.page.setting import Setting

DRAFT = "A draft, no legal advice: local rules decide."
FIRST = "What must be looked up first: barwright label {file}"


def label_lines(sheet: MakingSheet, setting: Setting) -> Iterator[str]:
    """The lists as they could be printed, heaviest first."""
    bar = sheet.cost.bar_grams if sheet.cost is not None else None
    found = labelled(sheet.recipe, sheet.judged, bar_grams=bar or sheet.judged.cured_grams)
    for said, listed in (("As charged", found.as_charged), ("As saponified", found.as_saponified)):
        yield setting.name(f"{said}: {', '.join(one.name for one in listed)}.")
    rest = [of_the_union((*found.as_charged, *found.as_saponified))]
    rest += [net_weight(found.net_weight, sheet.recipe.units)] if bar is not None else []
    first = FIRST.format(file=words.quoted(sheet.file)) if sheet.file else ""
    yield setting.name(" ".join(filter(None, (*rest, DRAFT, first))))

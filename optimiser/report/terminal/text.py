"""An answer in words: a blend, the reason why there is none, or a recipe in hand, as plain text for any width.

With `colour` the text carries terminal colours, but nothing is said by colour alone; with `ascii` it holds no sign beyond
ASCII. The narrowest page is `paper.NARROWEST` columns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report.terminal.page import Paper, printed

if TYPE_CHECKING:
    from optimiser.answers.results import Blend, NoBlend, Reach, WeighedRecipe


def blend(
    story: Blend,
    width: int = 80,
    *,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    steps: bool = False,
    saved: str = "",
) -> str:
    """The answer when there is a blend: cautions that cannot wait, what to weigh, what it costs and why, how the bar is.

    `saved` is the file that the recipe was written to, if it was.
    """
    from optimiser.report.terminal import blend as text_blend

    paper = Paper(width, colour, ascii)
    return printed(paper, text_blend.parts(story, paper, steps=steps, saved=saved))


def no_blend(story: NoBlend, width: int = 80, *, colour: bool = False, ascii: bool = False) -> str:  # noqa: A002
    """The answer when there is none: each clash with the lines of the file, what could be reached, the ways out."""
    from optimiser.report.terminal import no_blend as text_clash

    paper = Paper(width, colour, ascii)
    return printed(paper, text_clash.parts(story))


def weighed(
    story: WeighedRecipe,
    width: int = 80,
    *,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    steps: bool = False,
) -> str:
    """What a recipe in hand is, and whether it meets the goals it was held against."""
    from optimiser.report.terminal import weigh as text_weigh

    paper = Paper(width, colour, ascii)
    return printed(paper, text_weigh.parts(story, paper, steps=steps))


def reach(story: Reach, width: int = 80, *, colour: bool = False, ascii: bool = False) -> str:  # noqa: A002
    """How far each figure could go while the other goals hold."""
    from optimiser.report.terminal import reach as text_reach

    paper = Paper(width, colour, ascii)
    return printed(paper, text_reach.parts(story, paper))

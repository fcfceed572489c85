"""An answer in words: a blend, the reason why there is none, or a recipe in hand, as plain text for any width.

With `colour` the text carries terminal colours, but nothing is said by colour alone; with `ascii` it holds no sign beyond
ASCII. The narrowest page is `paper.NARROWEST` columns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypedDict, Unpack

from optimiser.report.terminal.page import Paper, printed

if TYPE_CHECKING:
    from optimiser.answers.choice_results import Choices
    from optimiser.answers.compare import Compared
    from optimiser.answers.curve_values import Curve, CurveGrid
    from optimiser.answers.label import Label
    from optimiser.answers.reach_results import Reach
    from optimiser.answers.resize import ResizedRecipe
    from optimiser.answers.results import Blend, Feasible, NoBlend, WeighedRecipe
    from optimiser.answers.sweep_results import Sweep


class Page(TypedDict, total=False):
    """How a page is set beside its width; what is not told is not wanted."""

    colour: bool
    ascii: bool


def paper_of(width: int, page: Page, *, fahrenheit: bool = False, typed: str = "") -> Paper:
    """The paper of such a page; `typed` are options that a command to be copied repeats."""
    return Paper(width, **page, fahrenheit=fahrenheit, typed=typed)


def blend(
    story: Blend,
    width: int = 80,
    *,
    steps: bool = False,
    full: bool = False,
    saved: str = "",
    typed: str = "",
    **page: Unpack[Page],
) -> str:
    """The answer when there is a blend: cautions that cannot wait, what to weigh, how the bar is, what it costs and why.

    `full` tells all that there is to tell. `saved` is the file that the recipe was written to, if it was.
    """
    from optimiser.report.terminal import blend as text_blend

    paper = paper_of(width, page, fahrenheit=not story.recipe.units.is_metric, typed=typed)
    return printed(paper, text_blend.parts(story, paper, steps=steps, full=full, saved=saved))


def no_blend(
    story: NoBlend,
    width: int = 80,
    *,
    full: bool = False,
    **page: Unpack[Page],
) -> str:
    """The answer when there is none: the ways out, then each clash with the lines of the file and what could be reached."""
    from optimiser.report.terminal import no_blend as text_clash

    paper = paper_of(width, page)
    return printed(paper, text_clash.parts(story, full=full))


def unmet(
    story: Feasible,
    width: int = 80,
    **page: Unpack[Page],
) -> str:
    """What a blend would say first, where it is asked for no more than whether there is one; "" for most."""
    from optimiser.report.terminal import far_off as text_far_off

    return printed(paper_of(width, page), text_far_off.sentences(story)) if story.far_off else ""


def weighed(
    story: WeighedRecipe,
    width: int = 80,
    *,
    steps: bool = False,
    full: bool = False,
    **page: Unpack[Page],
) -> str:
    """What a recipe in hand is, and whether it meets the goals it was held against."""
    from optimiser.report.terminal import weigh as text_weigh

    paper = paper_of(width, page, fahrenheit=not story.recipe.units.is_metric)
    return printed(paper, text_weigh.parts(story, paper, steps=steps, full=full))


def resized(
    story: ResizedRecipe,
    width: int = 80,
    *,
    steps: bool = False,
    full: bool = False,
    saved: str = "",
    **page: Unpack[Page],
) -> str:
    """A recipe for another batch: what it was brought to, and then all that is said of a recipe in hand."""
    from optimiser.report.terminal import resize as text_resize

    paper = paper_of(width, page, fahrenheit=not story.story.recipe.units.is_metric)
    return printed(paper, text_resize.parts(story, paper, steps=steps, full=full, saved=saved))


def compared(
    story: Compared,
    width: int = 80,
    **page: Unpack[Page],
) -> str:
    """Two to five bars side by side."""
    from optimiser.report.terminal import compare as text_compare

    paper = paper_of(width, page, fahrenheit=not story.units.is_metric)
    return printed(paper, text_compare.parts(story, paper))


def labelled(
    story: Label,
    width: int = 80,
    *,
    full: bool = False,
    **page: Unpack[Page],
) -> str:
    """Lists of ingredients for a label, allergens, net weight, and what to look up before it is printed."""
    from optimiser.report.terminal import label as text_label

    return printed(paper_of(width, page), text_label.parts(story, full=full))


def reach(
    story: Reach,
    width: int = 80,
    *,
    full: bool = False,
    **page: Unpack[Page],
) -> str:
    """How far each figure could go while the other goals hold; of harshness and mildness one, in full both."""
    from optimiser.report.terminal import reach as text_reach

    paper = paper_of(width, page)
    return printed(paper, text_reach.parts(story, paper, full=full))


def choices(
    story: Choices,
    width: int = 80,
    *,
    full: bool = False,
    saved: str = "",
    typed: str = "",
    **page: Unpack[Page],
) -> str:
    """A few blends side by side, and how different one can be; `saved` is the file that one of them was written to."""
    from optimiser.report.terminal import choices as text_choices

    paper = paper_of(width, page, typed=typed)
    return printed(paper, text_choices.parts(story, paper, full=full, saved=saved))


def curve(
    story: Curve,
    width: int = 80,
    *,
    full: bool = False,
    saved: str = "",
    typed: str = "",
    **page: Unpack[Page],
) -> str:
    """What one limit costs: a chart, its breakpoints, where it ends. `saved` is the file that the chart was written to."""
    from optimiser.report.terminal import curve as text_curve

    paper = paper_of(width, page, typed=typed)
    return printed(paper, text_curve.parts(story, paper, full=full, saved=saved))


def grid(
    story: CurveGrid,
    width: int = 80,
    *,
    typed: str = "",
    **page: Unpack[Page],
) -> str:
    """What two limits cost together, as a table."""
    from optimiser.report.terminal import curve as text_curve

    paper = paper_of(width, page, typed=typed)
    return printed(paper, text_curve.grid_parts(story, paper))


def swept(
    story: Sweep,
    width: int = 80,
    *,
    colour: bool = False,
    ascii: bool = False,  # noqa: A002
    full: bool = False,
) -> str:
    """Goal files over price scenarios: a line for each bar, what to do, and the bars that save most."""
    from optimiser.report.terminal import sweep as text_sweep

    return printed(Paper(width, colour, ascii), text_sweep.parts(story, full=full))

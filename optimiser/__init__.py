"""barwright: works a cold-process soap recipe out backwards, from what the bar must be.

A few names, each loaded when it is first asked for:
Some fifteen names, each loaded when it is first asked for:

* `blend(goal_file, shelf_file=None)`: the cheapest blend that meets a goal file, or why there is none.
* `reach(goal_file, shelf_file=None)`: how far each figure can go while the other goals hold.
* `tradeoff(goal_file, of, ...)` and `tradeoff_for(goals, shelf, of, ...)`: what a limit costs, as a curve with its breakpoints.
* `weigh_recipe(recipe_file, ...)`: a recipe in hand, judged.
* `swap(recipe_file, out, ...)` and `swap_for(recipe, shelf, out)`: what to use in place of fats that ran out.
* `recipe_of(fats, ...)`: a recipe in hand made in Python, without a file.
* `read_goals(path)` and `read_shelf(path)`: the files as values.
* `at_least`, `at_most`, `exactly`, `goals_of` and `shelf_of`: the same values made in Python, without a file.
* `blend_for(goals, shelf)`: the cheapest blend for goals and a shelf as values.
* `resize_recipe(recipe_file, "24 bars of 110 g")`: the same recipe for another batch.
* `compare([file, file])`: recipes and goal files side by side.
* `Units`: what weights are told in.
* `BadInput`: raised with every fault of a file at once.

>>> import optimiser
>>> goals = optimiser.goals_of(optimiser.at_least("hardness", 45), optimiser.at_most("coconut oil", 25))
>>> shelf = optimiser.shelf_of(
...     {"olive oil": 7.4, "coconut oil": 3.1, "shea butter": 9.8, "lard": 2.2}, sodium_hydroxide=2.4, currency="EUR"
... )
>>> found = optimiser.blend_for(goals, shelf)
>>> round(sum(line.share for line in found.fats))
100
>>> found.alkali.superfat >= 3
True
"""

TYPE_CHECKING = False  # not from typing: nothing is loaded before an interrupt can be answered

if TYPE_CHECKING:
    from optimiser.answers.ask_tradeoff import tradeoff, tradeoff_for
    from optimiser.answers.blend import answer as blend
    from optimiser.answers.blend import answer_for as blend_for
    from optimiser.answers.compare import compare
    from optimiser.answers.reach import reach
    from optimiser.answers.resize import resize as resize_recipe
    from optimiser.answers.swap import swap, swap_for
    from optimiser.answers.weigh import weigh as weigh_recipe
    from optimiser.files.goals import read_goals
    from optimiser.files.shelf.shelf import read_shelf
    from optimiser.problem.asking import at_least, at_most, exactly, goals_of, shelf_of
    from optimiser.problem.asking_near import recipe_of
    from optimiser.problem.units import Units
    from optimiser.text.diagnostics import BadInput

__all__ = [
    "BadInput",
    "Units",
    "at_least",
    "at_most",
    "blend",
    "blend_for",
    "compare",
    "exactly",
    "goals_of",
    "reach",
    "read_goals",
    "read_shelf",
    "recipe_of",
    "resize_recipe",
    "shelf_of",
    "swap",
    "swap_for",
    "tradeoff",
    "tradeoff_for",
    "weigh_recipe",
]

_ROOMS = {
    "BadInput": ("optimiser.text.diagnostics", "BadInput"),
    "Units": ("optimiser.problem.units", "Units"),
    "at_least": ("optimiser.problem.asking", "at_least"),
    "at_most": ("optimiser.problem.asking", "at_most"),
    "blend": ("optimiser.answers.blend", "answer"),
    "blend_for": ("optimiser.answers.blend", "answer_for"),
    "compare": ("optimiser.answers.compare", "compare"),
    "exactly": ("optimiser.problem.asking", "exactly"),
    "goals_of": ("optimiser.problem.asking", "goals_of"),
    "reach": ("optimiser.answers.reach", "reach"),
    "read_goals": ("optimiser.files.goals", "read_goals"),
    "read_shelf": ("optimiser.files.shelf.shelf", "read_shelf"),
    "recipe_of": ("optimiser.problem.asking_near", "recipe_of"),
    "resize_recipe": ("optimiser.answers.resize", "resize"),
    "shelf_of": ("optimiser.problem.asking", "shelf_of"),
    "swap": ("optimiser.answers.swap", "swap"),
    "swap_for": ("optimiser.answers.swap", "swap_for"),
    "tradeoff": ("optimiser.answers.ask_tradeoff", "tradeoff"),
    "tradeoff_for": ("optimiser.answers.ask_tradeoff", "tradeoff_for"),
    "weigh_recipe": ("optimiser.answers.weigh", "weigh"),
}


def __getattr__(name: str) -> object:
    """Load a public name from its room on first use, so that importing the package costs nothing.

    Raises:
        AttributeError: no such public name.
    """
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    room, called = _ROOMS[name]
    found = getattr(import_module(room), called)
    globals()[name] = found
    return found

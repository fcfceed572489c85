"""barwright: works a cold-process soap recipe out backwards, from what the bar must be.

Five names, each loaded when it is first asked for:

* `blend(goal_file, shelf_file=None)`: the cheapest blend that meets a goal file, or why there is none.
* `weigh_recipe(recipe_file, shelf_file=None, goal_file=None)`: a recipe in hand, judged.
* `read_goals(path)` and `read_shelf(path)`: the files as values.
* `BadInput`: raised with every fault of a file at once.

>>> from pathlib import Path
>>> import optimiser
>>> found = optimiser.blend(Path("goals/everyday.yaml"))
>>> round(sum(line.share for line in found.fats))
100
"""

TYPE_CHECKING = False  # not from typing: nothing is loaded before an interrupt can be answered

if TYPE_CHECKING:
    from optimiser.answers.blend import answer as blend
    from optimiser.answers.weigh import weigh as weigh_recipe
    from optimiser.files.goals import read_goals
    from optimiser.files.shelf.shelf import read_shelf
    from optimiser.text.diagnostics import BadInput

__all__ = ["BadInput", "blend", "read_goals", "read_shelf", "weigh_recipe"]

_ROOMS = {
    "BadInput": ("optimiser.text.diagnostics", "BadInput"),
    "blend": ("optimiser.answers.blend", "answer"),
    "read_goals": ("optimiser.files.goals", "read_goals"),
    "read_shelf": ("optimiser.files.shelf.shelf", "read_shelf"),
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

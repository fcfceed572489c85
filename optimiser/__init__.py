"""barwright: works a cold-process soap recipe out backwards, from what the bar must be.

Five names, each loaded when it is first asked for:

* `answer(goal_file, shelf_file=None)`: the cheapest blend that meets a goal file, or why there is none.
* `weigh(recipe_file, shelf_file=None, goal_file=None)`: a recipe in hand, judged.
* `read_goals(path)` and `read_shelf(path)`: the files as values.
* `BadInput`: raised with every fault of a file at once.

>>> from pathlib import Path
>>> import optimiser
>>> found = optimiser.answer(Path("goals/everyday.yaml"))
>>> round(sum(line.share for line in found.fats))
100
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from optimiser.answer import answer
    from optimiser.goals import read_goals
    from optimiser.shelf import read_shelf
    from optimiser.text.diagnostics import BadInput
    from optimiser.weigh import weigh

__all__ = ["BadInput", "answer", "read_goals", "read_shelf", "weigh"]

_ROOMS = {
    "BadInput": "optimiser.text.diagnostics",
    "answer": "optimiser.answer",
    "read_goals": "optimiser.goals",
    "read_shelf": "optimiser.shelf",
    "weigh": "optimiser.weigh",
}


def __getattr__(name: str) -> object:
    """Load a public name from its room on first use, so that importing the package costs nothing.

    Raises:
        AttributeError: no such public name.
    """
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found = getattr(import_module(_ROOMS[name]), name)
    globals()[name] = found
    return found


class _Package(ModuleType):
    """Keeps a public name the function that it is when a room of the same name is imported beside it."""

    def __setattr__(self, name: str, value: object) -> None:
        if name in _ROOMS and isinstance(value, ModuleType):
            value = getattr(value, name)
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package

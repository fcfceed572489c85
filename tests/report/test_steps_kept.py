"""Making steps as a soap maker would have them, kept word for word."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from strategies import recipe_at

from optimiser.files.designs import designs
from optimiser.problem.designs import Design
from optimiser.recipe.evaluation import judge
from optimiser.recipe.making_steps import steps
from optimiser.recipe.times import batch_times
from optimiser.report.terminal import steps as text_steps
from optimiser.report.terminal.page import Paper, printed

OLIVE = {"olive oil": 45.0, "coconut oil": 25.0, "high oleic sunflower oil": 20.0, "shea butter": 10.0}
KEPT: Mapping[str, tuple[tuple[str, ...], Mapping[str, Any]]] = {
    "steps-fine-swirl": (
        ("fine swirl",),
        {
            "shares": OLIVE,
            "lye": 30.0,
            "batter_temperature": 30.0,
            "extra": {"mica": 1.0, "titanium dioxide": 0.5, "sodium lactate": 2.0, "fragrance oil": 2.0},
        },
    ),
    "steps-milk-and-honey": (
        (),
        {"shares": OLIVE, "extra": {"goat milk": 24.0, "honey": 2.0, "kaolin": 1.0, "colloidal oatmeal": 1.0}},
    ),
    "steps-chequer": (
        ("chequer of blocks",),
        {
            "shares": {"olive pomace oil": 40.0, "coconut oil": 30.0, "palm oil": 30.0},
            "lye": 34.0,
            "gel": True,
            "batter_temperature": 38.0,
            "extra": {"activated charcoal": 0.5, "essential oil": 2.0},
        },
    ),
    "steps-piped-layers": (("straight layers", "piped top"), {"shares": OLIVE, "extra": {"iron oxides": 0.5}}),
    "steps-salt-bar": (
        ("salt bar",),
        {
            "shares": {"coconut oil": 90.0, "shea butter": 5.0, "castor oil": 5.0},
            "superfat": 18.0,
            "extra": {"salt": 70.0, "essential oil": 2.0},
        },
    ),
    "steps-potassium": (
        (),
        {
            "shares": {"olive oil": 70.0, "coconut oil": 30.0},
            "superfat": 2.0,
            "potassium": 100.0,
            "extra": {"fragrance oil": 1.0},
        },
    ),
}


def named(name: str) -> Design:
    """A design of our own table."""
    return next(one for one in designs() if one.name == name)


@pytest.mark.parametrize("name", KEPT)
def test_steps_as_kept(name: str, golden: Callable[[str, str], None]) -> None:
    """The steps of a swirl, a bar with milk and honey, a chequer, piped layers, a salt bar and a paste read as approved."""
    chosen, told = KEPT[name]
    exact = recipe_at(**told)
    made = exact._replace(
        sodium_hydroxide=round(exact.sodium_hydroxide - 0.05, 1) if exact.sodium_hydroxide else 0.0,
        potassium_hydroxide=round(exact.potassium_hydroxide, 1),
        water=round(exact.water, 1),
        alkali_step=0.1,
    )
    techniques, judged = [named(one) for one in chosen], judge(made)
    found = steps(made, judged, techniques, batch_times(made, judged, {}, techniques))
    golden(f"{name}.txt", printed(Paper(80, colour=False, ascii=False), text_steps.numbered(found)))

"""Invented workshops for tests: trials of known recipes whose readings follow a law that the test has laid down."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping, Sequence
from contextlib import redirect_stdout
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from strategies import recipe_at

from optimiser.answers.results import Blend
from optimiser.files.recipe_file import read_recipe
from optimiser.files.trial_file import Trial
from optimiser.recipe.evaluation import Recipe, judge
from optimiser.recipe.levers import lever_units
from optimiser.trials.observations import Made

ROOT = Path(__file__).parents[1]
RECIPE = "title: Thirds\nfats: {coconut oil: 500 g, palm oil: 500 g, olive oil: 500 g}\nsuperfat: 5 %\n"
SPREAD = (  # from a batter that takes its time to one that hurries
    {"olive oil": 100},
    {"olive oil": 80, "coconut oil": 20},
    {"olive oil": 60, "coconut oil": 25, "palm oil": 15},
    {"olive oil": 30, "coconut oil": 30, "palm oil": 40},
    {"olive oil": 15, "coconut oil": 45, "palm oil": 40},
    {"coconut oil": 70, "palm oil": 30},
)


@cache
def answer_as_data(path: Path) -> tuple[int, str]:
    """Exit code and stdout of `blend --json` for a goal file of the tree, which no test changes: asked once in a run."""
    from optimiser.cli.main import main

    with redirect_stdout(io.StringIO()) as out:
        code = main(["blend", str(path), "--json"])
    return code, out.getvalue()


@cache
def blend_of(name: str) -> Blend:
    """The answer to a goal file of the tree that can be met, asked once in a run."""
    import optimiser

    story = optimiser.blend(ROOT / "goals" / f"{name}.yaml")
    assert isinstance(story, Blend)
    return story


def laid(folder: Path, files: Mapping[str, str]) -> Path:
    """A workshop with these files, each in its folder."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def written(shop: Path, text: str, name: str = "001.yaml") -> Path:
    """A trial file with this text, among the trials of a workshop."""
    path = shop / "trials" / name
    path.write_text(text, encoding="utf-8")
    return path


def batch(recipe: Recipe, folder: Path, name: str = "001") -> Made:
    """A trial of a recipe with nothing read off it yet."""
    path = folder / "recipe.yaml"
    if not path.exists():
        path.write_text(RECIPE, encoding="utf-8")
    trial = Trial(name, f"{name}.yaml", read_recipe(path), linked=False)
    return Made(trial, recipe, judge(recipe).values, lever_units(recipe))


def bench(recipes: Sequence[Recipe], folder: Path, law: Callable[[Made], dict[str, Any]]) -> list[Made]:
    """Trials of recipes, with the readings that the law gives each batch."""
    plain = [batch(recipe, folder, f"{place:03d}") for place, recipe in enumerate(recipes, start=1)]
    return [item._replace(trial=item.trial._replace(**law(item))) for item in plain]


def plain_recipes(number: int = len(SPREAD)) -> list[Recipe]:
    """Recipes of which only the fats differ; over again, slightly changed, where more are asked for."""
    out = []
    for place in range(number):
        shares = SPREAD[place % len(SPREAD)]
        out.append(recipe_at({**shares, "lard": 3 * (place // len(SPREAD)) + 1}))
    return out


def varied_recipes(number: int, seed: int = 1) -> list[Recipe]:
    """Recipes of which fats, superfat, lye, heat, gel and lactate differ."""
    rng = np.random.default_rng(seed)
    return [
        recipe_at(
            {**SPREAD[place % len(SPREAD)], "shea butter": float(rng.integers(0, 3) * 10)},
            superfat=float(rng.choice([3.0, 5.0, 8.0])),
            lye=float(rng.choice([28.0, 30.0, 33.0, 36.0])),
            extra={"sodium lactate": float(rng.choice([0.5, 2.0, 3.0]))},
            batter_temperature=float(rng.choice([30.0, 35.0, 42.0])),
            gel=bool(rng.integers(0, 2)),
        )
        for place in range(number)
    ]

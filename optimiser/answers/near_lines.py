"""What a blend has changed of the recipe in hand that it is near to, and what is proved of that."""

from __future__ import annotations

from typing import NamedTuple

from optimiser.measures.differences import Difference, drift
from optimiser.model.programme import Programme
from optimiser.problem.near import Gone, Near
from optimiser.recipe.changes import FatChange, fat_changes, measure_changes, moved
from optimiser.recipe.evaluation import Judgement, Recipe
from optimiser.recipe.resizing import on_roughness
from optimiser.solve.nearest import NearestProof
from optimiser.solve.optimum import Cheapest

AGREE = 1e-4  # per cent of the fats, and parts of how sure the measures are: what room preferences are held with


class NearFigures(NamedTuple):
    """What a blend has changed of the recipe in hand that it is near to.

    `moved` is the part of the fats that is changed (%), `drift` what the measures differ by, each in parts of how sure it is;
    `proof` what no blend changes less than. Alkalis are in grams of sodium and potassium hydroxide for the same batch,
    and so is the water.
    """

    title: str
    path: str
    moved: float
    drift: float
    proof: NearestProof
    fats: tuple[FatChange, ...]
    measures: tuple[Difference, ...]
    alkali_before: tuple[float, float]
    alkali_after: tuple[float, float]
    water_before: float
    water_after: float
    superfat_before: float
    cost_before: float | None
    gone: tuple[Gone, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def is_unchanged(self) -> bool:
        """Whether the recipe itself is the answer."""
        return not self.fats

    @property
    def alkali_change(self) -> float:
        """Grams of both alkalis together, now less before."""
        return sum(self.alkali_after) - sum(self.alkali_before)


def near_figures(
    near: Near | None,
    proof: NearestProof | None,
    programme: Programme,
    recipes: tuple[Recipe, Recipe],
    judged: Judgement,
) -> NearFigures | None:
    """What is changed; None where there is no recipe in hand.

    Args:
        near: the recipe in hand.
        proof: what no blend changes less than.
        programme: the rows that the blend was found by.
        recipes: the blend exactly, and rounded for the balance.
        judged: figures of the exact one.
    """
    if near is None or proof is None:
        return None
    exact, weighed = recipes
    measures = measure_changes(near, judged, told_measures(programme))
    return NearFigures(
        title=near.title,
        path=near.path,
        moved=moved(near, exact),
        drift=drift(measures),
        proof=proof,
        fats=fat_changes(near, exact, weighed),
        measures=measures,
        alkali_before=(near.sodium_hydroxide, near.potassium_hydroxide),
        alkali_after=(weighed.sodium_hydroxide, weighed.potassium_hydroxide),
        water_before=near.water,
        water_after=weighed.water,
        superfat_before=near.values["superfat"],
        cost_before=near.cost_per_kg,
        gone=near.gone,
        notes=(*near.notes, *on_roughness(weighed)),
    )


def told_measures(programme: Programme) -> tuple[str, ...]:
    """The measures of which the model knows how far they drift."""
    return tuple(one.name for one in programme.apart if one.kind == "drift")


def disagreement(near: Near | None, programme: Programme, found: Cheapest, recipe: Recipe, judged: Judgement) -> str:
    """Where the model and the judge differ on how near a blend is, in words; "" where they agree.

    The model may hold a drift that is a little larger than it is, and knows no floor below which a measure is not told.
    """
    if near is None:
        return ""
    share, told = (programme.rows[preference.rows[0]].value(found.point) for preference in programme.soft[-2:])
    ours = moved(near, recipe)
    if abs(share - ours) > AGREE:
        return f"moved: the model says {share:.9g} %, the judge {ours:.9g}"
    ours = drift(measure_changes(near, judged, told_measures(programme)))
    if ours > told + AGREE * max(1.0, told):
        return f"drift: the model says {told:.9g}, the judge {ours:.9g}"
    return ""

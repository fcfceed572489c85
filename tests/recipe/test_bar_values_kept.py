"""What fats are alone is kept between recipes of the same fats, and never told of others."""

from __future__ import annotations

from optimiser.materials.fat_table import reference
from optimiser.measures.measures import measures
from optimiser.measures.profiles import acid_shares, fat_values
from optimiser.recipe.bar_values import Chosen, acids_told, alone


def test_what_is_kept_is_what_is_worked_out() -> None:
    """The same fats find what was kept; others, another order, or one that was changed, are worked out anew."""
    olive, coconut = (reference().find(name) for name in ("olive oil", "coconut oil"))
    assert olive is not None
    assert coconut is not None
    first = alone(Chosen([olive, coconut]))
    assert alone(Chosen((olive, coconut))) is first
    other = olive._replace(
        acids={**olive.acids, "C18:1": olive.acids["C18:1"] - 5.0, "C18:2": olive.acids["C18:2"] + 5.0}
    )
    for fats in ((olive, coconut), (coconut, olive), (other, coconut)):
        found = alone(Chosen(fats))
        assert [list(row) for row in found.measures] == fat_values(fats, list(measures())).tolist()
        assert [list(row) for row in found.acids] == acid_shares(fats, acids_told()).tolist()
    assert alone(Chosen((other, coconut))) != first

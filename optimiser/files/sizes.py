"""The size of a batch, as it is typed, as a batch; and the faults of one that is none."""

from __future__ import annotations

from optimiser.files.batch import BARS_MADE, MOST_BARS, MOST_BATTER, MOST_CURED, mass_within
from optimiser.files.moulds import cavities_in, cavity_in_ml, headroom_of, length_in_cm, moulds_in
from optimiser.problem.batch import MOST_FATS, Batch, Mould
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.quantities import Misread, read_count
from optimiser.text.sizes import Size, read_size


def batch_of(text: str) -> Batch:
    """What a text asks to be made: "24 bars of 110 g", "2.5 kg fats", "4 kg batter", "mould 30 x 9 x 7 cm".

    Raises:
        BadInput: it says no size, not all of it, or one that nobody makes.
    """
    try:
        return _batch(read_size(text))
    except Misread as fault:
        raise BadInput([Diagnostic(fault.code, f"--to: {fault.message}", fault.help)]) from None


def _batch(size: Size) -> Batch:
    nothing = Batch(fats_kg=None)
    if size.beside:
        return nothing._replace(mould=_mould(size))
    if size.by == "bars":
        count, each = size.figures
        bars = read_count(count, "the number of bars")
        if not 0 < bars <= MOST_BARS:
            raise Misread(Code.OUT_OF_RANGE, f"{bars:.12g} bars cannot be made", BARS_MADE)
        return nothing._replace(bars=bars, cured_weight_kg=mass_within(each, "a cured bar", MOST_CURED))
    if size.by == "fats":
        return nothing._replace(fats_kg=mass_within(size.figures[0], "fats", MOST_FATS))
    if size.by == "batter":
        return nothing._replace(batter_kg=mass_within(size.figures[0], "batter", MOST_BATTER))
    return nothing._replace(mould=_mould(size))


def _mould(size: Size) -> Mould:
    if size.by in ("bars", "fats", "batter"):
        message = f"several moulds can be filled from one batch, but what is told in {size.by} is no mould"
        raise Misread(
            Code.CONTRADICTION, message, "tell moulds alone, as in '2 moulds of 30 x 9 x 7 cm and 6 cavities of 100 ml'"
        )
    if size.by == "cavities":
        mould = Mould(cavities=cavities_in(size.figures[0]), each_ml=cavity_in_ml(size.figures[1]))
    elif size.by == "round":
        mould = Mould(
            diameter_cm=length_in_cm(size.figures[0], "diameter"), depth_cm=length_in_cm(size.figures[1], "depth")
        )
    else:
        names = ("length", "width", "depth")
        length, width, depth = (length_in_cm(told, name) for told, name in zip(size.figures, names, strict=True))
        mould = Mould(length, width, depth)
    if size.by != "cavities":
        mould = mould._replace(cavities=moulds_in(size.how_many))
    mould = mould._replace(is_cavities=size.is_cavities)
    if size.headroom:
        mould = mould._replace(headroom=headroom_of(size.headroom, mould.depth_cm))
    return mould._replace(beside=tuple(_mould(other) for other in size.beside))

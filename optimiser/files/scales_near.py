"""The maker's own scales that lie nearest to a file, faulty or not."""

from __future__ import annotations

from pathlib import Path

from optimiser.files.limit_values import NO_SCALES, OwnScales
from optimiser.files.workspace import nearest_scales
from optimiser.text.diagnostics import BadInput


def scales_near(path: Path) -> OwnScales:
    """The scales of the nearest folder of trials; the room that reads them is loaded only where there are any."""
    found = nearest_scales(path)
    if found is None:
        return NO_SCALES
    from optimiser.files.scale_file import read_scales

    try:
        return OwnScales(read_scales(found), found)
    except BadInput as bad:
        return OwnScales(path=found, faults=bad.diagnostics)

"""What the arrays of a programme are, as types (spelt out, since `numpy.typing` is slow to load)."""

from __future__ import annotations

import numpy as np

Vector = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Matrix = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

"""Writes examples/prices.csv: ten years of monthly prices that never were.

    python tests/tools/invented_prices.py

Only how prices move is like the real thing: the spread of monthly changes and how oils go together, rounded, as in the monthly
prices of seven oils from 2002 to 2024 of the World Bank's commodity price data (worked out once from the series itself). Prices
end at those of the demo shelf.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
TARGET = ROOT / "examples" / "prices.csv"
LAST = {  # EUR / kg, the demo shelf
    "coconut oil": 3.10,
    "peanut oil": 4.10,
    "palm oil": 1.95,
    "palm kernel oil": 2.75,
    "soybean oil": 1.85,
    "rapeseed oil": 2.05,
    "sunflower oil": 1.90,
}
SPREAD = (0.08, 0.04, 0.07, 0.09, 0.05, 0.05, 0.07)  # of monthly changes of the logarithm
TOGETHER = (
    (1.00, 0.12, 0.65, 0.82, 0.51, 0.44, 0.44),
    (0.12, 1.00, 0.10, 0.07, 0.24, 0.29, 0.11),
    (0.65, 0.10, 1.00, 0.71, 0.69, 0.58, 0.66),
    (0.82, 0.07, 0.71, 1.00, 0.51, 0.42, 0.46),
    (0.51, 0.24, 0.69, 0.51, 1.00, 0.73, 0.70),
    (0.44, 0.29, 0.58, 0.42, 0.73, 1.00, 0.67),
    (0.44, 0.11, 0.66, 0.46, 0.70, 0.67, 1.00),
)
MONTHS = 120
BACK = 0.97  # of what is left of a change after a month: prices come back in the end
HEAD = """\
# Invented: prices of Kittiwake Soapworks that never were, drawn by tests/tools/invented_prices.py.
# Only how they move is like the real thing: spread and correlations of monthly changes. EUR / kg.
"""


def text() -> str:
    """The file."""
    rng = np.random.default_rng(2026)
    lower = np.linalg.cholesky(np.array(TOGETHER))
    steps = rng.standard_normal((MONTHS, len(LAST))) @ lower.T * np.array(SPREAD)
    logs = np.zeros((MONTHS, len(LAST)))
    for month in range(1, MONTHS):
        logs[month] = BACK * logs[month - 1] + steps[month]
    prices = np.array(list(LAST.values())) * np.exp(logs - logs[-1])
    lines = [",".join(("month", *LAST))]
    for month, row in enumerate(prices.tolist()):
        year, number = divmod(2016 * 12 + 10 + month, 12)
        lines.append(",".join((f"{year}-{number + 1:02d}", *(f"{price:.3f}" for price in row))))
    return HEAD + "\n".join(lines) + "\n"


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
    sys.stdout.write(f"{TARGET.name}: {MONTHS} months\n")

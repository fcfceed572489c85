"""Counted fats: processor seconds, memory, and the gap of whole commands on invented shelves of 60 to 1,000 fats.

    python tests/bench/counted.py                    # 60, 200 and 1,000 fats
    python tests/bench/counted.py --sizes 60 --most 60

Own fats are pressed from reference fats at other prices and with other figures. `six` is an everyday bar of at most six
fats; `narrow` has limits on both sides of twelve figures, close round a blend of four fats; `least` sixteen, five fats
of 5 % at least; `clash` wants too much of everything in four fats.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1]))

from instances import MEASURED, SEED
from reading import read

from optimiser.materials.fat_table import reference
from optimiser.measures.quantities import quantities
from optimiser.model.programme import build
from optimiser.model.rows import quantity

ROOT = Path(__file__).parents[2]
SIX = """goals:
  hardness: {at_least: 60}
  wear_life: {at_least: 26}
  quick_lather: {at_least: 42}
  mildness: {at_least: 68}
  rancidity: {at_most: 1.7}
shares: {olive oil: {at_least: 15 %}, castor oil: 5 %}
fats: {at_most: 6}
"""
CLASH = """goals:
  hardness: {at_least: 70}
  wear_life: {at_least: 40}
  quick_lather: {at_least: 62}
  lasting_lather: {at_least: 60}
  mildness: {at_least: 78}
  rancidity: {at_most: 1.0}
  trace_speed: {at_most: 20}
  iodine_value: {at_most: 40}
  saponification_value: {at_most: 195}
  cost: {at_most: 2.50 / kg}
shares: {olive oil: {at_least: 15 %}, castor oil: 15 %, butters: {at_least: 20 %}}
fats: {at_most: 4, each_at_least: 5 %}
"""


def shelf(fats: int) -> str:
    """A shelf of so many fats: the reference ones first, olive and castor oil among them, then pressings of our own."""
    rng = np.random.default_rng((SEED, fats))
    table = reference()
    names = sorted(table.names(), key=lambda name: (name not in ("olive oil", "castor oil"), rng.random()))
    lines = ["currency: EUR", "fats:"]
    for place in range(fats):
        price = f"price: {rng.uniform(1.5, 16.0):.2f} / kg"
        if place < len(names):
            lines.append(f"  - {{fat: {names[place]}, {price}}}")
            continue
        base = table.get(names[rng.integers(len(names))])
        value = f"saponification_value: {base.saponification.value * rng.uniform(0.98, 1.02):.1f}"
        iodine = f"iodine_value: {base.iodine.value * rng.uniform(0.95, 1.05):.1f}"
        lines.append(f"  - {{fat: pressing {place}, like: {base.name}, {price}, {value}, {iodine}}}")
    return "\n".join([*lines, "alkalis:", "  sodium hydroxide: {price: 2.40 / kg, purity: 98 %}", ""])


def narrow(folder: Path, chosen: int, figures: int, width: float, counts: str) -> str:
    """Limits on both sides of some figures, laid round a random blend of the shelf in a folder."""
    goals = folder / "ask.yaml"
    goals.write_text("shelf: shelf.yaml\ngoals: {hardness: {at_least: 0}}\n", encoding="utf-8")
    columns = build(*read(goals)).columns
    rng = np.random.default_rng((SEED, chosen, columns.count))
    ordinary = [k for k, fat in enumerate(columns.fats) if fat.kind in ("hard oil", "butter", "liquid oil")]
    point = columns.zeros()
    point[rng.choice(ordinary, chosen, replace=False)] = rng.dirichlet(np.full(chosen, 4.0))
    lye = columns.index["sodium hydroxide"]
    point[lye] = 0.95 * float(columns.fat_demand @ point) / float(columns.alkali_mol[lye])
    point[columns.index["water"]] = 2.0 * float(columns.alkali @ point)
    lines = ["goals:"]
    for key in sorted(rng.choice([key for key in MEASURED if ":" not in key], figures, replace=False).tolist()):
        known = quantities()[key]
        value = float(quantity(columns, key).top @ point)
        low, high = (value + side * width * known.scale * rng.uniform(0.2, 1.0) for side in (-1.0, 1.0))
        unit = " %" if known.unit == "%" else ""
        lines.append(f"  {key}: {{between: [{max(0.0, low):.2f}{unit}, {max(0.1, high):.2f}{unit}]}}")
    return "\n".join([*lines, "practice: off", f"fats: {{{counts}}}", ""])


def timed(goals: Path, most: float) -> str:
    """One command: processor seconds, memory, and what it answered."""
    command = [sys.executable, "-m", "optimiser", "blend", str(goals), "--json"]
    with (
        tempfile.TemporaryFile() as out,
        subprocess.Popen(command, stdout=out, stderr=subprocess.DEVNULL, cwd=ROOT) as process,
    ):
        resource.prlimit(process.pid, resource.RLIMIT_CPU, (int(most), int(most)))
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        text = out.read()
    told = json.loads(text) if text else {}
    said = {"optimal": "gap", "infeasible": "clashes"}.get(told.get("status", ""), "")
    figure = told["certificate"]["gap"] if said == "gap" else told.get("clashes_found", "-")
    return f"{used.ru_utime + used.ru_stime:.1f} | {used.ru_maxrss / 1024:.0f} | {said} {figure}"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--sizes", type=int, nargs="+", default=[60, 200, 1000])
    parser.add_argument("--most", type=float, default=120.0, help="processor seconds after which a command is ended")
    asked = parser.parse_args()
    print("| fats | goals | CPU s | MB | answer |\n|---|---|---|---|---|")
    for size in asked.sizes:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            (folder / "shelf.yaml").write_text(shelf(size), encoding="utf-8")
            files = {
                "six": SIX,
                "narrow": narrow(folder, 4, 12, 0.5, "at_most: 4"),
                "least": narrow(folder, 5, 16, 0.25, "at_most: 5, each_at_least: 5 %"),
                "clash": CLASH,
            }
            for title, text in files.items():
                goals = folder / f"{title}.yaml"
                goals.write_text(f"shelf: shelf.yaml\n{text}", encoding="utf-8")
                print(f"| {size} | {title} | {timed(goals, asked.most)} |", flush=True)


if __name__ == "__main__":
    main()

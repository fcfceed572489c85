"""Random goal files put to the program and to an independent model of the question: as many as you like, by hand.

python tests/outside/independent_run.py --files 2000 --seed 7
python tests/outside/independent_run.py --only 1234 --thorough
python tests/outside/independent_run.py --bar goals/everyday.yaml --shelf inventory/kittiwake.yaml
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from outside.independent.comparing import EVERYTHING, compare, compare_files
from outside.independent.drawing import draw
from outside.independent.solving import Unsure


def arguments() -> argparse.Namespace:
    """What was asked for."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--files", type=int, default=200, help="how many files (200)")
    parser.add_argument("--seed", type=int, default=0, help="the seed of the first file (0)")
    parser.add_argument("--only", type=int, help="one file, by its seed")
    parser.add_argument("--bar", type=Path, help="a goal file as it stands, with --shelf, instead of drawn ones")
    parser.add_argument("--shelf", type=Path, help="the shelf beside --bar")
    parser.add_argument("--thorough", action="store_true", help="compare every line, not a sample")
    parser.add_argument("--check", nargs="*", choices=sorted(EVERYTHING), help="compare only these")
    parser.add_argument("--quiet", action="store_true", help="do not print the files that disagree")
    return parser.parse_args()


def main() -> int:
    """Run, print what disagrees, and count."""
    asked = arguments()
    checks = frozenset(asked.check) if asked.check else EVERYTHING
    seeds = [asked.only] if asked.only is not None else range(asked.seed, asked.seed + asked.files)
    seen: Counter[str] = Counter()
    begun = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        for seed in [0] if asked.bar else seeds:
            try:
                if asked.bar:
                    status, told = compare_files(0, asked.bar, asked.shelf, checks, thorough=asked.thorough)
                else:
                    status, told = compare(seed, Path(folder), checks, thorough=asked.thorough)
            except Unsure as unsure:
                status, told = f"unsure: {unsure}", []
                sys.stdout.write(f"seed {seed}: {status}\n")
            except Exception:  # noqa: BLE001  # the run goes on, and the file is shown
                status, told = "fault", [traceback.format_exc()]
            seen[status] += 1
            if told:
                seen["disagree"] += 1
                sys.stdout.write(f"seed {seed} ({status}):\n" + "".join(f"  {line}\n" for line in told))
                if not asked.quiet and not asked.bar:
                    sys.stdout.write("\n".join(draw(seed)) + "\n")
                sys.stdout.flush()
    sys.stdout.write(f"{dict(seen)}, {time.process_time() - begun:.1f} s of one core\n")
    return 1 if seen["disagree"] else 0


if __name__ == "__main__":
    raise SystemExit(main())

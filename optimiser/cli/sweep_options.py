"""What `sweep` takes."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from pathlib import Path

from optimiser.cli.usage import Parser


def add_sweep(parser: Parser, add_full: Callable[[Parser], None], add_output: Callable[[Parser], None]) -> None:
    """Goal files, prices, who works on it, and what is kept of it."""
    parser.add_argument("goals", metavar="GOALS", type=Path, nargs="+", help="goal files (YAML), one for each bar")
    parser.add_argument(
        "--prices", metavar="FILE", type=Path, required=True, help="a history (CSV), or shocks or a spread (YAML)"
    )
    parser.add_argument("--shelf", metavar="PATH", type=Path, help="use this shelf in place of the files'")
    parser.add_argument("--others", choices=("follow", "stay"), help="what prices without a column do (follow)")
    parser.add_argument("--today", metavar="ROW", help="which row of a history stands for today's shelf (the last)")
    parser.add_argument("--scenarios", metavar="N", type=int, help="how many are drawn of a spread")
    parser.add_argument("--seed", metavar="N", type=int, help="draw other scenarios of the same spread")
    parser.add_argument("--workers", metavar="N", type=int, help="processes of this machine (its cores)")
    parser.add_argument("--on", metavar="ADDRESS", help="a Dask scheduler, as in localhost:8786")
    parser.add_argument("--keep", metavar="FOLDER", type=Path, help="keep what is done, to be gone on with")
    parser.add_argument("--resume", action="store_true", help="go on with what --keep has kept")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="also write the charts (SVG)")
    parser.add_argument(
        "--table", metavar="FILE", type=Path, help="also write every scenario (.csv, or .parquet with pyarrow)"
    )
    parser.add_argument("--force", action="store_true", help="let --svg and --table write over a file")
    add_full(parser)
    add_output(parser)


def refused(asked: argparse.Namespace) -> str:
    """What of the options cannot stand together, in words; nothing where all can."""
    if asked.resume and asked.keep is None:
        return "--resume goes on with what --keep has kept: name the folder by --keep"
    if asked.svg is not None and asked.table is not None and is_one(asked.svg, asked.table):
        return "--svg and --table name one and the same file: give each a name of its own"
    if asked.on is not None and asked.workers is not None:
        return "--workers are processes of this machine, and --on names a cluster: leave one out"
    if asked.workers is not None and not 1 <= asked.workers <= MOST_WORKERS:
        return f"--workers is from 1 to {MOST_WORKERS}, not {asked.workers}"
    return ""


def is_one(one: Path, other: Path) -> bool:
    """Whether two paths come to one file, whether it is there or not."""
    return os.path.realpath(one) == os.path.realpath(other)


MOST_WORKERS = 256

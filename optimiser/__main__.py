"""`barwright`, and `python -m optimiser`: from the first moment on an interrupt ends it at once and without a word.

Nothing is loaded before that is so. Whatever was not yet written is dropped: an answer is written whole or not at all.
"""

from __future__ import annotations

import gc
import os
import signal
import sys

INTERRUPTED = 130  # as shells count it: 128 and the number of the signal


def leave(*_: object) -> None:
    """End now, in the midst of loading or of a search; a line of progress is wiped first."""
    progress = sys.modules.get("optimiser.cli.progress")
    if progress is not None and hasattr(progress, "wipe"):
        progress.wipe()
    os._exit(INTERRUPTED)


def run() -> int:
    """Run the command line and return its exit code."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:  # not where whoever started us has it ignored
        signal.signal(signal.SIGINT, leave)
    from optimiser.cli.main import main

    try:
        return main()
    finally:
        gc.freeze()  # the process ends here: going through all that is left, to free it, would take a tenth of its time


if __name__ == "__main__":
    raise SystemExit(run())

"""`python -m optimiser` is `barwright`."""

from optimiser.cli import main

if __name__ == "__main__":
    raise SystemExit(main())

"""Where something was said: a place in a file, carried as a value by what is asked and told back by whoever shows it.

Rooms that know no files take the value from here; only `text/` makes one from a text.
"""

from optimiser.text.spans import Span

__all__ = ["Span"]

"""Every kind of fault and of warning that is told of what people write, by its stable short name.

What each means to a soap maker, and what to do, stands in ``catalogue.csv`` beside this (`optimiser.text.catalogue`).
"""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

Severity = Literal["error", "warning"]


class Code(StrEnum):
    """The kinds of fault; programs that read our JSON go by these names, so none ever changes its meaning.

    A fault is an error, which stops an answer, or a warning, which is told beside one.
    """

    ABOVE_USUAL = "above-usual"
    AFTER_QUOTE = "after-quote"
    ALIAS_CYCLE = "alias-cycle"
    BACKSLASH = "backslash"
    BAD_CURRENCY = "bad-currency"
    BAD_PATH = "bad-path"
    BAD_RECORD = "bad-record"
    BORROWED_FIGURES = "borrowed-figures"
    BUSY_RECORD = "busy-record"
    CANNOT_WRITE = "cannot-write"
    CHANGED_SWEEP = "changed-sweep"
    COARSE_BALANCE = "coarse-balance"
    COMMA = "comma"
    CONTRADICTION = "contradiction"
    DANGLING_LINK = "dangling-link"
    EMPTY_FILE = "empty-file"
    EXPIRED_LOT = "expired-lot"
    FILE_EXISTS = "file-exists"
    FILE_IN_USE = "file-in-use"
    FOLDER = "folder"
    FOLDER_IN_USE = "folder-in-use"
    GLUED_COLON = "glued-colon"
    GLUED_DASH = "glued-dash"
    GREATER_THAN = "greater-than"
    IMPLAUSIBLE_SAPONIFICATION = "implausible-saponification"
    INDENT = "indent"
    LOT_NOT_ON_SHELF = "lot-not-on-shelf"
    LYE_HEAVY = "lye-heavy"
    MEASURES_UNKNOWN = "measures-unknown"
    MERGE_KEY = "merge-key"
    MISSING_COLON = "missing-colon"
    MISSING_COLUMN = "missing-column"
    MISSING_COMMA = "missing-comma"
    MISSING_KEY = "missing-key"
    NEEDS_CERTIFICATE = "needs-certificate"
    NEWER_RECORD = "newer-record"
    NO_CLUSTER = "no-cluster"
    NO_DATE = "no-date"
    NO_FATS = "no-fats"
    NO_FIGURE = "no-figure"
    NO_FOLDER = "no-folder"
    NO_PLAIN_FILE = "no-plain-file"
    NO_READING = "no-reading"
    NO_RECIPE = "no-recipe"
    NO_RECORD = "no-record"
    NO_SCALE = "no-scale"
    NO_SUCH_FILE = "no-such-file"
    NO_SWEEP = "no-sweep"
    NO_TRIALS = "no-trials"
    NO_UNIT = "no-unit"
    NO_VALUE = "no-value"
    NOT_A_FIGURE = "not-a-figure"
    NOT_A_LEVER = "not-a-lever"
    NOT_A_SWITCH = "not-a-switch"
    NOT_IN_RECIPE = "not-in-recipe"
    NOT_ON_THE_SHELF = "not-on-the-shelf"
    NOT_TEXT = "not-text"
    NOT_UTF_8 = "not-utf-8"
    NOT_WHOLE = "not-whole"
    NOT_YAML = "not-yaml"
    ODD_KEY = "odd-key"
    ODD_ORDER = "odd-order"
    ODD_PRICE = "odd-price"
    ODD_TIME = "odd-time"
    ODD_TOLERANCE = "odd-tolerance"
    OPEN_BAND = "open-band"
    OPEN_BRACKET = "open-bracket"
    OPEN_QUOTE = "open-quote"
    ONLY_AT_LEAST = "only-at-least"
    OTHER_CURRENCY = "other-currency"
    OTHER_MATERIAL = "other-material"
    OUT_OF_RANGE = "out-of-range"
    PAST_BEST_BEFORE = "past-best-before"
    RANGE = "range"
    REPEATED_KEY = "repeated-key"
    REPEATED_NAME = "repeated-name"
    RESERVED_MARK = "reserved-mark"
    SECOND_COLON = "second-colon"
    SEVERAL_DOCUMENTS = "several-documents"
    SEVERAL_RECORDS = "several-records"
    SHARED_FOLDER = "shared-folder"
    SHARE_OR_FRACTION = "share-or-fraction"
    STRAY_BRACKET = "stray-bracket"
    TAB = "tab"
    TAG = "tag"
    TAKEN_BATCH = "taken-batch"
    TAKEN_NAME = "taken-name"
    TOO_DEEP = "too-deep"
    TOO_LARGE = "too-large"
    TOO_LONG = "too-long"
    TOO_MANY_ALIASES = "too-many-aliases"
    TOO_MANY_CELLS = "too-many-cells"
    TOO_MANY_ENTRIES = "too-many-entries"
    TOO_MUCH = "too-much"
    UNKNOWN_ADDITIVE = "unknown-additive"
    UNKNOWN_ALIAS = "unknown-alias"
    UNKNOWN_ALKALI = "unknown-alkali"
    UNKNOWN_BATCH = "unknown-batch"
    UNKNOWN_CODE = "unknown-code"
    UNKNOWN_COLUMN = "unknown-column"
    UNKNOWN_DESIGN = "unknown-design"
    UNKNOWN_FAT = "unknown-fat"
    UNKNOWN_ITEM = "unknown-item"
    UNKNOWN_KEY = "unknown-key"
    UNKNOWN_KIND = "unknown-kind"
    UNKNOWN_LEVER = "unknown-lever"
    UNKNOWN_LIQUID = "unknown-liquid"
    UNKNOWN_LOT = "unknown-lot"
    UNKNOWN_MEASURE = "unknown-measure"
    UNKNOWN_RULE = "unknown-rule"
    UNKNOWN_TAG = "unknown-tag"
    UNKNOWN_USER = "unknown-user"
    UNKNOWN_WORD = "unknown-word"
    UNREADABLE = "unreadable"
    UNTOLD_FAT = "untold-fat"
    USAGE = "usage"
    WHICH_SHELF = "which-shelf"
    WRONG_FILE = "wrong-file"
    WRONG_NAME = "wrong-name"
    WRONG_SHAPE = "wrong-shape"
    WRONG_SLOPE = "wrong-slope"
    WRONG_SUFFIX = "wrong-suffix"
    WRONG_UNIT = "wrong-unit"

    @property
    def severity(self) -> Severity:
        """How grave it is."""
        return "warning" if self in WARNINGS else "error"


OF_THE_RECORD = frozenset(
    {
        Code.LOT_NOT_ON_SHELF,
        Code.OTHER_MATERIAL,
        Code.PAST_BEST_BEFORE,
        Code.SEVERAL_RECORDS,
        Code.SHARED_FOLDER,
    }
)
"""Warnings of a batch that is recorded, or of where: no line of a file gives cause to them."""
WARNINGS = OF_THE_RECORD | {
    Code.ABOVE_USUAL,
    Code.BORROWED_FIGURES,
    Code.EXPIRED_LOT,
    Code.MEASURES_UNKNOWN,
    Code.ODD_ORDER,
    Code.ODD_PRICE,
    Code.ODD_TOLERANCE,
}

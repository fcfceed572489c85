"""What a wish is called and how it is worded: its id and its words as values, whose parts nobody has to take apart."""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from optimiser.measures.sides import Side

NUMBER_OF_FATS = "number of fats"
EACH_FAT = "each fat"


class Origin(StrEnum):
    """Whose wish it is, and of what kind."""

    PHYSICS = "physics"
    PRACTICE = "practice"
    GOAL = "goal"
    SHARE = "share"
    ADDITIVE = "additive"
    LIQUID = "liquid"
    EXCLUSION = "exclusion"
    COUNT = "count"
    STOCK = "stock"
    BUYING = "buying"
    DESIGN = "design"
    PREFERENCE = "preference"


class Section(StrEnum):
    """Where a wish stands: a section of the goal file, house practice, the shelf, or what no blend goes without."""

    GOALS = "goals"
    SHARES = "shares"
    ADDITIVES = "additives"
    LIQUIDS = "liquids"
    FREE_FROM = "free_from"
    FATS = "fats"
    PRACTICE = "practice"
    DESIGN = "design"
    FOR = "for"
    PREFER = "prefer"
    USE_UP = "use_up"
    NEAR = "near"
    STOCK = "stock"
    BUY = "buy"
    PHYSICS = "physics"


ORIGINS = MappingProxyType(
    {
        Section.GOALS: Origin.GOAL,
        Section.SHARES: Origin.SHARE,
        Section.ADDITIVES: Origin.ADDITIVE,
        Section.LIQUIDS: Origin.LIQUID,
        Section.FREE_FROM: Origin.EXCLUSION,
        Section.FATS: Origin.COUNT,
        Section.PRACTICE: Origin.PRACTICE,
        Section.DESIGN: Origin.DESIGN,
        Section.FOR: Origin.DESIGN,
        Section.PREFER: Origin.PREFERENCE,
        Section.USE_UP: Origin.PREFERENCE,
        Section.NEAR: Origin.PREFERENCE,
        Section.STOCK: Origin.STOCK,
        Section.BUY: Origin.BUYING,
        Section.PHYSICS: Origin.PHYSICS,
    }
)
ONE_SIDED = frozenset({Section.FREE_FROM, Section.STOCK, Section.BUY, Section.PHYSICS, Section.USE_UP})
"""Sections in which a key has one side alone, so that its text need not say which."""


class WishId(NamedTuple):
    """What one wish is known by, from the goal file to the answer.

    `key` is the canonical name that the wish is on (of house practice the rule's name); `within` is the design or person
    that asks, or the step of a preference, counted from 0; without a key it is the design itself. Names may hold dots: the text is for people and JSON, and
    is never read back.
    """

    section: Section
    key: str
    side: Side
    within: str = ""

    def __str__(self) -> str:
        """As JSON has it: "goals.hardness.at_least", "design.fine swirl.trace_speed.at_most", "free_from.palm"."""
        if self.section == Section.FATS:
            return f"{self.section}.{self.count_key}"
        if not self.key:
            return f"{self.section}.{self.within}"
        side = () if self.section in ONE_SIDED else (self.side,)
        return ".".join((self.section, *filter(None, (self.within,)), self.key, *side))

    @property
    def origin(self) -> Origin:
        """Whose wish it is."""
        return ORIGINS[self.section]

    @property
    def count_key(self) -> str:
        """The key under `fats:` of a wish on the number of fats, or on the smallest share."""
        return f"each_{self.side}" if self.key == EACH_FAT else str(self.side)

    @property
    def names_its_side(self) -> bool:
        """Whether the same key could have a wish on another side."""
        return self.section not in ONE_SIDED

    def on(self, side: Side) -> WishId:
        """The wish on another side of the same key."""
        return self._replace(side=side)


class Whose(StrEnum):
    """Who asks."""

    OWN = "own"
    HOUSE = "house practice"
    SHELF = "your shelf's own end"
    RECIPE = "as in the recipe"
    DESIGN = "design"
    FOR = "for"
    STOCK = "stock"
    LEFT = "left by the other bars"


class Said(NamedTuple):
    """The words of one side of a wish, in parts.

    `subject` is what the wish is on; without a side it is all there is to say ("free from palm"). `figure` is the figure
    with its unit, and `word` the word that was written for it. `between` are both ends where both were written as one,
    `band` the word that alone stood for them. `meaning` is the index that a figure in a unit of the maker's own comes
    to, `remark` what else is to be said. Where `whose` is a design's or that of whom the bar is for, `owner` names it.
    """

    subject: str
    side: Side | None = None
    figure: str = ""
    word: str = ""
    between: tuple[str, str] | None = None
    band: str = ""
    meaning: str = ""
    remark: str = ""
    whose: Whose = Whose.OWN
    owner: str = ""

    def __str__(self) -> str:
        """All of it in a line, as JSON and the notes of a fault have it."""
        return f"{self.by}{self.wish}"

    @property
    def by(self) -> str:
        """Who asks, before the wish: "house practice: ", "as in the recipe: ", "design fine swirl: "; nothing where it is the maker."""
        if self.whose in (Whose.HOUSE, Whose.SHELF, Whose.RECIPE):
            return f"{self.whose}: "
        return f"{self.whose} {self.owner}: " if self.owner else ""

    @property
    def wish(self) -> str:
        """What is asked: both ends where both were written, and which of them this is."""
        if self.whose == Whose.STOCK:
            remark = f", {self.remark}" if self.remark else ""
            return f"{self.subject} in stock: {self.figure}{remark}"
        if self.whose == Whose.LEFT:
            return f"what the other bars leave: {self.left}"
        if self.between is not None or self.band:
            return f"{self.whole} ({self.limit})"
        if not self.side:
            return self.subject
        meaning = f" ({self.subject} {self.meaning})" if self.meaning else ""
        remark = f" ({self.remark})" if self.remark else ""
        return f"{self.subject} {self.side.words} {self.end}{meaning}{remark}"

    @property
    def left(self) -> str:
        """What is left of a fat: "0.75 kg of castor oil", or "no castor oil"."""
        return f"{self.figure} of {self.subject}" if self.figure else f"no {self.subject}"

    @property
    def whole(self) -> str:
        """What is asked where both ends, or a word for them, were written: without which of them this is."""
        if self.between is not None:
            return f"{self.subject} between {self.between[0]} and {self.between[1]}"
        return f"{self.subject} {self.band}" if self.band else self.wish

    @property
    def limit(self) -> str:
        """This side alone, without what it is on: "at least 45"; in points where it was written in another unit."""
        if self.between is not None and self.meaning:
            return self.meaning
        return f"{self.side.words} {self.end}" if self.side else ""

    @property
    def end(self) -> str:
        """The figure, and the word that was written for it."""
        return f"{self.word} ({self.figure})" if self.word else self.figure

"""The fats of the reference table in words: all of them in a list, one of them on a card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from optimiser.report import words
from optimiser.report.terminal.page import Column, Gap, Heading, Line, Paper, Part, Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from optimiser.analysis.usual_stand_ins import UsualStandIn
    from optimiser.materials.composition import Fact, Figure
    from optimiser.materials.fat import Fat

HOW = {
    "read": "read in the source",
    "memory": "recalled from memory, not looked up",
    "computed": "worked out from the source",
}
TRACE = 0.05  # per cent: an acid below this is not told
LONGEST_BAR = 24
MOST_DIFFERENCES = 3  # of a stand-in, told on a card
SMALL_RANGE = 5.0  # a range that ends below this is told in tenths
WORST, ORDINARY = "worst case", "95 % of lots"
SCALE = (0.0, 100.0)  # a figure of a fat alone beyond these says only on which side it lies


def listing(fats: Sequence[Fat]) -> Iterator[Part]:
    """Every fat by kind: saponification and iodine value with their ranges, and tags."""
    columns = (
        *(Column("fat", wraps=True, least=26), Column("SV", "right"), Column("range", "right")),
        *(Column("iodine", "right"), Column("range", "right"), Column("tags", wraps=True)),
    )
    from optimiser.materials.fat import HELD, PLURALS

    for kind, plural in PLURALS.items():
        chosen = [fat for fat in fats if fat.kind == kind]
        if not chosen:
            continue
        yield Heading(plural.capitalize(), str(len(chosen)))
        yield Table(columns, [row(fat) for fat in chosen])
        yield Gap()
    yield Line(" ".join(HELD.values()), indent=0)
    yield Line(
        "SV: saponification value in mg KOH/g that counts towards alkali (for waxes and fatty acids the acid value); "
        "iodine value in g I2/100 g. Ranges are the worst that lots may be; a card says how far ordinary lots go.",
        indent=0,
    )
    yield Line("One fat with its acids and sources: barwright fats NAME", style="bold", indent=0)


def row(fat: Fat) -> tuple[str, ...]:
    """One fat in the list."""
    return (
        fat.name,
        f"{fat.saponification.value:.1f}",
        _range(fat.saponification, places(fat.saponification)),
        f"{fat.iodine.value:.1f}",
        _range(fat.iodine, places(fat.iodine)),
        ", ".join(sorted(fat.tags)),
    )


def places(figure: Figure) -> int:
    """Decimals of a range in the list: one where whole numbers would say next to nothing."""
    return 1 if figure.high < SMALL_RANGE else 0


def _range(figure: Figure, decimals: int = 1) -> str:
    return f"{figure.low:.{decimals}f}-{figure.high:.{decimals}f}"


def card(fat: Fat, paper: Paper, stand_ins: Sequence[UsualStandIn] = ()) -> Iterator[Part]:
    """Everything that is known of one fat, and from where; `stand_ins` are what is used in its place."""
    yield Heading(fat.name, fat.kind)
    if fat.synonyms:
        yield Line(f"also called {', '.join(fat.synonyms)}", hang=2)
    if fat.tags:
        yield Line(f"tags: {', '.join(sorted(fat.tags))}", hang=2)
    yield Gap()
    yield from figures(fat)
    yield from profile(fat, paper)
    yield from alone(fat)
    yield from in_its_place(fat, stand_ins)
    yield from label(fat)
    if fat.notes:
        yield Heading("Notes")
        for note in fat.notes:
            yield Line(words.sentence(note), hang=2)
        yield Gap()
    yield from published(fat.facts)


def figures(fat: Fat) -> Iterator[Part]:
    """Figures that recipes are worked out with."""
    counted = "the acid value, which is what counts towards alkali" if fat.kind in {"wax", "fatty acid"} else WORST
    rows = [
        ("saponification value", f"{fat.saponification.value:.1f}", _range(fat.saponification), "mg KOH/g", counted),
        ("iodine value", f"{fat.iodine.value:.1f}", _range(fat.iodine), "g I2/100 g", ""),
        ("unsaponifiable", f"{fat.unsaponifiable.value:.1f}", _range(fat.unsaponifiable), "g/kg", ""),
        ("density at 40 degC", f"{fat.density:.3f}", "", "kg/L", ""),
    ]
    if fat.kind != "wax":
        hardly = fat.saponification.value - fat.spread
        rows.insert(1, ("likely low", f"{hardly:.1f}", "", "mg KOH/g", ORDINARY))
    if fat.soap_yield < 1.0:
        rows.append(
            (
                "share that makes soap",
                words.figure(100 * fat.soap_yield, ""),
                "",
                "%",
                "the rest stays in the bar as it is",
            )
        )
    columns = (Column(), Column("worked with", "right"), Column("range", "right"), Column(), Column(wraps=True))
    yield Table(columns, rows)
    yield Gap()


def profile(fat: Fat, paper: Paper) -> Iterator[Part]:
    """The fatty acids, largest first, with a bar each."""
    from optimiser.materials.fatty_acids import acid

    told = sorted(
        ((share, name) for name, share in fat.acids.items() if share >= TRACE), key=lambda item: (-item[0], item[1])
    )
    if not told:
        return
    top = told[0][0]
    rows = []
    for share, name in told:
        low, high = fat.acid_ranges.get(name, (share, share))
        length = max(1, round(LONGEST_BAR * share / top)) if top else 0
        rows.append((name, acid(name).name, f"{share:.1f}", f"{low:.1f}-{high:.1f}", paper.marks.allowed * length))
    yield Heading("Fatty acids", "% of all acids")
    yield Table((Column(), Column(), Column("typical", "right"), Column("range", "right"), Column()), rows)
    yield Gap()


def alone(fat: Fat) -> Iterator[Part]:
    """What a bar of this fat alone would measure."""
    from optimiser.measures.measures import measures
    from optimiser.measures.profiles import own_measures

    known = measures()
    own = own_measures([fat])[0]
    told = []
    for name, value in own.items():
        told.append(f"{known[name].words} {on_scale(value, known[name].band(value))}".replace(" ", words.GLUE))
    yield Heading("A bar of it alone")
    yield Line(f"{', '.join(told)}.")
    if fat.kind in {"wax", "fatty acid"}:
        yield Line(
            "No such bar is ever poured: the figures only say which way a pinch of it pulls a blend.", style="bold"
        )
    yield Line("Offsets included, 5 % superfat. Rank order is trusted, absolute figures are comparative.")
    yield Gap()


def in_its_place(fat: Fat, stand_ins: Sequence[UsualStandIn]) -> Iterator[Part]:
    """What is used in place of it, ranked, with a word on what differs."""
    if not stand_ins:
        return
    yield Heading("Used in its place", "best first")
    for number, item in enumerate(stand_ins, start=1):
        differs = [one.words for one in item.differs[:MOST_DIFFERENCES]] or ["much the same in the bar"]
        said = "; ".join([*differs, *(state.words for state in item.brings)])
        yield Line(f"{number}. {item.found.fat.name} ({item.found.fat.kind}): {said}", hang=3)
    yield Line(
        "Ranked by kind, by what it does in an ordinary bar with no more of it than is usual, and by likeness of acids. The alkali is "
        "always worked out again:"
    )
    yield Line(f"barwright swap RECIPE --out {words.quoted(fat.name)}", style="bold", whole=True)
    yield Gap()


def on_scale(value: float, band: str) -> str:
    """A figure with its band word; one far off the scale of a bar is only said to be so, and on which side."""
    low, high = SCALE
    if low <= value <= high:
        return words.figure(value, "") + (f" ({band})" if band else "")
    return f"off the scale ({band or ('low' if value < low else 'high')})"


def label(fat: Fat) -> Iterator[Part]:
    """INCI names for an ingredient list, with a mark where they were not verified."""
    if fat.label is None:
        return
    found = fat.label
    rows = [
        ("in the bar as oil", found.oil),
        ("in the EU", found.in_eu),
        ("as sodium soap", found.sodium_soap),
        ("as potassium soap", found.potassium_soap),
        ("origin", found.origin),
        ("allergen", found.allergen),
    ]
    yield Heading("INCI names", "verified" if found.verified else "NOT VERIFIED: check before printing a label")
    yield Table((Column(), Column(wraps=True)), [pair for pair in rows if pair[1]])
    yield Line(f"Source: {words.sentence(f'{found.source} ({HOW.get(found.how, found.how)})')}", hang=2)
    yield Gap()


def published(facts: Sequence[Fact]) -> Iterator[Part]:
    """Every published figure under its source, and whether it was read or recalled."""
    if not facts:
        return
    yield Heading("Published figures", words.counted(len(facts), "figure"))
    groups: dict[tuple[str, str, str], list[Fact]] = {}
    for fact in facts:
        groups.setdefault((fact.source, fact.locator, fact.how), []).append(fact)
    for (source, locator, how), told in groups.items():
        place = f", {locator}" if locator else ""
        yield Line(f"{source}{place} [{HOW.get(how, how)}]", style="bold", hang=2)
        yield Line(f"{'; '.join(fact_words(fact) for fact in told)}.", indent=4)
        for note in dict.fromkeys(fact.note for fact in told if fact.note):
            yield Line(f"note: {note}", indent=4, hang=2)


def fact_words(fact: Fact) -> str:
    """One figure: "C12:0 45.1-53.2", with its unit unless it is a share of the acids."""
    low, high = fact.low, fact.high
    if low is not None and high is not None:
        span = f"{low:g}" if low == high else f"{low:g}-{high:g}"
    else:
        span = f"up to {high:g}" if high is not None else f"from {low:g}" if low is not None else "not told"
    unit = "" if fact.unit.startswith("%") else f" {fact.unit}"
    second = " (an alternative)" if fact.alternative else ""
    return f"{fact.property.replace('_', ' ')} {span}{unit}{second}".replace(" ", words.GLUE)

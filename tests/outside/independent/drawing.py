"""Goal files and shelves drawn at random, as text: limits laid around a blend of the shelf, some of them out of reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random

import numpy as np
from outside.independent import tables
from outside.independent.pot import POTASSIUM, SODIUM, Figure, Pot, Vector
from outside.independent.reading import Side, pot_of, read, tree

LAURIC = ("coconut oil", "palm kernel oil", "babassu oil")
COMMON = (
    *("palm oil", "olive oil", "rapeseed oil", "sunflower oil", "high oleic sunflower oil", "lard", "beef tallow"),
    *("shea butter", "cocoa butter", "castor oil", "rice bran oil", "soybean oil", "palm stearin", "avocado oil"),
)
EXTRAS = ("sodium lactate", "salt", "sugar", "citric acid", "sodium citrate", "honey", "lactic acid", "kaolin")
LIQUIDS = ("goat milk", "coconut milk", "aloe juice", "beer", "yogurt", "banana puree")
SMALL = frozenset({"strong smelling", "hydrogenated", "strongly unsaturated"})
RATIOS = ("superfat", "worst_case_superfat", "lye_concentration", "water_to_alkali", "cost")
FIGURES = (
    *(
        "hardness",
        "wear_life",
        "quick_lather",
        "lasting_lather",
        "harshness",
        "mildness",
        "rancidity",
        "trace_speed",
        "set_up",
    ),
    *("scum", "ash_risk", "saponification_value", "iodine_value", "short_saturated", "long_saturated"),
    *("saturated", "monounsaturated", "polyunsaturated", "linolenic", "C12:0", "C18:1", "water_share_of_fats"),
)
SOME_OF_JUG = 10  # per cent, to lay the column of a liquid
HOSTILE = 0.35  # of the files have limits that leave the blend itself outside
OFTEN = (
    "harshness",
    "mildness",
    "hardness",
    "trace_speed",
    "superfat",
    "water_to_alkali",
)  # what designs and people speak of
PINCHES_OFF = 0.8  # of the files
TRIED = 60  # blends of which the most ordinary is laid limits around
BATCHES = (
    *("", "batch: {fats: 2.5 kg}", "batch: {bars: 24, cured_weight: 105 g}", "batch: {fats: 800 g, gel: yes}"),
    "batch: {mould: {length: 30 cm, width: 9 cm, depth: 7 cm}, batter_temperature: 42 degC}",
    "batch: {bars: 12, cured_water: 12 %}",
)


class Draw:
    """One shelf and one goal file of a seed."""

    def __init__(self, seed: int) -> None:
        self.rng = Random(seed)  # noqa: S311
        self.hostile = self.rng.random() < HOSTILE
        self.batch = self.rng.choice(BATCHES)
        self.shelf = self._shelf()
        self.extra = self.rng.sample(EXTRAS, self.rng.choice((0, 0, 0, 1, 1, 2)))
        listed = "".join(f"additives: {{{', '.join(f'{name}: 1 %' for name in self.extra)}}}\n" if self.extra else "")
        self.poured = self.rng.sample(LIQUIDS, self.rng.choice((0, 0, 0, 0, 1, 2)))
        poured = ", ".join(f"{name}: {SOME_OF_JUG} %" for name in self.poured)
        self.head = f"{self.batch}\n{listed}" + (f"liquids: {{{poured}}}\n" if poured else "")
        self.pot = pot_of(tree(self.head), tree(self.shelf))
        self.blend = self._pourable()
        self.goals = "\n".join(["title: a bar drawn at random", "shelf: shelf.yaml", *self._lines()]) + "\n"

    def _some(self, chance: float) -> bool:
        return self.rng.random() < chance

    # -- the shelf -------------------------------------------------------------------------------------------------

    def _shelf(self) -> str:
        rng = self.rng
        scarce = 0.3 if "mould" in self.batch else 0.15
        names = {rng.choice(LAURIC), *rng.sample(COMMON, rng.randint(2, 5)), *rng.sample(tables.fat_names(), 2)}
        lines = ["title: an invented shelf", "currency: EUR", "fats:"]
        for name in sorted(names):
            known = tables.fat(name)
            stock = f", stock: {rng.uniform(0.02, 1.2):.2f} kg" if self._some(scarce) else ""
            value = known.saponification + rng.uniform(-1.0, 1.0)
            lot = ""
            if self._some(0.15) and known.kind not in ("wax", "fatty acid"):
                lot = f", lot: {{number: L{rng.randint(1, 99)}, saponification_value: {value:.1f}, tolerance: 1.5}}"
            lines.append(f"  - {{fat: {name}, price: {rng.uniform(1.2, 14.0):.2f} / kg{stock}{lot}}}")
        lines += ["alkalis:", f"  sodium hydroxide: {{price: 2.40 / kg, purity: {rng.choice((96, 98, 100))} %}}"]
        if self._some(0.7):
            lines.append("  potassium hydroxide: {price: 4.10 / kg, purity: 90 %}")
        lines.append("additives:")
        lines += [f"  - {{additive: {name}, price: {rng.uniform(0.5, 9.0):.2f} / kg}}" for name in EXTRAS]
        lines.append("liquids:")
        lines += [f"  - {{liquid: {name}, price: {rng.uniform(0.2, 4.0):.2f} / kg}}" for name in LIQUIDS]
        return "\n".join(lines) + "\n"

    def _pourable(self) -> Vector:
        """Of some blends the one that is nearest to house practice."""
        asked = read(tree(self.head), tree(self.shelf))
        rules = [side for wish in asked.wishes.values() for side in wish.sides if wish.origin in ("practice", "stock")]
        rules = [side for side in rules if side.side != "exactly"]
        tried = [self._blend(self.pot) for _ in range(TRIED)]
        return min(tried, key=lambda blend: sum(missed(side, blend) for side in rules))

    def _blend(self, pot: Pot) -> Vector:
        """A blend of a few fats of the shelf with an ordinary lye, for a kilo of fats."""
        rng = self.rng
        chosen = rng.sample(range(pot.count), rng.randint(3, min(6, pot.count)))
        amounts = np.zeros(pot.size)
        for place in chosen:
            figures = pot.fats[place].figures
            body = figures.kind not in ("wax", "fatty acid")
            most = 0.1 if not body else 1.0 if figures.tags & SMALL or figures.name == "castor oil" else 10.0
            amounts[place] = rng.uniform(0.1, 1.0) * most
        amounts[[item.figures.name in LAURIC for item in pot.fats].index(True)] = rng.uniform(0.2, 0.5) * amounts.sum()
        amounts /= amounts.sum() or 1.0
        for place, (item, _) in enumerate(pot.additives, pot.count + 3):
            amounts[place] = rng.uniform(0.02, 0.09) if item.is_liquid else rng.uniform(0.003, 0.025)
        superfat = rng.choice((0.05, 0.05, rng.uniform(0.02, 0.09)))
        moles = float(pot.free @ amounts) - superfat * float(pot.demand @ amounts)
        potassium = rng.choice((0.0, 0.0, 0.0, 0.05, 0.3)) if "potassium hydroxide" in pot.alkalis else 0.0
        amounts[pot.count] = (1.0 - potassium) * moles / SODIUM
        amounts[pot.count + 1] = potassium * moles / POTASSIUM
        lye = rng.choice((0.33, 0.33, 0.33, rng.uniform(0.27, 0.36)))
        amounts[pot.count + 2] = float(pot.alkali @ amounts) * (1.0 - lye) / lye
        return amounts

    def _value(self, figure: Figure) -> float:
        bottom = float(figure.bottom @ self.blend)
        return float(figure.top @ self.blend) / bottom if bottom else 0.0

    # -- the goal file ---------------------------------------------------------------------------------------------

    def _lines(self) -> Iterator[str]:
        rng = self.rng
        if self.batch:
            yield self.batch
        design, for_whom = self._some(0.2), self._some(0.15)
        names = sorted({str(item["name"]) for item in tables.designs("design").values()})
        people = sorted({str(item["name"]) for item in tables.designs("for").values()})
        if design:
            chosen = rng.sample(names, rng.choice((1, 1, 1, 2)))
            yield f"design: {chosen[0]}" if len(chosen) == 1 else f"design: [{', '.join(chosen)}]"
        if for_whom:
            yield f"for: {rng.choice(people)}"
        yield from self._section("goals", self._goals(light=design or for_whom))
        yield from self._section("shares", self._shares())
        if self._some(0.25):
            yield f"free_from: [{', '.join(rng.sample(self._tags(), rng.choice((1, 1, 2))))}]"
        if self._some(0.25):
            yield self._counts()
        yield from self._section("additives", self._additives())
        yield from self._section("liquids", self._liquids())
        if self._some(0.2):
            yield f"may_use: [{', '.join(rng.sample(EXTRAS, rng.randint(1, 2)))}]"
        wished = list(self._prefer()) if self._some(0.3) else []
        if wished:
            yield "prefer:"
            yield from (f"  - {line}" for line in wished)
        yield from self._practice()

    def _tags(self) -> Sequence[str]:
        """Tags to be free from: any, or where nothing is out of reach those that the blend is free from."""
        return [tag for tag in tables.tags() if self.hostile or self._value(self.pot.share("tag", tag)) == 0.0]

    @staticmethod
    def _section(name: str, lines: Iterator[str]) -> Iterator[str]:
        listed = list(lines)
        if listed:
            yield f"{name}:"
            yield from (f"  {line}" for line in listed)

    def _goals(self, *, light: bool) -> Iterator[str]:
        rng = self.rng
        keys: list[str] = rng.sample(FIGURES, rng.randint(0, 2 if light else 4))
        keys += [name for name in RATIOS if self._some(0.12 if light else 0.2)]
        if light and self._some(0.4):
            keys.append(rng.choice(OFTEN))
        if self.blend[self.pot.count + 1] > 0:
            keys.append("potassium_share")
        keys = list(dict.fromkeys(keys))
        for key in keys:
            if key == "trace_speed" and self._some(0.3):
                yield f"trace_speed: {rng.choice(('slow', 'moderate', 'fast', 'very slow'))}"
            else:
                yield f"{self._spelled(key)}: {self._limit(key)}"
        yield from self._likely()
        yield from self._cure()

    def _cure(self) -> Iterator[str]:
        """Now and then a cure; drawn apart too."""
        own = Random(repr(self.rng.getstate()[1][:5]))  # noqa: S311
        if own.random() < 0.15:
            weeks = own.choice((1, 4, 5, 8, 12, 52, 200))
            yield own.choice(
                (f"cure: {weeks} weeks", f"cure: {{at_least: {weeks} weeks}}", f"cure: {{at_most: {weeks} weeks}}")
            )

    def _likely(self) -> Iterator[str]:
        """Now and then a likely superfat of about the blend's; drawn apart, so that the rest of a file is as it was."""
        own = Random(repr(self.rng.getstate()[1][:4]))  # noqa: S311
        if own.random() < 0.15:
            strays = 100.0 * float(np.linalg.norm(self.pot.strays @ self.blend)) / float(self.pot.demand @ self.blend)
            low = self._value(self.pot.figure("likely_superfat")) - strays - own.uniform(-0.4, 2.0)
            yield f"likely superfat: {{at_least: {max(-20.0, low):.2f} %}}"

    def _spelled(self, key: str) -> str:
        return key.replace("_", " ") if self._some(0.5) else key

    def _limit(self, key: str, *, far: bool = False) -> str:
        """A limit on a figure around the blend; one in five leaves the blend itself outside."""
        rng = self.rng
        unit = {"%": " %", "money": " / kg"}.get(tables.units()[key], "")
        per = rng.choice(("kg", "kg", "lb", "bar")) if key == "cost" else "kg"
        if key == "cost":
            unit = f" / {per}"
        value = self._value(self.pot.figure(key, per))
        scale = 0.06 * value if key == "cost" else tables.scales()[key]
        digits = 3 if key in ("water_to_alkali", "cost") else 1 if scale > 1 else 2
        floor = {"worst_case_superfat": -20.0, "cost": 0.01, "lye_concentration": 10.0, "water_to_alkali": 0.2}
        lowest = floor.get(key, -100.0 if unit == "" and key in tables.MEASURES and key != "rancidity" else 0.0)

        def told(offset: float) -> str:
            top = 50.0 if key == "lye_concentration" else 40.0 if "superfat" in key else 200.0
            top = 100.0 if tables.units()[key] == "%" and top == 200.0 and key != "water_share_of_fats" else top
            top = 300.0 if key in ("saponification_value", "iodine_value") else top
            return f"{min(top, max(lowest, value + offset)):.{digits}f}{unit}"

        slack = scale * (rng.uniform(-4.0, 1.0) if far else rng.uniform(-0.6 if self.hostile else 0.05, 1.5))
        kind = rng.choice(("at_least", "at_most", "at_least", "at_most", "between", "exactly"))
        if key == "cost":
            kind = "at_most"
        if kind == "between":
            return f"{{between: [{told(-abs(slack))}, {told(abs(slack) + scale * rng.random())}]}}"
        if kind == "exactly":
            return told(0.3 * slack)
        return f"{{{kind}: {told(slack if kind == 'at_most' else -slack)}}}"

    def _share_limit(self, now: float) -> str:
        rng = self.rng
        slack = rng.uniform(-5.0 if self.hostile else 0.5, 8.0)
        kind = rng.choice(("at_least", "at_most", "at_most", "between", "exactly"))
        low, high = max(0.0, now - abs(slack)), min(100.0, now + abs(slack) + 1.0)
        if kind == "between":
            return f"{{between: [{low:.1f} %, {high:.1f} %]}}"
        if kind == "exactly":
            return f"{now:.1f} %"
        figure = min(100.0, max(0.0, now + (slack if kind == "at_most" else -slack)))
        return f"{{{kind}: {figure:.1f} %}}"

    def _share_names(self) -> Sequence[tuple[str, str]]:
        fats = [("fat", item.figures.name) for item in self.pot.fats]
        return [*fats, *(("kind", name) for name in tables.PLURALS), *(("tag", name) for name in tables.tags())]

    def _shares(self) -> Iterator[str]:
        names = self._share_names()
        chosen = self.rng.sample(names, self.rng.choice((0, 1, 1, 2, 3)))
        done = set()
        for _, name in chosen:
            subject, key = tables.share_keys()[tables.fold(name)]
            if (subject, key) not in done:
                done.add((subject, key))
                now = self._value(self.pot.share(subject, key))
                small = subject == "fat" and self._some(0.15)
                yield f"{name}: {{at_least: 0.3 %}}" if small else f"{name}: {self._share_limit(now)}"

    def _counts(self) -> str:
        rng = self.rng
        number = int(np.count_nonzero(self.blend[: self.pot.count]))
        kind = rng.choice(("at_most", "at_most", "at_least", "exactly", "each", "both"))
        each = f"each_at_least: {rng.choice((2, 3, 5, 8))} %"
        several = min(number, 4)
        told = {
            "at_most": f"at_most: {max(1, number + rng.choice((-1, 0, 0, 1)))}",
            "at_least": f"at_least: {several}",
            "exactly": f"exactly: {several}",
            "each": each,
            "both": f"at_least: {min(2, number)}, at_most: {number}",
        }[kind]
        return f"fats: {{{told}, {each}}}" if kind != "each" and self._some(0.4) else f"fats: {{{told}}}"

    def _additives(self) -> Iterator[str]:
        for name in self.extra:
            yield f"{name}: {self._amount('additive', name)}"

    def _liquids(self) -> Iterator[str]:
        for name in self.poured:
            yield f"{name}: {self._amount('liquid', name)}"

    def _amount(self, subject: str, name: str) -> str:
        """A limit around what the blend holds, in one of the ways of saying it."""
        unit, said, step = self.rng.choice((("", "%", 1.0), ("", "%", 1.0), ("g", "g", 20.0), ("g/kg", "g / kg", 10.0)))
        now = self._value(self.pot.share(subject, name, unit))
        own = Random(repr(self.rng.getstate()[1][:6]))  # noqa: S311
        if subject == "additive" and own.random() < 0.2:  # beyond where its effect levels off, and a salt bar
            now *= own.choice((2.0, 4.0, 15.0))
        both = f"{{between: [{0.8 * now:.2f} {said}, {now + step:.2f} {said}]}}"
        kinds = (f"{now:.2f} {said}", f"{{at_least: {now:.2f} {said}}}", f"{{at_most: {now + step:.2f} {said}}}", both)
        return self.rng.choice(kinds)

    def _prefer(self) -> Iterator[str]:
        rng = self.rng
        for _ in range(rng.choice((1, 1, 2, 3))):
            if self._some(0.25):
                subject, name = rng.choice(self._share_names())
                where = tables.share_keys()[tables.fold(name)]
                two_things = subject == "fat" and tables.fat(name).kind == "fatty acid"  # a fat, and an acid of fats
                if tables.fold(name) not in tables.goal_keys() and where == (subject, name) and not two_things:
                    yield f"{name}: {self._share_limit(self._value(self.pot.share(*where)))}"
                continue
            key = rng.choice(RATIOS) if self._some(0.25) else rng.choice(FIGURES)
            yield f"{self._spelled(key)}: {self._limit(key, far=True)}"

    def _practice(self) -> Iterator[str]:
        if self._some(0.25):
            yield "practice: off"
        elif self._some(0.25):
            changes = (
                "castor oil: 20 %",
                "lauric oils: {at_most: 24 %}",
                "hardness: off",
                "butters: off",
                "superfat: 4 %",
            )
            chosen = self.rng.sample((*changes, "harshness: 40", "solid fats: {at_most: 60 %}", "keeping: 2.2"), 2)
            yield f"practice: {{{', '.join([*chosen, *self._of_each_fat()])}}}"
        elif of_each := list(self._of_each_fat()):
            yield f"practice: {{{', '.join(of_each)}}}"

    def _of_each_fat(self) -> Iterator[str]:
        """Most files leave pinches as they are, so that costs are those of the cheapest; drawn apart as the likely superfat is."""
        own = Random(repr(self.rng.getstate()[1][:4]) + "each")  # noqa: S311
        if own.random() < PINCHES_OFF:
            yield "pinches: off"
        elif own.random() < 0.2:
            yield "pinches: 5 %"
        if own.random() < 0.1:
            yield own.choice(("one fat: 60 %", "one fat: off", "one fat: {at_most: 45 %}"))


def missed(side: Side, blend: Vector) -> float:
    """How far a blend misses a limit, in parts of it."""
    value = float(side.figure.top @ blend) / float(side.figure.bottom @ blend)
    over = value - side.limit if side.side == "at_most" else side.limit - value
    return max(0.0, over) / max(1.0, side.limit)


def draw(seed: int) -> tuple[str, str]:
    """A goal file and a shelf of a seed, as text."""
    drawn = Draw(seed)
    return drawn.goals, drawn.shelf

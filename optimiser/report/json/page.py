"""What the page shows, as data: an answer with its scales, a blend while a limit is moved, room, words, faults."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from optimiser.answers.page_answer import Page, Rooms
from optimiser.answers.page_drag import Moved
from optimiser.answers.page_room import Room
from optimiser.answers.page_scales import Scale
from optimiser.answers.page_ways import TextEdit
from optimiser.answers.page_words import Word, Words
from optimiser.answers.results import Blend
from optimiser.problem.shelf import Shelf, Stocked, StockedAdditive
from optimiser.report.json import documents
from optimiser.report.json.parts import FORMAT, Json, money, number
from optimiser.report.json.reference import figure_data
from optimiser.text.diagnostics import Diagnostic, as_data

LEFT_OUT = ("figures", "steps", "certificate", "warnings")  # of a blend: what the page does not show
FIGURES = {"saponification_value": "saponification value", "acid_value": "acid value", "iodine_value": "iodine value"}
OTHERS = ("practice", "stock")  # wishes that are told where a blend stands at them


def page(story: Page, written: Mapping[str, Any]) -> Json:
    """The data of an answer; `written` is what the text says, key by key."""
    found = story.story
    told = blend_part(found) if isinstance(found, Blend) else none_part(documents.no_blend(found), story.ways)
    return {
        "format": FORMAT,
        "status": "optimal" if isinstance(found, Blend) else "infeasible",
        "title": found.title,
        "currency": story.shelf.currency,
        **told,
        "scales": [scale_part(one) for one in story.scales],
        "shelf": shelf_part(story.shelf),
        "written": written,
        "warnings": faults_part(found.warnings),
    }


def blend_part(blend: Blend) -> Json:
    """A blend without what the page does not show; of the house's rules those that it stands at."""
    data = documents.blend(blend)
    told = [line for line in data["goals"] if line["origin"] not in OTHERS or line["binding"]]
    kept = {key: value for key, value in data.items() if key not in LEFT_OUT}
    proved = {"exact": blend.proof.exact, "gap": number(blend.proof.gap, 6), "covers": blend.proof.covers}
    return {"blend": {**kept, "goals": told, "proof": proved}}


def none_part(data: Json, ways: Sequence[tuple[TextEdit, ...] | None]) -> Json:
    """Why there is none; each way out with the changes of the text that it asks for."""
    edits = [None if way is None else [edit_part(edit) for edit in way] for way in ways]
    offered = [{**way, "edits": edit} for way, edit in zip(data["concessions"], edits, strict=True)]
    return {"none": {"clashes": data["clash_details"], "complete": data["complete"], "ways": offered}}


def edit_part(edit: TextEdit) -> Json:
    """A change of the text."""
    return {"do": edit.do, "path": list(edit.path), **({"value": edit.value} if edit.value else {})}


def scale_part(scale: Scale) -> Json:
    """One scale."""
    return {
        "id": scale.id,
        "section": str(scale.section),
        "words": scale.words,
        "unit": scale.unit,
        "now": number(scale.now),
        "step": number(scale.step),
        "low": number(scale.low),
        "high": number(scale.high),
        "handles": [
            {
                "id": str(one.wish),
                "section": str(one.wish.section),
                "key": one.wish.key,
                "side": str(one.wish.side),
                "value": number(one.value),
                "says": one.said,
                "line": one.line,
            }
            for one in scale.handles
        ],
        "marks": [
            {"side": str(one.side), "value": number(one.value), "says": one.said, "why": one.why, "status": one.status}
            for one in scale.marks
        ],
        "about": scale.about,
        "high_means": scale.high_means,
        "observed_by": scale.observed_by,
        "unsure": scale.unsure,
        "source": scale.source,
        "status": scale.status,
        "bands": [[word, number(low), number(high)] for word, low, high in scale.bands],
    }


def shelf_part(shelf: Shelf) -> Json:
    """The fats that there are, each once."""
    fats = {item.fat.name: fat_part(item) for item in shelf.fats}
    return {
        "title": shelf.title,
        "file": shelf.path,
        "fats": list(fats.values()),
        "additives": [extra_part(item) for item in shelf.additives.values()],
        "liquids": [extra_part(item) for item in shelf.liquids.values()],
    }


def fat_part(item: Stocked) -> Json:
    """A fat with the figures that alkali and measures are reckoned from, and whence each of them is."""
    fat = item.fat
    told = [fact for fact in fat.facts if fact.property in FIGURES and not fact.alternative]
    return {
        "fat": fat.name,
        "kind": fat.kind,
        "tags": sorted(fat.tags),
        "price": money(item.price),
        "lot": item.number or None,
        "borrowed": item.borrowed or None,
        "saponification_value": figure_data(fat.saponification),
        "iodine_value": None if "iodine" in fat.untold else figure_data(fat.iodine),
        "sources": [
            {"of": FIGURES[fact.property], "source": fact.source, "locator": fact.locator, "how": fact.how}
            for fact in told
        ],
    }


def extra_part(item: StockedAdditive) -> Json:
    """An additive or a liquid: what it does, and the usual most in per cent of the fats."""
    known = item.additive
    return {
        "name": known.name,
        "does": known.effect,
        "usual_most": number(known.usual_high),
        "price": money(item.price),
        "tags": sorted(known.tags),
    }


def moved(story: Moved) -> Json:
    """The blend while a limit is moved."""
    told = {} if story.blend is None else blend_part(story.blend)
    return {
        "format": FORMAT,
        "status": "infeasible" if story.blend is None else "optimal",
        **told,
        "tight": list(story.tight),
        "now": {name: number(value) for name, value in story.now},
        "held": story.held,
    }


def rooms(story: Rooms | None) -> Json:
    """The room of every figure."""
    return {"format": FORMAT, "rooms": {} if story is None else room_part(story.rooms)}


def room_part(found: Iterable[Room]) -> Json:
    """Ends by figure."""
    return {one.id: [number(one.low), number(one.high)] for one in found}


def words(story: Words) -> Json:
    """What a goal file may name."""
    return {
        "format": FORMAT,
        "designs": [word_part(one) for one in story.designs],
        "people": [word_part(one) for one in story.people],
        "tags": list(story.tags),
        "figures": [word_part(one) for one in story.figures],
        "kinds": list(story.kinds),
        "recipes": [word_part(one) for one in story.recipes],
    }


def word_part(word: Word) -> Json:
    """A name and one line on it."""
    return {"name": word.name, "about": word.about, "unit": word.unit}


def faults(found: Iterable[Diagnostic]) -> Json:
    """The data of a text that cannot be answered."""
    return {"format": FORMAT, "status": "bad-input", "faults": faults_part(found)}


def faults_part(found: Iterable[Diagnostic]) -> list[Json]:
    """Faults with the line that each stands in, as it was written, and where in it."""
    told = tuple(found)
    return [
        {
            **data,
            "shown": None if one.span is None else one.span.text,
            "end_column": None if one.span is None else one.span.end_column,
            "notes": [words for words, _ in one.notes],
        }
        for data, one in zip(as_data(told), told, strict=True)
    ]

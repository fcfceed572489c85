"""The making sheet as a PDF set by typst: its words are those of the page, names are inert, and letters are there for all signs."""

from __future__ import annotations

import io
import unicodedata

import pytest
from benches import blend_of
from browsing import pages_of
from pypdf import PdfReader

from optimiser.answers.results import Blend
from optimiser.answers.sheet import sheet_of
from optimiser.report.page import pdf as page_pdf
from optimiser.report.page.contents import contents
from optimiser.report.page.pdf import sheet_pdf
from optimiser.text.diagnostics import BadInput

HOSTILE = '#panic("x") $x^2$ *bold* <label> [a](b) ```raw``` \\ " </text> {{ x }} @ref'
SIZES = {"a4": (595, 842), "letter": (612, 792)}


def flat(text: str) -> str:
    """Words without blanks, which a PDF does not keep."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@pytest.mark.parametrize("paper", SIZES)
def test_every_page_has_its_head_and_its_cautions(paper: str) -> None:
    """On both papers, three pages; each with the title, the number and the cautions in brief."""
    pdf = sheet_pdf(sheet_of(blend_of("everyday"))._replace(number="2026-118"), paper)
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    assert (round(box.width), round(box.height)) == SIZES[paper]
    pages = pages_of(pdf)
    assert len(pages) == 3
    for place, page in enumerate(pages, start=1):
        told = ("Everyday hard bar", "2026-118", "alkali into water, never the reverse", "licensed practice come first")
        for words in (*told, f"{place} of 3"):
            assert flat(words) in flat(page)


@pytest.mark.parametrize("name", ["everyday", "design-salt-bar"])
def test_its_words_are_those_of_the_page(name: str) -> None:
    """Every weight, step, caution, goal and sentence that the page tells stands in the PDF."""
    told = contents(sheet_of(blend_of(name)))
    text = flat(" ".join(pages_of(sheet_pdf(sheet_of(blend_of(name))))))
    for line in (*told.steps, *told.handling, *told.cautions, *told.lye, *told.advice, *told.aside, *told.times):
        for word in line.split():
            assert flat(word) in text, line
    for row in told.fats:
        assert flat(f"{row.share}{row.weight.told}{row.reads}") in text
    for box in (*told.alkalis, *told.poured):
        assert flat(box.weight.told) in text
    for goal in told.goals:
        assert flat(f"{goal.whose}{goal.says}{goal.here}{goal.mark}{goal.saves}") in text


def test_hostile_names_are_words_and_nothing_else(blend_story: Blend) -> None:
    """No name is read as markup or as code of the setting: each stands as it is written."""
    fats = tuple((fat._replace(name=HOSTILE), grams) for fat, grams in blend_story.recipe.fats)
    story = blend_story._replace(
        title=HOSTILE, notes=(HOSTILE,), steps=(HOSTILE,), recipe=blend_story.recipe._replace(fats=fats)
    )
    text = flat(" ".join(pages_of(sheet_pdf(sheet_of(story)._replace(number='"#panic()')))))
    assert text.count(flat(HOSTILE)) >= 4
    assert flat('"#panic()') in text


def test_every_sign_has_its_letter() -> None:
    """Of what our own words hold no sign is set as an empty box: the letters that come with typst have them all."""
    sheet = sheet_of(blend_of("everyday"))._replace(both=True)
    text = " ".join(pages_of(sheet_pdf(sheet)))
    for sign in ("\u00b0C", "\u00b0F", "\u00b1", "\u201c", "%"):
        assert sign in text
    fonts = {
        str(font.get_object()["/BaseFont"]).partition("+")[2]
        for page in PdfReader(io.BytesIO(sheet_pdf(sheet))).pages
        for font in page["/Resources"]["/Font"].values()  # type: ignore[index]
    }
    assert {name.split("-")[0] for name in fonts} == {"LibertinusSerif"}


def test_the_same_input_gives_the_same_bytes() -> None:
    """No clock goes into it."""
    sheet = sheet_of(blend_of("everyday"))
    assert sheet_pdf(sheet) == sheet_pdf(sheet)


def test_without_the_extra_it_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where typst is not installed there is no traceback but the way to it, and the way without it."""
    monkeypatch.setattr(page_pdf, "find_spec", lambda _: None)
    with pytest.raises(BadInput) as bad:
        sheet_pdf(sheet_of(blend_of("everyday")))
    told = bad.value.diagnostics[0]
    assert "extra 'pdf'" in told.message
    assert "pip install 'barwright[pdf]'" in (told.help or "")

"""The making sheet as one file of HTML: templates filled in, everything told made inert, nothing fetched and no script."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from optimiser.report.page.contents import contents

if TYPE_CHECKING:
    from optimiser.answers.sheet import MakingSheet

TEMPLATES = files("optimiser.report.page") / "templates"


def sheet_html(sheet: MakingSheet) -> str:
    """The page of a sheet."""
    told = contents(sheet)
    page: str = _environment().get_template("sheet.html").render(told._asdict(), style=_style())
    return page


@cache
def _environment() -> Environment:
    """Templates as they lie in the package; a name that is missing is a fault and never an empty place.

    Filled in once in a run, they are not worth jinja's own optimising.
    """
    sources = {one.name: one.read_text(encoding="utf-8") for one in TEMPLATES.iterdir() if one.name.endswith(".html")}
    environment = Environment(
        loader=DictLoader(sources),
        autoescape=True,
        undefined=StrictUndefined,
        optimized=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["drawn"] = Markup  # drawings hold figures of ours alone
    return environment


@cache
def _style() -> Markup:
    return Markup((TEMPLATES / "sheet.css").read_text(encoding="utf-8"))  # noqa: S704  # our own file

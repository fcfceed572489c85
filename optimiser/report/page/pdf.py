"""The making sheet as a PDF, set by typst (the extra `pdf`); what is told goes to it as data, so that no name can act.

Typst comes as one wheel with its own letters; signs that those lack are taken from the letters of the machine.
"""

from __future__ import annotations

import json
from importlib.resources import as_file, files
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from optimiser.report.page.contents import contents
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic

if TYPE_CHECKING:
    from optimiser.answers.sheet import MakingSheet

TEMPLATE = files("optimiser.report.page") / "templates" / "sheet.typ"
PAPERS = {"a4": "a4", "letter": "us-letter"}


def refuse_without_extra() -> None:
    """Refuse a PDF where nothing is here that sets one.

    Raises:
        BadInput: the extra is missing.
    """
    if find_spec("typst") is None:
        message = "a PDF needs the extra 'pdf', which is not installed"
        help_text = (
            "pip install 'barwright[pdf]', or write the page with -o sheet.html and let your browser print it as PDF"
        )
        raise BadInput([Diagnostic(Code.USAGE, message, help_text)])


def sheet_pdf(sheet: MakingSheet, paper: str = "a4") -> bytes:
    """The PDF of a sheet, on "a4" or "letter".

    Raises:
        BadInput: the extra is missing.
    """
    refuse_without_extra()
    import typst

    told = json.dumps(plain(contents(sheet)), ensure_ascii=False)
    with as_file(TEMPLATE) as template:
        pdf = typst.compile(str(template), format="pdf", sys_inputs={"sheet": told, "paper": PAPERS[paper]})
    if not isinstance(pdf, bytes):
        raise TypeError("typst gave no PDF")
    return pdf


def plain(value: Any) -> Any:
    """Named tuples as mappings, other tuples as lists."""
    if isinstance(value, tuple):
        names = getattr(value, "_fields", None)
        if names is None:
            return [plain(item) for item in value]
        return {name: plain(item) for name, item in zip(names, value, strict=True)}
    return value

"""Codes of faults and warnings as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from optimiser.text.catalogue import Meaning

Json = dict[str, Any]


def code_data(item: Meaning) -> Json:
    """One code with what it means; `file`, `wrong` and `right` are null where there is no example."""
    return {
        "code": item.code,
        "severity": item.code.severity,
        "group": item.group,
        "meaning": item.meaning,
        "remedy": item.remedy,
        "file": item.file or None,
        "wrong": item.wrong or None,
        "right": item.right or None,
    }

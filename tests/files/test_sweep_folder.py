"""A folder of a sweep: parts come back as they were kept, and a changed input is refused in words."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from optimiser.files.sweep_folder import MANIFEST, Manifest, SweepFolder, changed, hash_of, hash_of_file
from optimiser.text.diagnostics import BadInput

NOW = Manifest("1.0", {"a.yaml": "1", "p.csv": "2"}, {"seed": "7"}, {"a.yaml": "x"}, 3)


def refused(path: Path, manifest: Manifest, *, resume: bool) -> str:
    """The words with which a folder is refused, and its code before them."""
    with pytest.raises(BadInput) as bad:
        SweepFolder(path, manifest, resume=resume)
    return "; ".join(f"{item.code} {item.message}" for item in bad.value.diagnostics)


def test_parts_come_back(tmp_path: Path) -> None:
    """To the bit, by their numbers; one that was not kept is none, nor is one that is damaged."""
    folder = SweepFolder(tmp_path / "sweep", NOW, resume=False)
    kept = {"costs": np.array([1.5, np.nan]), "numbers": np.array([0, -1])}
    folder.keep(2, kept)
    again = SweepFolder(tmp_path / "sweep", NOW, resume=True).part(2)
    assert again is not None
    assert all(again[name].tobytes() == kept[name].tobytes() for name in kept)
    assert folder.part(1) is None
    place = next((tmp_path / "sweep").glob("part-000002*"))
    place.write_bytes(place.read_bytes()[:-40])
    assert folder.part(2) is None
    folder.keep(2, kept)
    assert folder.part(2) is not None


def test_a_sweep_is_not_begun_over_another(tmp_path: Path) -> None:
    """Nor gone on with where there is none, nor kept in a file."""
    SweepFolder(tmp_path, NOW, resume=False)
    assert "file-exists" in refused(tmp_path, NOW, resume=False)
    assert "no-sweep" in refused(tmp_path / "other", NOW, resume=True)
    (tmp_path / "file").write_text("x", encoding="utf-8")
    assert "no-folder" in refused(tmp_path / "file", NOW, resume=False)


@pytest.mark.parametrize(
    ("manifest", "words"),
    [
        (NOW._replace(version="1.1"), "begun with 1.0, and this is 1.1"),
        (NOW._replace(files={"a.yaml": "1", "p.csv": "3"}), "p.csv has changed"),
        (NOW._replace(files={"a.yaml": "1"}), "p.csv was part of it"),
        (NOW._replace(files={**NOW.files, "b.yaml": "4"}), "b.yaml was no part of it"),
        (NOW._replace(asked={"seed": "8"}), "seed 7, and now it is 8"),
        (NOW._replace(cases={"a.yaml": "y"}), "a.yaml comes to another question"),
        (NOW._replace(parts=4), "another number of parts"),
    ],
)
def test_what_has_changed_is_told(manifest: Manifest, words: str, tmp_path: Path) -> None:
    """In words that name it."""
    SweepFolder(tmp_path, NOW, resume=False)
    told = refused(tmp_path, manifest, resume=True)
    assert "changed-sweep" in told
    assert words in told


def test_a_manifest_that_is_none_is_told(tmp_path: Path) -> None:
    """Whatever stands in it."""
    head = {"format": "barwright-sweep/1"} | NOW._asdict()
    odd = [head | one for one in ({"files": None}, {"files": [1], "asked": 3}, {"cases": {"a": 1}}, {"parts": "3"})]
    texts = ("", "[]", "{}", "[" * 100_000, json.dumps({"format": "other"}), *map(json.dumps, odd))
    for text in texts:
        (tmp_path / MANIFEST).write_text(text, encoding="utf-8")
        assert "no manifest" in refused(tmp_path, NOW, resume=True)
    assert list(changed({"format": "barwright-sweep/1"} | NOW._asdict(), NOW)) == []


def test_hashes_are_of_what_is_inside(tmp_path: Path) -> None:
    """SHA-256 of "abc" by FIPS 180-4, its first example (from memory)."""
    path = tmp_path / "file"
    path.write_bytes(b"abc")
    assert hash_of_file(path) == hash_of(b"abc")
    assert hash_of(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

"""`barwright explain`, and how faults lead to it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from optimiser.cli.main import main
from optimiser.text.catalogue import catalogue
from optimiser.text.codes import Code

ROOT = Path(__file__).parents[2]


def out(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """What a command that succeeds prints."""
    assert main(arguments) == 0
    told = capsys.readouterr()
    assert told.err == ""
    return told.out


def flat(text: str) -> str:
    """Text without its line breaks."""
    return " ".join(text.split())


@pytest.mark.parametrize(
    "typed", [["unknown-fat"], ["Unknown-Fat"], ["unknown fat"], ["UNKNOWN", "FAT"], ["[unknown-fat]"]]
)
def test_a_code_is_explained_however_it_is_typed(typed: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Case, blanks for hyphens and the brackets that it is told in do not count; it says what is wrong and what to do."""
    told = flat(out(["explain", *typed], capsys))
    item = catalogue()[Code.UNKNOWN_FAT]
    assert told.startswith("unknown-fat ")
    for part in (item.meaning, item.remedy, item.wrong, item.right, "a fault"):
        assert part in told


def test_every_code_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a code all are listed with their meaning under what they are about, warnings last."""
    told = out(["explain"], capsys)
    for code, item in catalogue().items():
        assert re.search(rf"^  {code}  +{re.escape(item.meaning.split()[0])}", told, re.MULTILINE), code
    heads = [line.split(" ─")[0] for line in told.splitlines() if line.endswith(("codes", "code"))]
    assert heads[-1] == "Warnings"
    assert sorted(heads) == sorted({item.group.capitalize() for item in catalogue().values()})


def test_codes_as_data(capsys: pytest.CaptureFixture[str]) -> None:
    """All codes, or one, as one document with the same keys; no example is null."""
    every = json.loads(out(["explain", "--json"], capsys))
    (alone,) = json.loads(out(["explain", "odd price", "--json"], capsys))["codes"]
    assert [item["code"] for item in every["codes"]] == sorted(Code)
    assert alone == next(item for item in every["codes"] if item["code"] == "odd-price")
    assert alone["severity"] == "warning"
    (plain,) = json.loads(out(["explain", "not-yaml", "--json"], capsys))["codes"]
    assert (plain["severity"], plain["file"], plain["wrong"], plain["right"]) == ("error", None, None, None)
    assert every["format"] == "barwright/1"


def test_an_unknown_code_offers_near_ones(capsys: pytest.CaptureFixture[str]) -> None:
    """A slip in a code is exit 2 with the nearest codes; as data too."""
    assert main(["explain", "unknwon fat", "--json"]) == 2
    told = capsys.readouterr()
    assert "did you mean 'unknown-fat'" in told.err
    (fault,) = json.loads(told.out)["faults"]
    assert fault["code"] == "unknown-code"
    assert main(["explain", "xyzzy"]) == 2
    assert "'barwright explain' lists them all" in flat(capsys.readouterr().err)


def test_what_a_fault_names_can_be_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The last line under faults is a command that explains the code that stands at the end of the fault."""
    path = tmp_path / "goals.yaml"
    path.write_text("shares: {olve oil: 40 %}\n", encoding="utf-8")
    assert main(["blend", str(path), "--shelf", str(ROOT / "inventory" / "kittiwake.yaml")]) == 2
    told = flat(capsys.readouterr().err)
    assert "[unknown-fat]" in told
    (command,) = re.findall(r"'barwright (explain [\w-]+)'", told)
    assert flat(out(command.split(), capsys)).startswith("unknown-fat ")

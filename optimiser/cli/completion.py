"""`barwright completion`: what a shell needs to complete our commands, shipped ready made."""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).parents[1] / "completions"


def completion(shell: str) -> str:
    """The file for a shell: "bash", "zsh" or "fish".

    Raises:
        FileNotFoundError: there is none for this shell.
    """
    return (FOLDER / f"barwright.{shell}").read_text(encoding="utf-8")

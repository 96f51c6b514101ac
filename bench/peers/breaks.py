"""Sessions with bad input: what is spoilt, and what a good tool says to it."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Break:
    """One way to spoil a session."""

    expected: str
    settings: dict[str, Any] = field(default_factory=dict)
    spoil: Callable[[Path], None] = lambda folder: None

    def apply(self, folder: Path) -> None:
        """Spoil a rendered session, in place, and note what is expected of it."""
        self.spoil(folder)
        (folder / "expected.json").write_text(json.dumps({"expected": self.expected}) + "\n")


def _truncate(name: str, share: float) -> Callable[[Path], None]:
    def spoil(folder: Path) -> None:
        data = (folder / name).read_bytes()
        (folder / name).write_bytes(data[:int(len(data) * share)])
    return spoil


def _text_as_photo(folder: Path) -> None:
    (folder / "even.jpg").write_text("This is a shopping list, not a photo.\n" * 40)


def _bare_as_even(folder: Path) -> None:
    shutil.move(folder / "bare.jpg", folder / "even.jpg")
    _edit(r"  - \{ photo: bare.*\n", "")(folder)


def _swap_dark_even(folder: Path) -> None:
    shutil.move(folder / "dark.jpg", folder / "was-dark.jpg")
    shutil.move(folder / "even.jpg", folder / "dark.jpg")
    shutil.move(folder / "was-dark.jpg", folder / "even.jpg")


def _edit(pattern: str, text: str) -> Callable[[Path], None]:
    """Change session.yaml where the pattern fits."""
    def spoil(folder: Path) -> None:
        path = folder / "session.yaml"
        changed, times = re.subn(pattern, text, path.read_text())
        if times == 0:
            raise ValueError(f"nothing in session.yaml fits {pattern!r}")
        path.write_text(changed)
    return spoil


def _convert(name: str, *options: str) -> Callable[[Path], None]:
    """Rework one photo with ImageMagick."""
    def spoil(folder: Path) -> None:
        photo = str(folder / name)
        subprocess.run(["convert", photo, *options, photo], check=True)
    return spoil


BREAKS: dict[str, Break] = {
    "truncated": Break("error: even.jpg is cut off", spoil=_truncate("even.jpg", 0.4)),
    "zero-bytes": Break("error: even.jpg is empty", spoil=_truncate("even.jpg", 0)),
    "wrong-type": Break("error: even.jpg is no photo", spoil=_text_as_photo),
    "missing-photo": Break("error: pair-02.jpg is not there",
                           spoil=lambda folder: (folder / "pair-02.jpg").unlink()),
    "no-lattice": Break("error: no lattice of spots in even.jpg",
                        {"shots.bare": True}, _bare_as_even),
    "swapped-dark": Break("error: no spots in even.jpg, or dark is brighter than even",
                          spoil=_swap_dark_even),
    "rows-more": Break("error: 12 rows seen, 13 stated", spoil=_edit("rows: 12", "rows: 13")),
    "rows-less": Break("error: 12 rows seen, 11 stated", spoil=_edit("rows: 12", "rows: 11")),
    "columns-less": Break("error: 15 columns seen, 14 stated",
                          spoil=_edit("columns: 15", "columns: 14")),
    "not-hexagonal": Break("error: the spots lie square, session says hexagonal",
                           spoil=_edit("arrangement: square",
                                       "arrangement: hexagonal\n  shifted-rows: even")),
    "wrong-size": Break("error: pair-02.jpg differs in size from even.jpg",
                        spoil=_convert("pair-02.jpg", "-resize", "60%")),
    "clipped-even": Break("every cell of even.jpg is clipped: no transmission from it, said so",
                          {"camera.even-peak": 3.0, "camera.times": "any"}),
    "clipped-few": Break("some cells of even.jpg are clipped and marked, the rest measured",
                         {"camera.even-peak": 1.06, "camera.times": "any"}),
    "too-dark": Break("even.jpg is too dark, said so; large uncertainties",
                      {"camera.even-peak": 0.01, "camera.times": "any"}),
    "moved": Break("the last photo moved by 60 px, more than its lattice allows: said so",
                   {"camera.moved-px": 60.0}),
    "blurred": Break("even.jpg is blurred: said so", spoil=_convert("even.jpg", "-blur", "0x7")),
    "dead-rim-column": Break(
        "error: 14 columns seen, 15 stated, which rim is missing can't be told "
        "(or told from the outline, then column 15)", {"faults.dead-column": 15}),
    "no-dark": Break("measured, with a note that there is no dark shot",
                     spoil=_edit(r"  - \{ photo: dark.*\n", "")),
}

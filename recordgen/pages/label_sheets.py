"""The sheets that labels are printed on, by their dimensions, and which text fits on a label.

The positions on the paper are those of the style sheet too (`recordgen-labels.css` of the site);
`tests/pages/test_labels_print.py` holds both against the paper.

No font is measured here, since nobody knows which one the reader's machine has: each letter counts
as wide as in the widest of the usual sans-serif fonts: a text that fits here fits there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

MM_PER_POINT: Final = 25.4 / 72
LINE_HEIGHT: Final = 1.15
STEPS_PT: Final = (14, 12, 10, 9, 8, 7, 6)
"""Sizes of the letters, the largest first; below the last, lines are left to the page."""
HEAD_SCALE: Final = 1.4
"""How much larger the first line of a label is."""
FOOT_PT: Final = 5.5
PADDING_MM: Final = 1.5
GAP_MM: Final = 1.0
REST: Final = "rest: see directory"
"""What stands for the lines that do not fit, where it takes most room."""
_BOLD: Final = 1.12
_NARROW: Final = frozenset("iIjlftr.,:;'|!()[]/- ")
_WIDE: Final = frozenset("mwMWQO@%&→")


@dataclass(frozen=True)
class LabelSheet:
    """A sheet of labels.

    Attributes
    ----------
    key : str
        One letter, for style classes.
    name : str
        What a command calls it.
    title : str
        Its dimensions, as shown.
    paper : str
        "Letter" or "A4".
    width_mm, height_mm : float
        Of one label.
    columns, rows : int
    left_mm, top_mm : float
        From the edges of the paper to the first label.
    pitch_mm : float
        From the left edge of a label to that of the next. Rows follow without a gap.
    code_mm : float
        Side of the code, its quiet zone included.
    side_mm : float
        Left blank at both sides of a label: more where labels reach to the edge of the paper, which
        most printers cannot print on.
    """

    key: str
    name: str
    title: str
    paper: str
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    pitch_mm: float
    code_mm: float
    side_mm: float

    @property
    def count(self) -> int:
        """How many labels a sheet holds."""
        return self.columns * self.rows

    @property
    def text_width_mm(self) -> float:
        """Width left for text beside the code."""
        return self.width_mm - self.code_mm - 2 * self.side_mm - GAP_MM

    @property
    def text_height_mm(self) -> float:
        """Height left for text above the last line, which holds revision and date."""
        return self.height_mm - 2 * PADDING_MM - FOOT_PT * LINE_HEIGHT * MM_PER_POINT


SHEETS: Final[Mapping[str, LabelSheet]] = MappingProxyType(
    {
        sheet.name: sheet
        for sheet in (
            LabelSheet(
                key="a",
                name="letter-30",
                title="Letter, 2 5/8 x 1 in, 30 a sheet",
                paper="Letter",
                width_mm=66.675,
                height_mm=25.4,
                columns=3,
                rows=10,
                left_mm=4.7625,
                top_mm=12.7,
                pitch_mm=69.85,
                code_mm=20.0,
                side_mm=1.5,
            ),
            LabelSheet(
                key="b",
                name="letter-10",
                title="Letter, 4 x 2 in, 10 a sheet",
                paper="Letter",
                width_mm=101.6,
                height_mm=50.8,
                columns=2,
                rows=5,
                left_mm=3.96875,
                top_mm=12.7,
                pitch_mm=106.3625,
                code_mm=30.0,
                side_mm=1.5,
            ),
            LabelSheet(
                key="c",
                name="a4-24",
                title="A4, 70 x 36 mm, 24 a sheet",
                paper="A4",
                width_mm=70.0,
                height_mm=36.0,
                columns=3,
                rows=8,
                left_mm=0.0,
                top_mm=4.5,
                pitch_mm=70.0,
                code_mm=24.0,
                side_mm=4.5,
            ),
            LabelSheet(
                key="d",
                name="a4-10",
                title="A4, 105 x 57 mm, 10 a sheet",
                paper="A4",
                width_mm=105.0,
                height_mm=57.0,
                columns=2,
                rows=5,
                left_mm=0.0,
                top_mm=6.0,
                pitch_mm=105.0,
                code_mm=32.0,
                side_mm=4.5,
            ),
        )
    }
)
"""Name → sheet; the positions on the paper are common practice: centred, rows without a gap."""


@dataclass(frozen=True)
class Fit:
    """How a text fits on a label.

    Attributes
    ----------
    points : int
        Size of its letters.
    kept : int
        How many of its lines fit; where that is not all, a last line refers to a page.
    """

    points: int
    kept: int


def fit_of(head: str, lines: Sequence[tuple[str, str]], sheet: LabelSheet) -> Fit:
    """Return the largest size of letters at which a text fits on a label.

    What does not fit at the smallest leaves out whole lines, the last ones first.

    Parameters
    ----------
    head : str
        The first line, larger and bold.
    lines : sequence of (str, str)
        The others, each a bold name, which may be empty, and a text.

    Examples
    --------
    >>> fit_of("LP-2A/14", [("", "Exam 4 outlets"), ("", "20 A")], SHEETS["letter-30"])
    Fit(points=12, kept=2)
    """
    for points in STEPS_PT:
        if _height_mm(head, lines, sheet, points) <= sheet.text_height_mm:
            return Fit(points, len(lines))
    for kept in range(len(lines) - 1, 0, -1):
        shown = [*lines[:kept], ("", REST)]
        if _height_mm(head, shown, sheet, STEPS_PT[-1]) <= sheet.text_height_mm:
            return Fit(STEPS_PT[-1], kept)
    return Fit(STEPS_PT[-1], 0)


def _height_mm(
    head: str, lines: Sequence[tuple[str, str]], sheet: LabelSheet, points: int
) -> float:
    width_em = sheet.text_width_mm / (points * MM_PER_POINT)
    rows = HEAD_SCALE * _rows([(word, _BOLD * HEAD_SCALE) for word in head.split()], width_em)
    for name, text in lines:
        words = [(word, _BOLD) for word in (f"{name}:" if name else "").split()]
        rows += _rows([*words, *((word, 1.0) for word in text.split())], width_em)
    return rows * LINE_HEIGHT * points * MM_PER_POINT


def _rows(words: Sequence[tuple[str, float]], width_em: float) -> int:
    """Return how many lines words take, each with the scale of its letters.

    A word that is wider than a line is broken.
    """
    rows, used = 1, 0.0
    for word, scale in words:
        width = scale * sum(map(_em, word))
        space = scale * _em(" ") if used else 0.0
        if used + space + width <= width_em:
            used += space + width
            continue
        rows += bool(used)
        used = 0.0
        for letter in word:
            wide = scale * _em(letter)
            if used + wide > width_em:
                rows, used = rows + 1, 0.0
            used += wide
    return rows


def _em(letter: str) -> float:
    if letter in _NARROW:
        return 0.42
    if letter in _WIDE:
        return 1.0
    if not letter.isascii():
        return 1.1
    return 0.72 if letter.isupper() else 0.65

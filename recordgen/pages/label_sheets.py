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
"""Sizes of the letters, the largest first; what does not fit at the last one refers to a page."""
HEAD_SCALE: Final = 1.4
"""How much larger the first line of a label is."""
FOOT_PT: Final = 5.5
PADDING_MM: Final = 1.5
GAP_MM: Final = 1.0
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

    @property
    def count(self) -> int:
        """How many labels a sheet holds."""
        return self.columns * self.rows

    @property
    def text_width_mm(self) -> float:
        """Width left for text beside the code."""
        return self.width_mm - self.code_mm - 2 * PADDING_MM - GAP_MM

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
            ),
        )
    }
)
"""Name → sheet; the positions on the paper are common practice: centred, rows without a gap."""


def step_pt(head: str, lines: Sequence[str], sheet: LabelSheet) -> int | None:
    """Return the largest size of letters at which a text fits on a label; None where none does.

    Parameters
    ----------
    head : str
        The first line, larger and bold.
    lines : sequence of str
        The others; each begins on a line of its own.

    Examples
    --------
    >>> step_pt("LP-2A/14", ["Exam 4 outlets", "20 A"], SHEETS["letter-30"])
    10
    """
    for points in STEPS_PT:
        width_em = sheet.text_width_mm / (points * MM_PER_POINT)
        rows = HEAD_SCALE * _rows(head, width_em / HEAD_SCALE / _BOLD)
        # The names before the values are bold, so that all count as bold.
        rows += sum(_rows(line, width_em / _BOLD) for line in lines)
        if rows * LINE_HEIGHT * points * MM_PER_POINT <= sheet.text_height_mm:
            return points
    return None


def _rows(text: str, width_em: float) -> int:
    """Return how many lines a text takes; a word that is wider than a line is broken."""
    rows, used = 1, 0.0
    for word in text.split():
        width = sum(map(_em, word))
        space = _em(" ") if used else 0.0
        if used + space + width <= width_em:
            used += space + width
            continue
        rows += bool(used)
        used = 0.0
        for letter in word:
            wide = _em(letter)
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

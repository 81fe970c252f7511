"""The QR codes of labels and prints, as one path of an SVG each.

`segno` makes a code in about 6 ms, which over the 10,900 pages of a hundred panels would nearly
double the time of a build. All addresses of a site begin alike, and in a code of one version,
error level and mask, each bit of the text turns over the same modules, whatever the rest of the
text is: the error correction (ISO/IEC 18004, Reed-Solomon codes) and the mask are sums modulo two.
So what a bit turns over is asked of segno once, and each further code is put together from it in
well under a millisecond. `tests/pages/test_qr.py` holds every such code against segno's own.

The mask is the same for all codes. The standard asks a maker to weigh all eight, for looks that
are quick to find; each of them is decoded.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import segno

QUIET_ZONE: Final = 4
"""Modules left blank on every side (ISO/IEC 18004)."""
_MASK: Final = 2
_DARK: Final = re.compile("1+")


@dataclass(frozen=True)
class Code:
    """A code ready to draw.

    Attributes
    ----------
    address : str
        What it says.
    side : int
        Modules on each side, the quiet zone among them: the view box of the drawing.
    path : str
        Of the dark modules, to be drawn as a line one module wide.
    """

    address: str
    side: int
    path: str


@dataclass
class _Kind:
    """Codes of one version: what each bit turns over, as far as it has been asked for."""

    designator: int
    side: int
    turned: dict[tuple[int, int], int]


class Codes:
    """Makes the codes of one site."""

    def __init__(self) -> None:
        # Length of the text → its first code of that length; a longer text has another head.
        self._first: dict[int, tuple[bytes, int, _Kind]] = {}
        self._kinds: dict[int, _Kind] = {}

    def code(self, address: str) -> Code:
        """Return the code of an address, at error level M.

        Raises
        ------
        UnicodeEncodeError
            The address is not in ASCII, as an address has to be.
        ValueError
            It is longer than any code holds (2,331 characters).
        """
        text = address.encode("ascii")
        first = self._first.get(len(text))
        if first is None:
            modules, side, version = _asked(text)
            kind = self._kinds.setdefault(version, _Kind(version, side, {}))
            self._first[len(text)] = (text, modules, kind)
            return Code(address, side + 2 * QUIET_ZONE, _path(modules, side))
        model, modules, kind = first
        for at, (one, other) in enumerate(zip(text, model, strict=True)):
            differing = one ^ other
            while differing:
                bit = differing & -differing
                differing ^= bit
                modules ^= self._turned(kind, at, bit, model)
        return Code(address, kind.side + 2 * QUIET_ZONE, _path(modules, kind.side))

    def _turned(self, kind: _Kind, at: int, bit: int, model: bytes) -> int:
        """Return the modules that one bit of the text turns over."""
        found = kind.turned.get((at, bit))
        if found is None:
            changed = bytearray(model)
            changed[at] ^= bit
            found = _asked(bytes(changed))[0] ^ self._first[len(model)][1]
            kind.turned[at, bit] = found
        return found


def _asked(text: bytes) -> tuple[int, int, int]:
    """Return segno's code of a text: its modules as bits, row after row, its side and version."""
    try:
        made = segno.make_qr(
            text.decode("ascii"), error="m", mode="byte", mask=_MASK, boost_error=False
        )
    except segno.DataOverflowError as error:
        raise ValueError(f"an address of {len(text)} characters fits no code") from error
    rows = ["".join("1" if module & 1 else "0" for module in row) for row in made.matrix]
    return int("".join(rows), 2), len(rows), int(made.version)


def _path(modules: int, side: int) -> str:
    """Return the dark modules as a path: a stroke for each of their runs."""
    bits = f"{modules:0{side * side}b}"
    drawn: list[str] = []
    for row in range(side):
        begun = 0
        for run in _DARK.finditer(bits[row * side : (row + 1) * side]):
            start, end = run.span()
            if begun:
                drawn.append(f"m{start - begun} 0h{end - start}")
            else:
                drawn.append(f"M{start + QUIET_ZONE} {row + QUIET_ZONE}.5h{end - start}")
            begun = end
    return "".join(drawn)

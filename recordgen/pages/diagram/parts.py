"""What a one-line diagram is made of before it is drawn: a tree of nodes, and ways across it.

A node is drawn with the devices through which it hangs on the bus above. A way across joins two
places of the tree: the second feed of a transfer switch, a bypass, a tie, a temporary feed. Each
end of it stands in the tree, so that it can be named there where no line is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

Symbol = Literal[
    "utility",
    "generator",
    "photovoltaic",
    "battery storage",
    "generator inlet",
    "elsewhere",
    "bus",
    "transformer",
    "transfer switch",
    "UPS",
    "disconnect",
    "motor starter",
    "variable-frequency drive",
    "junction box",
    "load",
    "motor",
    "way",
]
SwitchSymbol = Literal["breaker", "fuse", "switch", "contactor", "not recorded"]


@dataclass(frozen=True)
class Switch:
    """A device in a line.

    Attributes
    ----------
    tag : str
        Full tag.
    name : str
        What is painted beside it: its position, "main", the tag of a tie.
    lines : tuple of str
        Rating and the like.
    symbol : SwitchSymbol
    open : bool
        Whether it is open in the normal state.
    remark : str
        "now open" where it stands otherwise today; empty elsewhere.
    """

    tag: str
    name: str
    lines: tuple[str, ...]
    symbol: SwitchSymbol
    open: bool = False
    remark: str = ""


@dataclass(frozen=True)
class Way:
    """One end of a way across.

    Attributes
    ----------
    key : str
        The same at both ends.
    lines : tuple of str
        What this end says: "emergency", "from EDP/1".
    other : str
        Full tag at the other end.
    """

    key: str
    lines: tuple[str, ...]
    other: str


@dataclass(frozen=True)
class Node:
    """A thing in the diagram.

    Attributes
    ----------
    tag : str
        Full tag.
    symbol : Symbol
        "way" for the end of a way across that has a place of its own on a bus.
    name : str
        What is painted on it.
    lines : tuple of str
        What is said beside it.
    switches : tuple of Switch
        From the bus above down to it.
    children : tuple of Node
        What hangs on it, from left to right.
    ways : tuple of Way
        Ends of ways across at the thing itself; of a "way", the one it stands for.
    stop : bool
        Whether a STOP notice touches it.
    sheet : str
        Tag of the sheet that shows what hangs on it, where this one does not; else empty.
    """

    tag: str
    symbol: Symbol
    name: str
    lines: tuple[str, ...] = ()
    switches: tuple[Switch, ...] = ()
    children: tuple[Node, ...] = ()
    ways: tuple[Way, ...] = ()
    stop: bool = False
    sheet: str = ""

    def walk(self) -> Iterator[Node]:
        """Yield this node and all below it, each before what hangs on it."""
        yield self
        for child in self.children:
            yield from child.walk()

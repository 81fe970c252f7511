"""What the drawing of a run is made of, ready to print; y counts downwards from the upper edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from recordgen.evidence.run_places import Stretch
from recordgen.pages.run_ground import Cover
from recordgen.pages.strip_geometry import WIDTH, Box

NO_PLACE = "place not recorded"


@dataclass(frozen=True)
class Band:
    """A stretch to show on the run, and what it is called.

    Attributes
    ----------
    name : str
        Two or three words, such as "Reflectometer".
    stretch : Stretch
    kind : str
        "located" is where to look, filled; "bounds" are those of one method; "gap" is what no
        reading shows.
    """

    name: str
    stretch: Stretch
    kind: Literal["located", "bounds", "gap"] = "bounds"


@dataclass(frozen=True)
class BandDrawn:
    """A band: a bracket from `left` to `right` at `y`, its label above it, all of it in words."""

    kind: str
    words: str
    label: str
    left: float
    right: float
    y: float
    label_box: Box

    @property
    def width(self) -> float:
        """From its left end to its right one."""
        return round(self.right - self.left, 1)


@dataclass(frozen=True)
class LandmarkDrawn:
    """A landmark: its number, and what is recorded of it.

    `x` is None where its distance is not recorded: then it is only listed.
    """

    number: str
    at: str
    what: str
    room: str
    ground: str
    x: float | None = None
    label_box: Box | None = None

    @property
    def is_placed(self) -> bool:
        """Whether its distance is recorded."""
        return self.at != NO_PLACE

    @property
    def is_deep(self) -> bool:
        """Whether it is recorded as underground."""
        return self.ground.startswith("underground")


@dataclass(frozen=True)
class GroundDrawn:
    """A part underground, or partly so: its depth stands beneath it."""

    cover: Cover
    words: str
    label: str
    left: float
    right: float
    label_box: Box

    @property
    def width(self) -> float:
        """From its left end to its right one."""
        return round(self.right - self.left, 1)

    @property
    def middle(self) -> float:
        """Halfway."""
        return round((self.left + self.right) / 2, 1)


@dataclass(frozen=True)
class ReadingDrawn:
    """A reading in words; where it is only listed, `x` is None and `why` says why.

    `is_bound` where it stands at the top or the foot of the scale: the true signal lies beyond.
    """

    at: str
    what: str
    values: str
    sensitivity: str
    note: str
    why: str = ""
    x: float | None = None
    y: float = 0.0
    path: str = ""
    label: str = ""
    label_box: Box | None = None
    is_bound: bool = False


@dataclass(frozen=True)
class Key:
    """The mark of one sensitivity: a path around the middle of 12 by 12 units, and its words."""

    path: str
    words: str


@dataclass(frozen=True)
class Drawing:
    """How high the drawing is, and where its parts begin.

    Attributes
    ----------
    height, left, right : float
        Of the drawing, and between which places the run lies.
    plot_top, plot_bottom : float
        Of the receiver's scale; the same where no reading is drawn.
    scale_marks, ticks : tuple of (float, str)
        Place and figure: y of the receiver's scale, x of the distances.
    route_y, route_bottom, axis_y : float
        The run itself, the ground under it, the distances.
    """

    height: float
    left: float
    right: float
    plot_top: float
    plot_bottom: float
    scale_marks: tuple[tuple[float, str], ...]
    route_y: float
    route_bottom: float
    axis_y: float
    ticks: tuple[tuple[float, str], ...]
    width: float = WIDTH


@dataclass(frozen=True)
class Strip:
    """A run, drawn and listed.

    Attributes
    ----------
    anchor : str
        What the ids of its elements begin with; another one for each strip of a page.
    title, description : str
        For those who do not see the drawing.
    unit : str
        "ft" or "m".
    drawing : Drawing or None
        None where fewer than two distances are recorded: then there are lists only.
    transmitter : LandmarkDrawn or None
        Where the transmitter was joined.
    landmarks, grounds, readings, bands : tuple
        With what is not drawn, which has no `x`.
    keys : tuple of Key
        Empty where no reading is drawn.
    notes : tuple of str
        What a reader has to know of the drawing.
    """

    anchor: str
    title: str
    description: str
    unit: str
    drawing: Drawing | None
    transmitter: LandmarkDrawn | None
    landmarks: tuple[LandmarkDrawn, ...]
    grounds: tuple[GroundDrawn, ...]
    readings: tuple[ReadingDrawn, ...]
    bands: tuple[BandDrawn, ...]
    keys: tuple[Key, ...]
    notes: tuple[str, ...]

    @property
    def not_drawn(self) -> tuple[ReadingDrawn, ...]:
        """Readings that are only listed."""
        return tuple(one for one in self.readings if one.x is None)

    @property
    def numbered(self) -> tuple[LandmarkDrawn, ...]:
        """The landmarks, after the transmitter where its place is known."""
        return (*((self.transmitter,) if self.transmitter else ()), *self.landmarks)

    @property
    def has_bounds(self) -> bool:
        """Whether a reading that is drawn stands at the top or the foot of the scale."""
        return any(one.is_bound and one.x is not None for one in self.readings)

    @property
    def axis_words(self) -> str:
        """What the distances are."""
        unit = "feet" if self.unit == "ft" else "metres"
        return f"{unit} along the run; marks with numbers are landmarks"

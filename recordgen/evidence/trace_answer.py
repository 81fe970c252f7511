"""What a trace shows, in one form for all purposes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.distance_readings import Distance
from recordgen.evidence.follow_run import FollowedRun
from recordgen.evidence.run_places import Stretch

VerdictWord = Literal[
    "confirmed",
    "identified",
    "ambiguous",
    "contradicts the record",
    "not enough",
    "located",
    "methods disagree",
    "no clear drop",
    "followed",
    "followed in part",
    "signal lost",
    "shown",
    "shown in part",
]
Bears = Literal["bears", "bears in part", "does not bear", "words only", "nothing concluded"]
OnCircuit = Literal["on this circuit", "further down", "recorded elsewhere", "source not recorded"]

INDICATION: Final = (
    "A signal passes to neighbouring conductors: a reading is an indication. Opening the device, "
    "and testing the load dead with a proven instrument, confirms it."
)
IN_THE_BUNDLE: Final = (
    "Readings say which of the cables read stands out, not that the one looked for is among them: "
    "check it from end to end."
)
NO_SECOND_SOURCE: Final = "That a load went dead does not prove that it has no second source."


@dataclass(frozen=True)
class BreakerShown:
    """The breaker that a trace shows.

    Attributes
    ----------
    breaker : str or None
        Full tag; None where none can be called.
    by_readings : str or None
        Full tag of the breaker that the readings alone call.
    margin : float or None
        By how much its readings lead the next, of 99; None where no two can be compared.
    """

    breaker: str | None
    by_readings: str | None
    margin: float | None


@dataclass(frozen=True)
class CableShown:
    """The cable of a bundle that a trace shows, as written; None where none stands out."""

    cable: str | None
    margin: float | None


@dataclass(frozen=True)
class StretchShown:
    """Where along a run a trace shows the fault.

    Attributes
    ----------
    stretch : Stretch or None
        Never a point; None where no place is given [m].
    confidence_percent : int or None
        None where the stretch is as good as the bounds that were recorded.
    nearest_landmark : str or None
    by_method : tuple of Distance
        Each method by itself.
    """

    stretch: Stretch | None
    confidence_percent: int | None
    nearest_landmark: str | None
    by_method: tuple[Distance, ...]


@dataclass(frozen=True)
class LoadFound:
    """A load that a trace found on a circuit.

    Attributes
    ----------
    load : str
        Full tag.
    recorded : tuple of str
        Full tags of its recorded feeds.
    agrees : OnCircuit
        Whether the record has it there. `further down`: below the circuit, on another one.
    shown : bool
        The circuit was opened and it went dead, or its readings stand out.
    """

    load: str
    recorded: tuple[str, ...]
    agrees: OnCircuit
    shown: bool


@dataclass(frozen=True)
class LoadsShown:
    """The loads that a trace found on a circuit.

    Attributes
    ----------
    circuit : str or None
        Full tag; None where it is not recorded.
    found : tuple of LoadFound
    not_found : tuple of str
        Full tags of loads that the record has on the circuit and the trace does not name.
    """

    circuit: str | None
    found: tuple[LoadFound, ...]
    not_found: tuple[str, ...]

    @property
    def elsewhere(self) -> tuple[LoadFound, ...]:
        """Return those that the record has on another circuit: each is a contradiction."""
        return tuple(one for one in self.found if one.agrees == "recorded elsewhere")


Shown = BreakerShown | CableShown | StretchShown | FollowedRun | LoadsShown


@dataclass(frozen=True)
class TraceVerdict:
    """What a recorded trace shows, and whether that bears what was concluded.

    Attributes
    ----------
    word : VerdictWord
    bears : Bears
        Whether the readings, or an opening, bear what was concluded. Words are not read: where a
        place or a way is shown, that much is borne. `words only`: no place is shown, and nothing
        but words is concluded, which may say just that.
    shows : Shown
    by_opening : bool
        The circuit was opened and the load went dead.
    reasons, measure_next, cautions : tuple of str
        Sentences, some without a full stop.
    """

    word: VerdictWord
    bears: Bears
    shows: Shown
    by_opening: bool
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]
    cautions: tuple[str, ...]

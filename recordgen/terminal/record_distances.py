"""What a reflectometer or a bridge showed: several figures, asked for where the first is there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from recordgen.records.bounds import (
    BoundedMetres,
    BoundedOhms,
    BoundedRatio,
    Bounds,
    EchoTime,
)
from recordgen.records.field import Bridge, Echo, Run
from recordgen.terminal.record_console import Console
from recordgen.terminal.record_places import landmark_lines, place_on
from recordgen.terminal.record_questions import Asked, GoBack, Question, Wrong, one_of, typed
from recordgen.terminal.record_subjects import TEXT

_WAYS: Final = ("end", "start")


@dataclass(frozen=True)
class Figures:
    """A question of several figures; without the first there are none.

    Attributes
    ----------
    key : str
    model : Echo or Bridge, as a class
        Its order is that of the YAML.
    parts : tuple of Asked
        The first is the one that it hangs on.
    """

    key: str
    model: type[Echo | Bridge]
    parts: tuple[Asked, ...]

    def ask(self, console: Console) -> dict[str, Any] | None:
        """Return key → figure; None where nothing was measured."""
        found: dict[str, Any] = {}
        place = 0
        while place < len(self.parts):
            part = self.parts[place]
            try:
                found[part.key] = part.ask(console)
            except GoBack:
                if place == 0:
                    raise
                place -= 1
                continue
            if place == 0 and found[part.key] is None:
                return None
            place += 1
        order = [field.alias or name for name, field in self.model.model_fields.items()]
        return {key: found[key] for key in order if found.get(key) is not None}


def echo_question(run: Run | None) -> Question:
    """Return the question for what a reflectometer showed."""
    velocity = _figure("velocity_factor", BoundedRatio, "of the cable, like 0.66 +- 0.02", "echo")
    time = _figure(
        "time", EchoTime, "from the pulse to its echo by a reflectometer, like 412 +- 5 ns", "echo"
    )
    return Figures("echo", Echo, (time, *_joined(run, "echo"), velocity))


def bridge_question(run: Run | None) -> Question:
    """Return the question for a bridge at balance."""
    sound = _figure(
        "sound_arm", BoundedOhms, "of a bridge at balance, like 3 +- 0.03 ohm", "bridge"
    )
    faulty = _figure("faulty_arm", BoundedOhms, "like 1 +- 0.01 ohm", "bridge", required=True)
    loop = _figure(
        "loop", BoundedMetres, "out and back, along the conductors, like 390 +- 4 ft", "bridge"
    )
    length = _figure(
        "faulty_length", BoundedMetres, "from end to end of the faulty conductor", "bridge"
    )
    return Figures("bridge", Bridge, (sound, faulty, *_joined(run, "bridge"), loop, length))


def _joined(run: Run | None, method: str) -> tuple[Asked, ...]:
    return (
        Asked(
            "from",
            lambda text: place_on(run, TEXT(text)),
            "where along the run it was joined: a distance, or a landmark",
            known=lambda: landmark_lines(run) if run else (),
            label=f"{method}, from",
        ),
        Asked(
            "towards",
            one_of(_WAYS, "towards"),
            "which way along the run it looked",
            choices=_WAYS,
            label=f"{method}, towards",
        ),
        _figure(
            "conductor_per_route",
            BoundedRatio,
            "length of conductor for each length of route, like 1.05 +- 0.03",
            method,
        ),
    )


def _figure(key: str, kind: Any, about: str, method: str, *, required: bool = False) -> Asked:
    return Asked(key, _bounded(kind), about, required=required, label=f"{method}, {key}")


def _bounded(kind: Any) -> Callable[[str], Bounds]:
    read = typed(kind)

    def read_bounds(text: str) -> Bounds:
        found: Bounds = read(text)
        if found.low is None:
            raise Wrong(
                f"how far off {found} may be is not said, so no place follows from it",
                "write it like 412 +- 5",
                keep=found,
            )
        return found

    return read_bounds

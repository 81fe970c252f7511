"""What is opened: whole devices with all that is tied to them, single poles, neutrals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from recordgen.network.model import Device, Legs, Network

LEG_BITS: Final[Mapping[str, Legs]] = {"A": 1, "B": 2, "C": 4}
NEUTRAL: Final = "N"


def split_conductor(network: Network, tag: str) -> tuple[str, str]:
    """Return device and conductor of `LP-2A/2-4-6/B` (a full tag); the whole device has none."""
    device, _, conductor = tag.rpartition("/")
    if tag not in network.devices and device in network.devices:
        return device, conductor
    return tag, ""


@dataclass(frozen=True)
class Opening:
    """Devices and single conductors that are open.

    Attributes
    ----------
    asked : tuple of str
        Full tags as asked, each once; a single conductor with its letter, `b:LP-1/14/N`.
    tied : tuple of str
        Devices that open too, since their handles are tied to those asked.
    whole : frozenset of str
        Devices that open every ungrounded conductor.
    partial : frozenset of str
        Devices with fewer poles than conductors: which of them open is not recorded.
    poles : mapping
        Device → the conductors of it that are open while the others stay closed.
    neutrals : frozenset of str
        Devices at whose place the neutral is open.
    """

    asked: tuple[str, ...]
    tied: tuple[str, ...] = ()
    whole: frozenset[str] = frozenset()
    partial: frozenset[str] = frozenset()
    poles: Mapping[str, Legs] = field(default_factory=dict)
    neutrals: frozenset[str] = frozenset()

    @property
    def devices(self) -> tuple[str, ...]:
        """Every device whose ungrounded conductors are touched, in no order of importance."""
        return tuple(sorted({*self.whole, *self.partial, *self.poles}))

    @property
    def splits(self) -> bool:
        """Whether some conductors of a line may stay closed while others open."""
        return bool(self.partial or self.poles)


def opening_of(network: Network, tags: Iterable[str]) -> Opening:
    """Return what opens when somebody opens what some full tags name.

    Raises
    ------
    KeyError
        A tag names no device and no conductor of one.
    """
    asked = tuple(dict.fromkeys(tags))
    poles: dict[str, Legs] = {}
    neutrals, together = set(), dict[str, None]()
    for tag in asked:
        name, conductor = split_conductor(network, tag)
        device = network.devices[name]
        if conductor == NEUTRAL:
            neutrals.add(name)
        elif conductor:
            poles[name] = poles.get(name, 0) | LEG_BITS[conductor]
        else:
            together.update(dict.fromkeys((name, *device.opens_with)))
    whole = {tag for tag in together if network.devices[tag].opens_all}
    return Opening(
        asked=asked,
        tied=tuple(tag for tag in together if tag not in asked),
        whole=frozenset(whole),
        partial=frozenset(together) - whole,
        poles={tag: legs for tag, legs in poles.items() if tag not in together},
        neutrals=frozenset(neutrals),
    )


def conductors_of(device: Device) -> tuple[str, ...]:
    """Return the letters of the conductors that one may ask for at a device."""
    legs = device.legs or LEG_BITS["A"] | LEG_BITS["B"] | LEG_BITS["C"]
    return (*(letter for letter, bit in LEG_BITS.items() if legs & bit), NEUTRAL)

"""The overcurrent device that protects a set of conductors."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from recordgen.calc.answer import Need, NoValue
from recordgen.calc.overcurrent_ratings import DeviceKind
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.network.model import building_of, local
from recordgen.records.equipment import Disconnect, Drive, TransferSwitch, Transformer, Ups
from recordgen.records.parts import Device
from recordgen.records.positions import Reference
from recordgen.records.supply import Circuit, Panel, Source

_NO_PROTECTION: Final = frozenset({"switch", "contactor", "cord and plug"})
_FUSED: Final = frozenset({"fuse", "fused switch"})


@dataclass(frozen=True)
class Protection:
    """An overcurrent device and how it stands to the conductors.

    Attributes
    ----------
    tag : str
        Full tag: of a circuit, `PANEL/main`, or of a disconnect with fuses.
    rating_a : float
        Rating of the device [A].
    kind : "breaker" or "fuse"
    at_load_end : bool
        Whether it stands after the conductors: nothing ahead of them protects them.
    behind : str
        What kind of thing the conductors begin at where nothing ahead protects them: "transformer",
        "utility", "UPS"; else empty.
    trip : str
        Trip unit and settings as recorded; empty where not.
    smaller : tuple of Need
        What is not recorded and may be a smaller device on the way.
    unless : tuple of str
        What would make it another: "DS-1 holds fuses, which are not recorded".
    """

    tag: str
    rating_a: float
    kind: DeviceKind
    at_load_end: bool = False
    behind: str = ""
    trip: str = ""
    smaller: tuple[Need, ...] = ()
    unless: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{local(self.tag)}, {self.rating_a:g} A {self.kind}"


def protecting_device(distribution: Distribution, tag: str) -> Protection | NoValue:
    """Return the device that protects the conductors leading to an element.

    Parameters
    ----------
    distribution : Distribution
    tag : str
        Full tag of an element; of a circuit, the conductors are those that leave it.

    Returns
    -------
    Protection or NoValue
        Of several ways that may feed it, the largest device. NoValue names the records that do not
        tell which device stands there, or its rating.

    Raises
    ------
    KeyError
        There is no such element.

    Notes
    -----
    The next device upstream (240.21), through whatever opens nothing at an overcurrent. Nothing is
    carried over from the other side of a transformer, a UPS or a drive (240.21(C); the exceptions
    of 240.4(F) for two-wire and delta-delta secondaries are left out), and a source has nothing
    before it: there the device at the end of the conductors counts, as the code has it for service
    (230.90) and secondary conductors. From memory.

    Feeds in a ring, which would have no end here, are an error of the records.

    A side of a transfer switch whose circuit records conductors of its own is left out for the
    switch itself, which records one set of conductors for both sides.
    """
    element = distribution.elements[tag]
    if isinstance(element.record, Circuit):
        return _of_circuit(distribution, element)
    found = [_ahead(distribution, element, feed) for feed in _feeds(distribution, element)]
    if not found:
        return NoValue((Need(tag, "fed_from"),))
    return _largest(found)


def _feeds(distribution: Distribution, element: Element) -> tuple[str, ...]:
    """Return what may feed an element by its recorded conductors."""
    if element.feed is None:
        return ()
    others = element.other_feeds
    if isinstance(element.record, TransferSwitch):
        others = tuple(o for o in others if distribution.elements[o].conductors_of != o)
    return (element.feed, *others)


def _ahead(distribution: Distribution, element: Element, feed: str) -> Protection | NoValue:
    """Return the device ahead of an element's conductors on one way, or else that at their end."""
    found = _upstream(distribution, feed, _lands_on_line(element, feed))
    if not isinstance(found, str):
        return found
    end = end_device(element)
    if isinstance(end, Protection):
        return replace(end, at_load_end=True, behind=found)
    if end is not None:
        return end
    why = f"no overcurrent device is recorded between the {found} and the end of the conductors"
    return NoValue((Need(element.tag, _end_key(element), why),))


def end_device(element: Element) -> Protection | NoValue | None:
    """Return the device in which the conductors of an element end; None where there is none.

    Parameters
    ----------
    element : Element

    Returns
    -------
    Protection, NoValue or None
        NoValue where it is not recorded whether there is one, or how large.

    Notes
    -----
    A panel's main device, or the fuses of a disconnect.
    """
    record = element.record
    if isinstance(record, Panel):
        if record.main_device is not None:
            return _of_device(f"{element.tag}/main", element.tag, "main", record.main_device)
        return None if record.has_main_lugs else NoValue((Need(element.tag, "main"),))
    if isinstance(record, Disconnect):
        return _fuses(element.tag, record)
    return None


def _end_key(element: Element) -> str:
    return "main" if isinstance(element.record, Panel) else "fed_from"


def _of_circuit(distribution: Distribution, element: Element) -> Protection | NoValue:
    record = element.record
    assert isinstance(record, Circuit)  # noqa: S101  # for mypy: the callers have asked
    if record.device is None:
        return NoValue((Need(element.tag, "device"),))
    own = _of_device(element.tag, element.tag, "device", record.device)
    if own is not None:
        return own
    panel = distribution.elements[element.feed or ""]
    found = _of_bus(distribution, panel)
    if isinstance(found, str):
        return NoValue((Need(element.tag, "device", f"nothing protects behind the {found}"),))
    return found


def _of_device(tag: str, owner: str, key: str, device: Device) -> Protection | NoValue | None:
    """Return a device; None where it is one that opens nothing at an overcurrent."""
    kind = rated_kind(device)
    if kind is None:
        return None
    if device.rating_a is None:
        return NoValue((Need(owner, f"{key}: rating"),))
    return Protection(tag, float(device.rating_a), kind, trip=device.trip or "")


def rated_kind(device: Device) -> DeviceKind | None:
    """Return what list of ratings a device has; None where it opens nothing at an overcurrent."""
    if device.kind in _NO_PROTECTION:
        return None
    return "fuse" if device.kind in _FUSED else "breaker"


def _fuses(tag: str, record: Disconnect) -> Protection | NoValue | None:
    if record.fuse_a is not None:
        return Protection(tag, float(record.fuse_a), "fuse")
    return NoValue((Need(tag, "fuses"),)) if record.fuse_class is not None else None


def _of_bus(distribution: Distribution, panel: Element) -> Protection | NoValue | str:
    """Return what protects the bus of a panel, or the kind of thing that stops the search."""
    main = end_device(panel)
    if isinstance(main, Protection):
        return main
    above = _on_all_ways(distribution, panel)
    if main is None or not isinstance(above, Protection):
        # Behind a source or transformer the main that is not recorded is all there may be.
        return main if isinstance(above, str) and main is not None else above
    return replace(above, smaller=(*above.smaller, *main.needs))


def _upstream(
    distribution: Distribution, tag: str, on_line_side: bool = False
) -> Protection | NoValue | str:
    """Return the device at an element or above it, or the kind of thing that stops the search."""
    element = distribution.elements[tag]
    record = element.record
    if isinstance(record, Source):
        return record.kind
    if isinstance(record, Transformer | Ups | Drive):
        return record.kind
    if isinstance(record, Circuit):
        return _of_circuit(distribution, element)
    if isinstance(record, Panel):
        if on_line_side:
            return _on_all_ways(distribution, element)
        return _of_bus(distribution, element)
    if isinstance(record, Disconnect):
        fuses = _fuses(tag, record)
        if fuses is not None:
            return fuses
        above = _on_all_ways(distribution, element)
        if not isinstance(above, Protection):
            return above
        unless = (*above.unless, f"{local(tag)} holds fuses, which are not recorded")
        return replace(above, unless=unless)
    return _on_all_ways(distribution, element)


def _on_all_ways(distribution: Distribution, element: Element) -> Protection | NoValue | str:
    feeds = (*((element.feed,) if element.feed else ()), *element.other_feeds)
    if not feeds:
        return NoValue((Need(element.tag, "fed_from"),))
    found = [_upstream(distribution, feed, _lands_on_line(element, feed)) for feed in feeds]
    stopped = next((each for each in found if isinstance(each, str)), None)
    if stopped is not None:
        return stopped
    return _largest([each for each in found if not isinstance(each, str)])


def _largest(found: list[Protection | NoValue]) -> Protection | NoValue:
    unknown = [each for each in found if isinstance(each, NoValue)]
    if unknown:
        return NoValue(tuple(dict.fromkeys(n for each in unknown for n in each.needs)))
    known = [each for each in found if isinstance(each, Protection)]
    return max(known, key=lambda each: each.rating_a)


def _lands_on_line(element: Element, feed: str) -> bool:
    """Return whether an element is tapped ahead of a panel's main device."""
    record = element.record
    references: tuple[Reference, ...] = ()
    if isinstance(record, TransferSwitch):
        references = (record.normal_from, record.emergency_from)
    elif not isinstance(record, Source | Circuit):
        references = getattr(record, "fed_from", None) or ()
    home = building_of(element.tag)
    return any(
        ref.port == "line" and f"{ref.building or home}:{ref.tag}" == feed for ref in references
    )

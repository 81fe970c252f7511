"""The conductors into an element as a voltage drop sees them, and which are on the way to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.segments import WARM_C, Segment, segment
from recordgen.records.equipment import Transformer
from recordgen.records.supply import Circuit, Panel
from recordgen.records.system import NominalSystem


@dataclass(frozen=True)
class Stretch:
    """Conductors between two places, and the volts on them.

    Attributes
    ----------
    tag : str
        Full tag of the element at their end.
    poles : int
        How many ungrounded conductors carry the current; 1 is one and the neutral.
    nominal_v : float
        Between lines; to neutral for one pole [V].
    one_way_ohm : complex
        Of one conductor; of two unlike ones their mean [Ω].
    run : Segment
    share : float
        How much of the load one such pair of conductors carries: a half where the two poles of a
        circuit each feed loads to neutral.
    inputs : tuple of Input
    """

    tag: str
    poles: int
    nominal_v: float
    one_way_ohm: complex
    run: Segment
    share: float
    inputs: tuple[Input, ...]

    @property
    def phases(self) -> Literal[1, 3]:
        """Return how the drop adds up: out and back, or √3 of one phase."""
        return 3 if self.poles == 3 else 1

    @property
    def per_va(self) -> complex:
        """Return the part of the nominal voltage that is lost for each volt-ampere [1/VA]."""
        ways = 1 if self.poles == 3 else 2
        return ways * self.one_way_ohm * self.share / self.nominal_v**2


def stretch_into(
    element: Element, above: Element | None, to_neutral: bool = False
) -> Stretch | NoValue:
    """Return the conductors that lead to an element, or along a circuit to its end.

    Parameters
    ----------
    element : Element
    above : Element or None
        What it hangs on.
    to_neutral : bool
        Whether its loads stand between each of its two poles and the neutral.

    Returns
    -------
    Stretch or NoValue
        NoValue names what is missing of the conductors or of the system they carry.

    Notes
    -----
    Conductors at 75 °C, as the tables have them; that is assumed, and colder ones drop less.
    Where two poles each feed loads to neutral, or a neutral is shared, the neutral's drop is in it
    in full: the others may be off, and each then is a two-wire circuit (common practice).
    """
    run = segment(element)
    volts = _volts(element, above)
    needs = [*(run.needs if isinstance(run, NoValue) else ()), *_needs(volts)]
    if needs or isinstance(run, NoValue) or isinstance(volts, NoValue):
        return NoValue(tuple(needs))
    system, poles = volts
    two_wire = poles == 1 or (to_neutral and poles == 2)
    inputs = [*run.inputs, Input("temperature of the conductors", f"{WARM_C:g} °C", "assumed")]
    one_way, nominal_v = run.phase_ohm, system.line_v
    if two_wire:
        if system.neutral_v is None:
            return NoValue((Need(element.tag, "system", f"{system} has no neutral"),))
        if run.neutral_ohm is None:
            return NoValue((Need(element.conductors_of, "neutral of the conductors"),))
        inputs.append(_neutral(element))
        one_way, nominal_v = (run.phase_ohm + run.neutral_ohm) / 2, system.neutral_v
    inputs.append(Input("nominal voltage", f"{nominal_v:g} V", "recorded", element.tag))
    return Stretch(
        tag=element.tag,
        poles=1 if two_wire else poles,
        nominal_v=nominal_v,
        one_way_ohm=one_way,
        run=run,
        share=0.5 if two_wire and poles == 2 else 1.0,
        inputs=tuple(inputs),
    )


def _needs(answer: object) -> tuple[Need, ...]:
    return answer.needs if isinstance(answer, NoValue) else ()


def _neutral(element: Element) -> Input:
    recorded = element.conductors.neutral if element.conductors else None
    if recorded is not None:
        return Input("neutral", str(recorded), "recorded", element.conductors_of)
    return Input("neutral", "as large as the ungrounded conductor", "assumed")


def _volts(element: Element, above: Element | None) -> tuple[NominalSystem, int] | NoValue:
    """Return the system of the conductors into an element, and how many of its poles they are."""
    record = element.record
    own = record.primary if isinstance(record, Transformer) else element.system
    system = own
    poles = [None if isinstance(record, Transformer) else element.poles]
    if above is not None and not isinstance(record, Circuit):
        system = above.system or own
        poles.append(above.poles)
    if system is None:
        key = "primary" if isinstance(record, Transformer) else "system"
        return NoValue((Need(element.tag, key),))
    if system.phases not in (1, 3):
        return NoValue((Need(element.tag, "system", "direct current is not calculated"),))
    known = [each for each in poles if each is not None]
    if not known:
        known = [3 if system.phases == 3 else 2]
        if isinstance(record, Circuit):
            return NoValue((Need(element.tag, "device: poles"),))
    if min(known) == 1 and _on_high_leg(element, above, system):
        why = "one pole on the high leg: its voltage to neutral is no nominal one"
        return NoValue((Need(element.tag, "device: poles", why),))
    return system, min(known)


def _on_high_leg(element: Element, above: Element | None, system: NominalSystem) -> bool:
    if not system.high_leg:
        return False
    panel = above.record if above is not None else None
    high = panel.high_leg if isinstance(panel, Panel) else None
    return element.legs == (high or "B")


# Which stretches there are.


def has_stretch(distribution: Distribution, tag: str) -> bool:
    """Say whether conductors of its own lead to an element, recorded or not.

    A source has none. What has none recorded and hangs on a circuit stands on the circuit's, and so
    does what has the very same recorded once more. A circuit without any, on whose device the
    conductors of something else begin, has none either.
    """
    element = distribution.elements[tag]
    if element.feed is None:
        return element.kind != "source" and element.conductors is not None
    if _on_its_circuit(distribution, element):
        return False
    return not (
        element.kind == "circuit"
        and element.conductors is None
        and _hands_on(distribution, element)
    )


def _on_its_circuit(distribution: Distribution, element: Element) -> bool:
    """Say whether an element stands at the end of its circuit's conductors, without own ones."""
    if element.conductors_of != element.tag:
        return True
    above = distribution.elements[element.feed or element.tag]
    return (
        above.kind == "circuit"
        and above is not element
        and element.conductors is not None
        and above.conductors == element.conductors
    )


def _hands_on(distribution: Distribution, circuit: Element) -> bool:
    """Say whether all that hangs on a circuit comes by conductors of its own."""
    below = distribution.below[circuit.tag]
    if distribution.loads_at.get(circuit.tag) or not below:
        return False
    return all(distribution.elements[each].conductors_of == each for each in below)


def carrier(distribution: Distribution, tag: str) -> str:
    """Return the element whose stretch is meant by an element: itself, or its neighbour.

    A disconnect or starter on a circuit's own conductors means the circuit; a circuit whose only
    conductors are recorded at what it feeds means that.
    """
    element = distribution.elements[tag]
    if has_stretch(distribution, tag) or element.feed is None:
        return tag
    if _on_its_circuit(distribution, element):
        return carrier(distribution, element.feed)
    below = distribution.below[tag]
    return below[0] if len(below) == 1 else tag


def branches(distribution: Distribution) -> dict[str, bool]:
    """Return element → whether its conductors are a branch circuit.

    They are where no panel, transformer, transfer switch or UPS hangs on them; a fused disconnect
    or a starter on a circuit is counted as part of its branch.
    """
    on = frozenset({"source", "panel", "transformer", "transfer switch", "UPS"})
    found: dict[str, bool] = {}
    for element in distribution.from_loads_up():
        below = distribution.below[element.tag]
        found[element.tag] = element.kind not in on and all(found[each] for each in below)
    return found

"""Small records for the tests of fault currents."""

from pathlib import Path

from recordgen.calc.answer import Answer, Value
from recordgen.calc.study.distribution import Distribution
from recordgen.calc.study.fault_addends import FaultAddends
from recordgen.calc.study.faults import COLD_C, FaultCurrents, FaultStudy
from tests.network.asking import portfolio

# Published nowhere as records; the figures are those of a case that was worked by hand with complex
# impedances and solved by OpenDSS beforehand, at 75 °C.
REFERENCE = """
sources:
  UTIL:
    kind: utility
    system: 480Y/277
    available_fault_current: 22 kA
    x_over_r: 6
equipment:
  T-1:
    kind: transformer
    fed_from: UTIL
    rating: 75 kVA
    primary: 480 delta
    secondary: 208Y/120
    impedance: 3.5 %
    x_over_r: 1.5
    connection: delta-wye
    conductors: {size: 1 AWG Cu, raceway: EMT, length: 0 ft}
panels:
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: T-1
    feeder: {size: 1 AWG Cu, neutral: 1 AWG Cu, raceway: EMT, length: 100 ft}
    circuits:
      1: {device: 20 A, conductors: {size: 12 AWG Cu, raceway: EMT, length: 75 ft}}
      2-4:
        device: {rating: 20 A, poles: 2}
        conductors: {size: 12 AWG Cu, raceway: EMT, length: 75 ft}
      6: {device: 20 A}
"""


def distribution(folder: Path, text: str) -> Distribution:
    found = portfolio(folder, text)
    return Distribution(found.buildings, found.network, found.supply)


def study(folder: Path, text: str, temperature_c: float = COLD_C) -> FaultStudy:
    return FaultStudy(distribution(folder, text), temperature_c)


def addends(found: FaultStudy) -> FaultAddends:
    return FaultAddends(found.distribution, found.reaches)


def largest(found: FaultStudy, tag: str) -> FaultCurrents:
    return found.at(f"home:{tag}").largest


def amount(answer: Answer | None) -> float:
    assert isinstance(answer, Value), answer
    return answer.amount


def needs(answer: Answer | None) -> list[str]:
    """Return what an answer asks for, or what makes it "at least"."""
    assert answer is not None
    found = answer.at_least if isinstance(answer, Value) else answer.needs
    return [str(need) for need in found]

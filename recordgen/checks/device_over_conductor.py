"""An overcurrent device larger than its conductors may have.

Passing: `3: {device: 20 A, conductors: 12 AWG Cu, loads: none}`
Failing: `3: {device: 30 A, conductors: 12 AWG Cu, loads: none}`

Such conductors overheat before the device opens: NEC 240.4 (from memory). It is a warning where the
device is too large whatever is not recorded, and a note where that decides. Circuits of motors and
others with a rule of their own, 240.4(G), are left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.study.feeders import ConductorAnswer
from recordgen.calc.study.protecting_device import Protection
from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each such device, and a note for each that may be one."""
    for answer in facts.study.conductors.answers.values():
        if not isinstance(answer.device, Protection) or answer.verdict.at_most_a is None:
            continue
        if answer.verdict.word == "too large":
            yield _too_large(facts, answer, answer.device)
        elif answer.verdict.word == "not known":
            yield _not_known(facts, answer, answer.device)


def _too_large(facts: Facts, answer: ConductorAnswer, device: Protection) -> Problem:
    verdict = answer.verdict
    unless = f"; unless {', or '.join(verdict.unless)}" if verdict.unless else ""
    return Problem(
        "warning",
        "device-over-conductor",
        f"{_device(device)} is too large for {_written(answer)}: "
        f"{verdict.at_most_a:g} A at most (NEC {verdict.clause}){unless}",
        facts.place_of_conductors(answer.tag),
        "correct the record; if it is right, change the device or the conductors",
        related=(facts.network.devices[device.tag].place,),
        subjects=tuple(dict.fromkeys((answer.tag, device.tag))),
    )


def _not_known(facts: Facts, answer: ConductorAnswer, device: Protection) -> Problem:
    needs = " and ".join(dict.fromkeys(need.field for need in answer.verdict.needs))
    return Problem(
        "note",
        "device-over-conductor-open",
        f"whether {_device(device)} is too large for {_written(answer)} "
        f"hangs on what is not recorded (NEC {answer.verdict.clause})",
        facts.place_of_conductors(answer.tag),
        f"record {needs}",
        subjects=(answer.tag,),
    )


def _device(device: Protection) -> str:
    return f"{local(device.tag)} with {device.rating_a:g} A"


def _written(answer: ConductorAnswer) -> str:
    parallel = answer.conductors.parallel or 1
    many = f"{parallel} × " if parallel > 1 else ""
    return f"{many}{answer.conductors.size}"

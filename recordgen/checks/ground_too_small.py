"""An equipment grounding conductor smaller than its overcurrent device asks.

Passing: `3: {device: 60 A, conductors: {size: 4 AWG Cu, ground: 10 AWG Cu}}`
Failing: `3: {device: 60 A, conductors: {size: 4 AWG Cu, ground: 12 AWG Cu}}`

It may burn off before the device opens at a ground fault: NEC 250.122. Where it is large enough for
the device, but the circuit's conductors are larger than they have to be, it is a note: 250.122(B)
lets some increases go without. A ground that is not recorded is no finding: a metal raceway may
serve as one.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.conductor_area import circular_mils
from recordgen.calc.study.feeders import ConductorAnswer
from recordgen.calc.study.protecting_device import Protection
from recordgen.checks.facts import Facts
from recordgen.network.model import local
from recordgen.problems import Problem


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each such conductor, a note for each that was not increased too."""
    for answer in facts.study.conductors.answers.values():
        if answer.ground.word == "too small":
            yield _too_small(facts, answer)
        elif answer.ground.word == "too small as increased":
            yield _not_increased(facts, answer)


def _too_small(facts: Facts, answer: ConductorAnswer) -> Problem:
    device = answer.device
    assert isinstance(device, Protection)  # noqa: S101  # for mypy: it was held against a device
    return Problem(
        "warning",
        "ground-too-small",
        f"{local(answer.tag)}: the equipment ground of {answer.ground.recorded} is too small for "
        f"{device.rating_a:g} A: at least {answer.ground.minimum} ({answer.ground.clause})",
        facts.place_of_conductors(answer.tag),
        "correct the record; if it is right, mend the installation",
        related=(facts.network.devices[device.tag].place,),
        subjects=(answer.tag,),
    )


def _not_increased(facts: Facts, answer: ConductorAnswer) -> Problem:
    ground, needed = answer.ground.recorded, answer.ground.needed_circular_mils
    assert ground is not None  # noqa: S101  # for mypy: it was held against a size
    assert needed is not None  # noqa: S101
    return Problem(
        "note",
        "ground-not-increased",
        f"{local(answer.tag)}: the equipment ground of {ground} ({circular_mils(ground):,.0f} "
        f"circular mils) was not increased with the {answer.conductors.size} conductors: at least "
        f"{needed:,.0f} circular mils ({answer.ground.clause})",
        facts.place_of_conductors(answer.tag),
        "no matter where they are larger for ambient temperature or number of conductors alone",
        subjects=(answer.tag,),
    )

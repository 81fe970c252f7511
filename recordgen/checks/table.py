"""The table of all checks: name of the module → its function, in the order they run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from recordgen.checks import (
    changed_from_normal,
    contradicted_record,
    handle_tie_partner,
    lockable_not_recorded,
    operation_not_recorded,
    several_feeds,
    spare_with_loads,
    too_few_poles,
    unknown_loads,
    unknown_source,
)
from recordgen.checks.facts import Facts
from recordgen.problems import Problem

CHECKS: Mapping[str, Callable[[Facts], Iterator[Problem]]] = MappingProxyType(
    {
        "unknown_source": unknown_source.check,
        "unknown_loads": unknown_loads.check,
        "contradicted_record": contradicted_record.check,
        "spare_with_loads": spare_with_loads.check,
        "too_few_poles": too_few_poles.check,
        "handle_tie_partner": handle_tie_partner.check,
        "lockable_not_recorded": lockable_not_recorded.check,
        "operation_not_recorded": operation_not_recorded.check,
        "several_feeds": several_feeds.check,
        "changed_from_normal": changed_from_normal.check,
    }
)


def findings(facts: Facts) -> Iterator[Problem]:
    """Yield what every check finds."""
    for check in CHECKS.values():
        yield from check(facts)

"""What a check may look at: the checked portfolio so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from recordgen.calc.study.study import Study
from recordgen.evidence.edge_grades import EdgeGrades
from recordgen.evidence.grades import Grades
from recordgen.evidence.trace_verdict import TraceVerdicts
from recordgen.network.model import Network, building_of, local
from recordgen.problems import Location
from recordgen.records.loader import LoadedBuilding


@dataclass(frozen=True)
class Facts:
    """Records that can be read, the network made of them, and how well claims are known.

    `buildings` is building id → its records; `study` works out what is asked of it, once.
    """

    buildings: Mapping[str, LoadedBuilding]
    network: Network
    grades: Grades
    study: Study
    as_of: dt.date
    trace_verdicts: TraceVerdicts
    edge_grades: EdgeGrades

    def place_of_conductors(self, tag: str) -> Location:
        """Return where the conductors of an element are recorded; `tag` is its full tag."""
        loaded, name = self.buildings[building_of(tag)], local(tag)
        if name in loaded.records.panels:
            return loaded.where("panels", name, "feeder")
        if name in loaded.records.equipment:
            return loaded.where("equipment", name, "conductors")
        panel, _, position = name.rpartition("/")
        return loaded.where("panels", panel, "circuits", position, "conductors")

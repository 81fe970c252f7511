"""What a check may look at: the checked portfolio so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from recordgen.calc.study.study import Study
from recordgen.evidence.grades import Grades
from recordgen.network.model import Network
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

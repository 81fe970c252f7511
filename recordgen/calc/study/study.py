"""Every calculation that is asked of a portfolio, each worked out once and when first asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from recordgen.calc.study.capacity import CapacityStudy
from recordgen.calc.study.distribution import Distribution
from recordgen.calc.study.fault_addends import FaultAddends
from recordgen.calc.study.faults import FaultStudy
from recordgen.calc.study.feeders import ConductorStudy
from recordgen.calc.study.fit import FitStudy
from recordgen.calc.study.loading import LoadingStudy
from recordgen.calc.study.room import RoomStudy
from recordgen.calc.study.voltages import VoltageStudy
from recordgen.network.model import Network
from recordgen.network.supply import Supply
from recordgen.records.loader import LoadedBuilding


@dataclass
class Study:
    """The calculations of a portfolio whose records can be read."""

    buildings: Mapping[str, LoadedBuilding]
    network: Network
    supply: Supply

    @cached_property
    def distribution(self) -> Distribution:
        """Which thing hangs on which, and by which conductors."""
        return Distribution(self.buildings, self.network, self.supply)

    @cached_property
    def conductors(self) -> ConductorStudy:
        """Recorded conductors against the devices that protect them."""
        return ConductorStudy(self.distribution)

    @cached_property
    def loading(self) -> LoadingStudy:
        """How much everything carries."""
        return LoadingStudy(self.distribution)

    @cached_property
    def capacity(self) -> CapacityStudy:
        """How full everything is."""
        return CapacityStudy(self.distribution, self.loading)

    @cached_property
    def fits(self) -> FitStudy:
        """Whether one more load fits."""
        return FitStudy(self.distribution, self.loading, self.capacity, self.voltages)

    @cached_property
    def room(self) -> RoomStudy:
        """How much more everything could take."""
        return RoomStudy(self.capacity, self.fits)

    @cached_property
    def voltages(self) -> VoltageStudy:
        """Voltage drop to everything, and the voltage there."""
        return VoltageStudy(self.distribution, self.loading)

    @cached_property
    def faults(self) -> FaultStudy:
        """Available fault current at everything, from every source."""
        return FaultStudy(self.distribution)

    @cached_property
    def fault_addends(self) -> FaultAddends:
        """What motors and inverters add to the fault current of a source."""
        return FaultAddends(self.distribution, self.faults.reaches)

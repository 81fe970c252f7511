"""What the network is made of: zones, switching devices, couplings, sources, loads, enclosures.

Everything has a full tag, `building:TAG` or `building:PANEL/POSITION`, and is found by it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

import networkx as nx

from recordgen.problems import Location

DeviceKind = Literal[
    "circuit device",
    "main device",
    "disconnect",
    "local disconnect",
    "bus tie",
    "transfer switch",
    "UPS",
    "transformer",
    "motor starter",
    "variable-frequency drive",
]
CouplingKind = Literal["shared neutral", "through a load"]
Role = Literal["line", "load", "normal", "emergency", "bypass", "maintenance", "output", "a", "b"]


Legs = int
"""A set of ungrounded conductors, as bits: A is 1, B is 2, C is 4."""
NO_LEGS: Final[Legs] = 0
ALL_LEGS: Final[Legs] = 7
CONVERTING: Final = frozenset({"transformer", "UPS", "variable-frequency drive"})


@dataclass(frozen=True)
class Terminal:
    """One side of a device: its role there, and the zone it connects."""

    role: Role
    zone: str


@dataclass(frozen=True)
class Device:
    """Anything that joins zones and is not plain conductor.

    Attributes
    ----------
    tag : str
        Full tag: `clinic:LP-2A/14`, `clinic:LP-2A/main`, `clinic:ATS-1`, `clinic:AHU-2/disconnect`.
    kind : DeviceKind
    terminals : tuple of Terminal
    enclosure : str
        Full tag of the panel, equipment or load whose enclosure holds it.
    closed : bool
        Whether it is closed in the normal state.
    present : str or None
        The recorded present position, where it differs from the normal state.
    locks_open : bool or None
        Whether it isolates and can be locked open; None where that is not recorded.
    bars : str
        Why it is no point to lock at, in words; empty where it is one.
    automatic : bool
        Whether a transfer switch or tie acts by itself.
    poles : int or None
        None where that is not recorded.
    opens_all : bool
        Whether it opens every ungrounded conductor of what it feeds.
    legs : Legs
        The ungrounded conductors that a circuit takes off its bus; none where its positions do not
        tell, and then it counts as taking all that the bus has.
    bus_legs : Legs
        The conductors that the bus must really have for `legs` to hold.
    makes, line_makes : Legs
        Of a transformer, UPS or drive: the conductors of its output, and of its line side when fed
        backwards.
    makes_neutral : bool
        Of a transformer: whether its secondary has a neutral, as far as is recorded.
    opens_with : tuple of str
        Full tags of devices whose handles are tied to this one.
    neutral_follows : bool
        Whether a neutral passes only while the device is closed, as far as is recorded.
    rating : str
        Rating and poles as pages show them; empty where not recorded.
    title : str
        What it is for, in the words of the record; empty where not recorded.
    place : Location
    """

    tag: str
    kind: DeviceKind
    terminals: tuple[Terminal, ...]
    enclosure: str
    place: Location
    closed: bool = True
    present: str | None = None
    locks_open: bool | None = None
    bars: str = ""
    automatic: bool = False
    poles: int | None = None
    opens_all: bool = True
    legs: Legs = NO_LEGS
    bus_legs: Legs = NO_LEGS
    makes: Legs = NO_LEGS
    line_makes: Legs = NO_LEGS
    makes_neutral: bool = False
    opens_with: tuple[str, ...] = ()
    neutral_follows: bool = False
    rating: str = ""
    title: str = ""

    @property
    def zones(self) -> tuple[str, ...]:
        """The zones it joins, in order of its terminals."""
        return tuple(terminal.zone for terminal in self.terminals)

    @property
    def isolates(self) -> bool:
        """Whether it counts as a point to lock: recorded as lockable, and opening everything."""
        return bool(self.locks_open) and self.opens_all

    @property
    def converts(self) -> bool:
        """Whether what leaves it hangs on all conductors of what enters."""
        return self.kind in CONVERTING

    @property
    def load_side(self) -> str:
        """The zone it feeds; of a tie, the second one."""
        return self.zone_at("output") or self.zone_at("load") or self.terminals[-1].zone

    def zone_at(self, role: Role) -> str | None:
        """Return the zone at a terminal, or None where there is no such terminal."""
        return next((t.zone for t in self.terminals if t.role == role), None)


@dataclass(frozen=True)
class Coupling:
    """What passes energy between zones though it is no device: it counts for hazard only.

    `kind` is "shared neutral" or "through a load"; `ends` are the pairs of circuits or terminals as
    recorded (full tags).
    """

    id: str
    kind: CouplingKind
    zones: tuple[str, str]
    text: str
    ends: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class NetworkSource:
    """A source, a battery inside a UPS, or what is not known to feed a thing (`kind` unknown)."""

    tag: str
    kind: Literal[
        "utility",
        "generator",
        "photovoltaic",
        "battery storage",
        "generator inlet",
        "UPS battery",
        "unknown",
    ]
    zones: tuple[str, ...]
    place: Location
    text: str
    legs: Legs = ALL_LEGS
    neutral: bool = True
    starts_by_itself: bool = False
    carries_load: bool = False
    operator: str | None = None


@dataclass(frozen=True)
class NetworkLoad:
    """A load and the zones it takes power from.

    Attributes
    ----------
    tag : str
    groups : tuple of tuple of str
        Each inner tuple holds zones of which any one is enough; the load needs every group.
    legs_together : bool
        Whether its groups are legs of one supply: losing one leaves an abnormal voltage.
    line_to_line : bool
        Whether its recorded voltage is that between ungrounded conductors: it needs no neutral.
    circuits : tuple of str
        Full tags of what feeds it, as recorded.
    zones : tuple of str
        All zones in its enclosure, control power included.
    """

    tag: str
    groups: tuple[tuple[str, ...], ...]
    circuits: tuple[str, ...]
    zones: tuple[str, ...]
    place: Location
    legs_together: bool = False
    line_to_line: bool = False


@dataclass
class Zone:
    """Conductors with no device between them; `labels` is enclosure → what they are there."""

    id: str
    labels: dict[str, list[str]] = field(default_factory=dict)

    def label_in(self, enclosure: str) -> str:
        """Return what the zone is called inside an enclosure."""
        return ", ".join(self.labels.get(enclosure, []))


@dataclass
class Enclosure:
    """A box with terminals in it: a panel, a piece of equipment, or a load's own enclosure."""

    tag: str
    zones: list[str] = field(default_factory=list)
    crossing: list[str] = field(default_factory=list)


@dataclass
class Network:
    """The conducting network of a portfolio.

    `hazard` is an undirected graph whose nodes are zone ids, device tags, coupling ids and source
    tags (all distinct strings); every device in it is closed, whatever its state, since a sheet
    must hold for any state of the switches.

    `circuit_zone` is circuit → the zone of its load side; `fed_by` is what feeds → what it feeds;
    `unknown_load_circuits` is circuit → whether the record says outright that its load is unknown;
    `depends` is load or source → full tags of what it needs besides its feeds.
    """

    zones: dict[str, Zone] = field(default_factory=dict)
    devices: dict[str, Device] = field(default_factory=dict)
    couplings: dict[str, Coupling] = field(default_factory=dict)
    sources: dict[str, NetworkSource] = field(default_factory=dict)
    loads: dict[str, NetworkLoad] = field(default_factory=dict)
    enclosures: dict[str, Enclosure] = field(default_factory=dict)
    circuit_zone: dict[str, str] = field(default_factory=dict)
    fed_by: dict[str, list[str]] = field(default_factory=dict)
    unknown_load_circuits: dict[str, bool] = field(default_factory=dict)
    depends: dict[str, tuple[str, ...]] = field(default_factory=dict)
    hazard: nx.Graph[str] = field(default_factory=nx.Graph)

    def bus_zone(self, enclosure: str) -> str:
        """Return the zone of a panel's bus, or the one zone of a box without devices."""
        for zone in self.enclosures[enclosure].zones:
            if "bus" in self.zones[zone].labels.get(enclosure, ()):
                return zone
        return self.enclosures[enclosure].zones[0]


def building_of(tag: str) -> str:
    """Return the building id of a full tag."""
    return tag.partition(":")[0]


def local(tag: str) -> str:
    """Return a full tag without its building: what is painted on the thing."""
    return tag.partition(":")[2]

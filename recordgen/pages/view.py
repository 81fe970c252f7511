"""What every page kind works with: the portfolio, its answers, links, and the page frame."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal
from urllib.parse import quote

import jinja2

from recordgen.evidence.changes import Change, changes
from recordgen.network.cross_references import is_cable, named_thing
from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.answers import Answers
from recordgen.pages.fault_values import FaultBook
from recordgen.pages.filters import FILTERS
from recordgen.pages.page import DataFile, Heading, Page
from recordgen.pages.paths import Link
from recordgen.pages.qr import Code, Codes
from recordgen.problems import Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.positions import Reference, read_reference
from recordgen.records.supply import Load

if TYPE_CHECKING:
    from recordgen.portfolio import Portfolio

_PLUG_KINDS = frozenset(
    {"receptacle", "lighting", "emergency lighting", "exit sign", "IT", "medical", "communication"}
)


class View:
    """A portfolio as pages see it.

    `address` is that of the site, without a slash at its end; empty where none is configured.
    """

    def __init__(self, portfolio: Portfolio, address: str = "") -> None:
        self.portfolio = portfolio
        self.address = address
        self._codes = Codes()
        self.network = portfolio.network
        self.answers = Answers(portfolio)
        self.faults = FaultBook(portfolio)
        self.templates = jinja2.Environment(
            loader=jinja2.PackageLoader("recordgen.pages"),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.templates.filters.update(FILTERS)

    def canonical(self, reference: str, building: str = "") -> str:
        """Return the full tag that a reference names: `b:LP-1/4` is `b:LP-1/2-4-6` there."""
        full = reference if ":" in reference else f"{building}:{reference}"
        read = read_reference(full)
        loaded = self.portfolio.buildings.get(read.building or "")
        if loaded is None:
            return full
        # A bus port (feed-through, line) leads to its panel.
        return named_thing(loaded, read) or named_thing(loaded, Reference(read.tag)) or full

    def building_name(self, building: str) -> str:
        """Return the name of a building."""
        return self.portfolio.buildings[building].records.building.name

    def name(self, tag: str, building: str) -> str:
        """Return a full tag as pages of a building name it."""
        return local(tag) if building_of(tag) == building else tag

    @cached_property
    def runs_of(self) -> Mapping[str, tuple[str, ...]]:
        """Full tag of a circuit, a panel, a load, a cable … → full tags of its runs."""
        found: dict[str, list[str]] = {}
        for building, loaded in self.portfolio.buildings.items():
            for tag, run in loaded.records.runs.items():
                there = run.of.building or building
                cable = is_cable(self.portfolio.buildings[there], run.of)
                full = f"{there}:{run.of.tag}" if cable else self.canonical(str(run.of), building)
                found.setdefault(full, []).append(f"{building}:{tag}")
        return {full: tuple(runs) for full, runs in found.items()}

    @cached_property
    def _panels(self) -> frozenset[str]:
        return frozenset(
            f"{building}:{tag}"
            for building, loaded in self.portfolio.buildings.items()
            for tag in loaded.records.panels
        )

    def is_panel(self, tag: str) -> bool:
        """Say whether a full tag is that of a panel."""
        return tag in self._panels

    def has_sheet_of_its_own(self, load: Load) -> bool:
        """Say whether a load gets a lockout sheet: it is fixed, or has more than one feed.

        Where the connection is not recorded, kinds that are seldom wired in go by the sheet of
        their circuit.
        """
        if load.connection is not None and load.connection == "plug":
            several = load.fed_from is not None and len(load.fed_from) > 1
            return several or bool(load.control_power_from)
        return (
            load.connection == "fixed"
            or load.kind not in _PLUG_KINDS
            or load.local_disconnect is not None
            or load.fed_from is not None
        )

    def sheet_path(self, tag: str) -> str | None:
        """Return the path of the lockout sheet that a full tag has, or None."""
        if tag in self.network.loads:
            return paths.lockout(tag) if self.has_sheet_of_its_own(self.answers.load(tag)) else None
        is_known = tag in self.network.circuit_zone or self.is_panel(tag) or self.is_equipment(tag)
        return paths.lockout(tag) if is_known else None

    def is_equipment(self, tag: str) -> bool:
        """Say whether a full tag is that of a piece of equipment."""
        loaded = self.portfolio.buildings.get(building_of(tag))
        return loaded is not None and local(tag) in loaded.records.equipment

    def place_of(self, tag: str) -> tuple[str, str] | None:
        """Return path and anchor of the page that a full tag is a link to, or None."""
        building = building_of(tag)
        if self.is_panel(tag):
            return paths.panel(tag), ""
        if tag in self.network.loads:
            sheet = self.sheet_path(tag)
            if sheet is not None:
                return sheet, ""
            circuit = self.answers.load_circuit(tag)
            return self.place_of(circuit) if circuit else None
        if tag in self.network.circuit_zone:
            box, _, position = tag.partition("/")
            return paths.panel(box), paths.circuit_anchor(position)
        if tag in self.network.sources or self.is_equipment(tag):
            if tag.endswith(("/battery", "/unknown-source")):
                return self.place_of(tag.rpartition("/")[0])
            return paths.index(building, "equipment"), local(tag)
        if tag.endswith("/disconnect"):
            return self.place_of(tag.removesuffix("/disconnect"))
        if tag.endswith("/main"):
            return paths.panel(tag.removesuffix("/main")), ""
        if building in self.portfolio.buildings and tag == f"{building}:building":
            return paths.building(building), "building"
        return None

    def problems(self, tags: Iterable[str]) -> list[Problem]:
        """Return the findings that touch any of some full tags, in order of place."""
        by_tag = self.portfolio.problems_of
        found = {p: None for tag in dict.fromkeys(tags) for p in by_tag.get(tag, ())}
        return sorted(found, key=lambda problem: problem.location)

    def findings(self, building: str) -> list[Problem]:
        """Return the findings in the files of a building, in order of place."""
        files = {entry.path for entry in self.loaded(building).entries.values()}
        return [p for p in self.portfolio.problems if p.location.path in files]

    @cached_property
    def changes_of(self) -> Mapping[str, list[Change]]:
        """Building → everything in it that is dated, the latest first."""
        found: dict[str, list[Change]] = {}
        for change in changes(self.portfolio.buildings):
            found.setdefault(change.building, []).append(change)
        return found

    @cached_property
    def connected(self) -> Mapping[str, tuple[str, ...]]:
        """Building → every building that hangs together with it, itself among them, in order."""
        members: dict[str, set[str]] = {name: {name} for name in self.portfolio.buildings}
        for touched in self._touching():
            if len(touched) > 1:
                union = set().union(*(members[name] for name in touched))
                for name in union:
                    members[name] = union
        return {name: tuple(sorted(group)) for name, group in members.items()}

    @cached_property
    def _digests(self) -> Mapping[str, str]:
        """Building → digest of the records of every building that hangs together with it."""
        return {
            name: _digest(self.portfolio.buildings[m].digest for m in group)
            for name, group in self.connected.items()
        }

    def _touching(self) -> Iterator[set[str]]:
        """Yield buildings that have a zone, a neutral or a dependency in common."""
        zones = self.network.zones
        for zone in zones.values():
            yield {building_of(enclosure) for enclosure in zone.labels}
        for coupling in self.network.couplings.values():
            yield {building_of(box) for zone in coupling.zones for box in zones[zone].labels}
        for tag, needs in self.network.depends.items():
            yield {building_of(name) for name in (tag, *needs)}

    def network_digest(self, building: str) -> str:
        """Return a digest of every record that could change an answer about a building."""
        return self._digests[building]

    def loaded(self, building: str) -> LoadedBuilding:
        """Return the records of a building."""
        return self.portfolio.buildings[building]

    def address_of(self, link: str) -> str:
        """Return the whole address of a link from the top of the site; empty without one."""
        return f"{self.address}/{link}" if self.address else ""

    def code_of(self, link: str) -> Code | None:
        """Return the QR code of a link from the top of the site; None without an address."""
        return self._codes.code(self.address_of(link)) if self.address else None

    def page(
        self,
        path: str,
        title: str,
        template: str,
        *,
        building: str | None,
        context: Mapping[str, Any],
        nav: str | None = None,
        searched: bool = False,
        contents: Iterable[Heading] = (),
        depends_on: str = "",
        scripts: tuple[str, ...] = (),
        files: tuple[DataFile, ...] = (),
        head: Literal["coded", "plain", "screen"] = "plain",
    ) -> Page:
        """Return a finished page.

        Parameters
        ----------
        path, title, building, nav, searched, contents, scripts, files
            As `Page` has them.
        template : str
            Name of the template of the body.
        context : mapping
            What the template loops over.
        depends_on : str
            Digest of what could change the answer without changing the text.
        head : str
            "coded" for a sheet whose print can be held against the page by its QR code, "screen"
            where head and foot are left out on paper.
        """
        links = Links(self, path, building)
        body = self.templates.get_template(template).render(
            **context, title=title, link=links, unknown="not recorded"
        )
        revision = _digest((body, depends_on))[:8]
        as_of = self.portfolio.as_of.isoformat()
        frame = self.templates.get_template("frame.html")
        html = frame.render(
            body=body,
            head=head,
            # The revision is in the code, so nothing of the code may be in the revision.
            code=self.code_of(paths.print_link(path, revision, as_of)) if head == "coded" else None,
            building_id=building,
            site=links.page("").rstrip("/") or ".",
            # A sheet with cautions of its own needs no second set.
            cautioned="cautions" in context,
            building=self.building_name(building) if building else None,
            building_link=links.page(paths.building(building)) if building else None,
            find_link=links.page(paths.building(building), paths.FINDER) if building else None,
            revision=revision,
            as_of=as_of,
        )
        return Page(
            path,
            title,
            html,
            tuple(contents),
            building,
            nav,
            searched,
            revision,
            (*scripts, paths.PRINT_CHECK) if building else scripts,
            files,
        )


def _digest(parts: Iterable[str]) -> str:
    found = hashlib.sha256()
    for part in parts:
        found.update(part.encode())
        found.update(b"\0")
    return found.hexdigest()


class Links:
    """Makes the links of one page, and says what a tag is called there."""

    def __init__(self, view: View, path: str, building: str | None) -> None:
        self._view = view
        self._path = path
        self._building = building

    def page(self, path: str, anchor: str = "") -> str:
        """Return the link to a path of the site."""
        return paths.relative(path, self._path, anchor)

    def tag(self, tag: str) -> Link:
        """Return the link for a full tag; without a place to go, the `href` is empty."""
        text = self._view.name(tag, self._building or "")
        place = self._view.place_of(tag)
        return Link(text, self.page(*place) if place else "")

    def device(self, tag: str) -> Link:
        """Return the link to what a device's opening darkens."""
        return Link(self._view.name(tag, self._building or ""), self.page(paths.downstream(tag)))

    def sheet(self, tag: str) -> Link | None:
        """Return the link to the lockout sheet of a full tag, where it has one."""
        path = self._view.sheet_path(tag)
        return Link(self._view.name(tag, self._building or ""), self.page(path)) if path else None

    def fault(self, tag: str) -> Link:
        """Return the link to the page of a fault; `tag` is `building:FAULT`."""
        return Link(self._view.name(tag, self._building or ""), self.page(paths.fault(tag)))

    def sheet_of(self, tag: str) -> Link:
        """Return the link to the sheet of this diagram that begins with a thing (full tag)."""
        return Link(local(tag), f"#{quote(paths.diagram_sheet(tag))}")

    def node(self, node: str) -> Link:
        """Return the link for a step on a way: a tag, or the text of a coupling."""
        if node in self._view.network.devices or node in self._view.network.sources:
            return self.tag(node)
        return Link(node, "")

    def room(self, building: str, room: str) -> Link:
        """Return the link to a room; without a page of its own, the `href` is empty."""
        known = room in self._view.loaded(building).records.rooms
        return Link(room, self.page(paths.room(building, room)) if known else "")

    def room_of(self, tag: str, room: str) -> Link:
        """Return the link to a room of the building that a full tag belongs to."""
        return self.room(building_of(tag), room)

    def index(self, name: str, anchor: str = "") -> str:
        """Return the link to an index page of this page's building."""
        return self.page(paths.index(self._building or "", name), anchor)

    def run(self, tag: str) -> Link:
        """Return the link to the page of a run (full tag)."""
        return Link(self._view.name(tag, self._building or ""), self.page(paths.run(tag)))

    def cable(self, tag: str) -> Link:
        """Return the link to a cable (full tag) in the register of its building."""
        path = paths.index(building_of(tag), "cables")
        anchor = paths.record_anchor(local(tag))
        return Link(self._view.name(tag, self._building or ""), self.page(path, anchor))

    def trace(self, tag: str) -> Link:
        """Return the link to the page of a trace (full tag)."""
        return Link(self._view.name(tag, self._building or ""), self.page(paths.trace(tag)))

    def instrument(self, tag: str) -> Link:
        """Return the link to an instrument (full tag) in the list of its building."""
        path = paths.index(building_of(tag), "instruments")
        anchor = paths.record_anchor(local(tag))
        return Link(self._view.name(tag, self._building or ""), self.page(path, anchor))

    def inspection(self, tag: str) -> Link:
        """Return the link to an inspection (full tag) in the list of its building."""
        path = paths.index(building_of(tag), "inspections")
        anchor = paths.record_anchor(local(tag))
        return Link(self._view.name(tag, self._building or ""), self.page(path, anchor))

"""Panel directories, against published position tables and against the record files.

Where positions stand and which phase they are on comes from tests/data/panel_position_phase.csv
and panel_multipole_spans_42.csv (their sources are in tests/data/sources.csv). What stands at each
position is read from the record files with a plain YAML reader.
"""

import csv
from pathlib import Path
from typing import Any

import pytest
import yaml

from recordgen.pages.directory import directory_rows
from recordgen.portfolio import load_portfolio
from recordgen.records.phase import position_phase
from tests.conftest import AS_OF, ROOT
from tests.pages.conftest import Document
from tests.pages.reading import Element

DATA = ROOT / "tests" / "data"


def table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()))


POSITIONS = {int(row["position"]): row for row in table("panel_position_phase.csv")}
SPANS = table("panel_multipole_spans_42.csv")


@pytest.mark.parametrize("phases", [1, 3])
def test_the_phase_of_every_position(phases: int) -> None:
    column = {1: "phase_1ph3w", 3: "phase_3ph4w"}[phases]
    found = {n: position_phase(n, phases) for n in POSITIONS}
    assert found == {n: row[column] for n, row in POSITIONS.items()}


@pytest.mark.parametrize("phases", [1, 3])
def test_the_phases_of_every_span(phases: int) -> None:
    for row in SPANS:
        numbers = map(int, row["positions"].split())
        found = "".join(position_phase(n, phases) or "?" for n in numbers)
        assert found == row[f"phases_{phases}ph"]


def test_numbering_down_the_columns() -> None:
    """Half down the left side, half down the right, rows alternating as ever (common practice)."""
    found = [position_phase(n, 3, "down the columns", 12) for n in range(1, 13)]
    assert found == list("ABCABC" * 2)
    assert position_phase(7, 3, "down the columns") is None


def test_what_is_no_position() -> None:
    with pytest.raises(ValueError, match="positions count from 1"):
        position_phase(0, 3)
    # Two phases of a three-phase system: which ones, nobody has said.
    assert position_phase(1, 2) is None


# --- The demo's panels ----------------------------------------------------------------------

BOARDS = ("panelboard", "load centre")


def recorded() -> dict[str, dict[str, Any]]:
    """Return full tag → the panel as its file has it, for panels with numbered positions."""
    found = {}
    for path in sorted((ROOT / "buildings").rglob("*.yaml")):
        building = path.relative_to(ROOT / "buildings").parts[0]
        text = path.read_text(encoding="utf-8")
        # The base loader makes nothing but text, lists and mappings.
        records = yaml.load(text, Loader=yaml.BaseLoader) or {}  # noqa: S506
        for tag, panel in (records.get("panels") or {}).items():
            if panel["kind"] in BOARDS:
                found[f"{building}:{tag}"] = panel
    return found


RECORDED = recorded()


def directory(document: Document, tag: str) -> dict[int, dict[str, Any]]:
    """Return position → side, row, phase and circuit cell, as a wide screen lays them out."""
    page = document(tag.replace(":", "/panels/") + ".html")
    body = next(page.one("rg-directory").all("tbody"))
    found: dict[int, dict[str, Any]] = {}
    # Circuit cells that reach down from a row above: side → (cell, rows left).
    reaching: dict[str, tuple[Element, int]] = {}
    for number, row in enumerate(body.all("tr"), 1):
        # What a phone shows instead of the span is hidden on a wide screen.
        cells = [c for c in row.all("td", "th") if not c.has_class("rg-continued")]
        for side, parity in (("left", "rg-odd"), ("right", "rg-even")):
            own = [cell for cell in cells if cell.has_class(parity)]
            (place,) = (c for c in own if c.has_class("rg-position"))
            (phase,) = (c for c in own if c.has_class("rg-phase"))
            circuits = [c for c in own if c.has_class("rg-circuit")]
            begins = bool(circuits)
            if begins:
                assert side not in reaching, (tag, number, "a cell under a span")
                (cell,) = circuits
                reaching[side] = (cell, int(cell.attributes.get("rowspan", "1")))
            cell, left = reaching.pop(side)
            if left > 1:
                reaching[side] = (cell, left - 1)
            if place.text:
                found[int(place.text)] = {
                    "side": side,
                    "row": number,
                    "phase": phase.text,
                    "cell": cell,
                    "begins": begins,
                }
        # Left to right: position, circuit, phase, phase, circuit, position.
        sides = ["rg-odd" if cell.has_class("rg-odd") else "rg-even" for cell in cells]
        assert sides == sorted(sides, reverse=True)
        assert cells[0].has_class("rg-position")
        assert cells[-1].has_class("rg-position")
    assert reaching == {}, (tag, "a span reaches below the table")
    return found


@pytest.mark.parametrize("tag", RECORDED)
def test_every_position_stands_where_it_stands_on_the_panel(document: Document, tag: str) -> None:
    panel = RECORDED[tag]
    found = directory(document, tag)
    assert sorted(found) == list(range(1, int(panel["positions"]) + 1))
    three = panel["system"].startswith(("480Y", "208Y", "240/120 high-leg"))
    for number, place in found.items():
        row = POSITIONS[number]
        assert (place["side"], place["row"]) == (row["side"], int(row["row"]))
        phase, _, rest = place["phase"].partition(" ")
        assert phase == row["phase_3ph4w" if three else "phase_1ph3w"]
        high = row["volts_to_neutral_high_leg_delta_240_120"] == "208"
        assert rest == ("high leg" if high and "high-leg" in panel["system"] else "")


@pytest.mark.parametrize("tag", RECORDED)
def test_every_device_stands_at_its_positions(document: Document, tag: str) -> None:
    found = directory(document, tag)
    seen = set()
    for position, circuit in RECORDED[tag]["circuits"].items():
        numbers = [int(n.rstrip("AB")) for n in position.split("-")]
        first, *rest = numbers
        seen |= set(numbers)
        cell: Element = found[first]["cell"]
        assert found[first]["begins"]
        # One cell over all its rows, and over no others.
        assert int(cell.attributes.get("rowspan", "1")) == len(numbers)
        assert all(found[n]["cell"] is cell and not found[n]["begins"] for n in rest)
        assert [str(first), str(len(numbers)), " ".join(map(str, numbers))] in [
            [row["first_position"], row["poles"], row["positions"]] for row in SPANS
        ]
        plain = circuit if isinstance(circuit, str) else ""
        values = circuit if isinstance(circuit, dict) else {}
        assert cell.has_class("rg-space") == (plain == "space")
        assert cell.has_class("rg-spare") == (plain == "spare" or "spare" in values)
        described = values.get("description")
        if plain == "space":
            assert cell.text == "Space"
        elif described:
            assert described in cell.text
        else:
            assert cell.text.startswith("Spare")
        if position.endswith(("A", "B")):
            assert [e.text for e in cell.all("strong")][:2] == [f"{first}A", f"{first}B"]
        if plain != "space":
            (link,) = (a for a in cell.all("a") if a.attributes["href"] == f"#position-{position}")
            assert link.text == (described or "Spare")
    # A position that nobody has written down is shown as such.
    for number in set(found) - seen:
        assert found[number]["cell"].text == "not recorded"


def test_the_demo_has_what_these_tests_are_about() -> None:
    positions = [p for panel in RECORDED.values() for p in panel["circuits"]]
    assert any(p.count("-") == 2 for p in positions)
    assert any(p.endswith("A") for p in positions)
    assert "42" in {panel["positions"] for panel in RECORDED.values()}
    systems = {panel["system"] for panel in RECORDED.values()}
    assert {"480Y/277", "208Y/120", "120/240", "240/120 high-leg delta"} <= systems


def test_assumptions_are_marked(document: Document) -> None:
    """HL-2 says nothing about its numbering and its high leg; HL-1 says both."""
    assumed = document("workshop/panels/HL-2.html").text
    assert "Odd positions left and even ones right are assumed, not recorded" in assumed
    assert "high leg on phase B is assumed, not recorded" in assumed
    assert "assumed, not recorded" not in document("workshop/panels/HL-1.html").text


def test_numbered_down_the_columns_a_device_keeps_its_places(tmp_path: Path) -> None:
    folder = tmp_path / "shed"
    folder.mkdir()
    (folder / "all.yaml").write_text(
        "building: {name: Shed}\n"
        "sources: {U: {kind: utility, system: 208Y/120}}\n"
        "panels: {P: {kind: panelboard, system: 208Y/120, positions: 6, fed_from: U, "
        "numbering: down the columns, circuits: {1-2: {description: Heater, device: "
        "{rating: 20 A, poles: 2}}, 4: spare}}}\n",
        encoding="utf-8",
    )
    portfolio = load_portfolio(tmp_path, AS_OF)
    assert [p for p in portfolio.problems if p.severity == "error"] == []
    rows = directory_rows(portfolio.buildings["shed"].records.panels["P"])
    places = [(r.left and r.left.number, r.right and r.right.number) for r in rows]
    assert places == [(1, 4), (2, 5), (3, 6)]
    assert [r.left and r.left.phase for r in rows] == ["A", "B", "C"]
    assert rows[0].right is not None
    assert rows[0].right.kind == "spare"

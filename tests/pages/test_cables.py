"""The register of cables: what is known of both ends, and which have still to be identified."""

from pathlib import Path

import pytest

from recordgen.pages import cables
from recordgen.pages.cable_values import cable_lines
from tests.pages.reading import Element
from tests.pages.run_records import HEAD, only, view

ENDS = "ends: [{room: A1, at: port 1}, {room: A2, at: jack, label: J-1}]"
BUNDLE = (
    f"traces: {{T-1: {{{HEAD}, purpose: sort a bundle, readings: ["
    "{at: C-1, values: 31, sensitivity: 2}, {at: C-2, values: %s, sensitivity: 2}, "
    "{at: C-3, values: 30, sensitivity: 2}]}}"
)


def register(folder: Path, text: str) -> Element:
    return only(list(cables.pages(view(folder, text))))


def to_do(folder: Path, cable: str, reading: int = 88, more: str = "") -> tuple[str, ...]:
    made = view(folder, f"cables: {{C-2: {{kind: coax, {cable}}}{more}}}\n{BUNDLE % reading}")
    return cable_lines(made, "home")[0].to_do


@pytest.mark.parametrize(
    ("cable", "reading", "expected"),
    [
        (f"{ENDS}, identified: printed at both ends", 88, ()),
        (f"{ENDS}, trace: T-1", 88, ()),
        (ENDS, 88, ("how it was identified is not recorded",)),
        # One end says nothing.
        ("identified: tone, ends: [{room: A1}]", 88, ("an end is not recorded",)),
        ("identified: tone, ends: [{room: A1}, {label: x}]", 88, ("an end is not recorded",)),
        (
            "notes: other end not found",
            88,
            ("an end is not recorded", "how it was identified is not recorded"),
        ),
        # 40 against 31 leads by less than the 20 that the rule of bundles asks for.
        (f"{ENDS}, trace: T-1", 40, ("the readings of its trace call no cable",)),
        (
            f"{ENDS}, identified: strongest, trace: T-1",
            40,
            ("the readings of its trace call no cable",),
        ),
        (f"{ENDS}, trace: T-1", 3, ("the readings of its trace call no cable",)),
    ],
)
def test_what_still_has_to_be_identified_and_why(
    tmp_path: Path, cable: str, reading: int, expected: tuple[str, ...]
) -> None:
    assert to_do(tmp_path, cable, reading) == expected


def test_a_trace_that_points_at_another_cable_identifies_none(tmp_path: Path) -> None:
    text = f"cables: {{C-1: {{kind: coax, {ENDS}, trace: T-1}}}}\n{BUNDLE % 88}"
    (line,) = cable_lines(view(tmp_path, text), "home")
    assert line.to_do == ("its trace points at C-2",)
    assert "C-2 stands out from the others, leading by 57 of 99" in line.shown


def test_one_trace_can_show_one_cable_only(tmp_path: Path) -> None:
    found = to_do(tmp_path, f"{ENDS}, trace: T-1", 88, ", C-3: {kind: coax, trace: T-1}")
    assert found == ("C-2, C-3 all rest on one trace, which can show one of them only",)


CABLES = f"""
cables:
  C-1: {{kind: category, category: Cat 6, {ENDS}, bundle: B-1, identified: wire map}}
  C-2: {{kind: category, {ENDS}, bundle: B-1, identified: strongest signal, trace: T-1}}
  C-3: {{kind: coax, bundle: B-1, ends: [{{room: A1, at: coiled up}}], notes: far end not found}}
runs:
  R-1: {{of: C-2, landmarks: [{{at: 0 m, what: rack, room: A1}}, {{at: 9 m, what: jack}}]}}
"""


def test_those_to_identify_come_first_and_are_marked_wherever_they_stand(tmp_path: Path) -> None:
    found = register(tmp_path, CABLES + BUNDLE % 88)
    assert "3 cables, 1 still to identify; 1 run." in found.text
    first, every, rooms, runs = found.of_class("rg-table")
    _, row = first.all("tr")
    assert row.text.startswith("C-3 An end is not recorded. How it was identified is not recorded.")
    assert "other end not recorded" in row.text
    marks = [row.text.split()[0] for row in every.all("tr") if "to identify" in row.text]
    assert marks == ["C-3"]
    assert "C-3 coax, to identify: coiled up; other room not recorded" in rooms.text
    cards = {next(card.all("h3")).text: card.text for card in found.of_class("rg-card")}
    assert "C-3 coax to identify" in cards["B-1"]
    assert "R-1 cable C-2 rack to jack 9 m" in runs.text
    assert "none: unverified" in runs.text


def test_each_cable_has_its_anchor_ends_verdict_and_date(tmp_path: Path) -> None:
    found = register(tmp_path, CABLES + BUNDLE % 88)
    every = list(found.of_class("rg-table"))[1]
    rows = {row.attributes["id"]: row for row in every.all("tr") if "id" in row.attributes}
    assert list(rows) == ["record-C-1", "record-C-2", "record-C-3"]
    text = rows["record-C-2"].text
    assert "A1: port 1 A2: jack, labelled J-1" in text
    assert (
        "strongest signal; T-1: C-2 stands out from the others, leading by 57 of 99; bears" in text
    )
    assert "2026-05-01" in text
    assert "Along R-1" in text
    # Of a way that is no trace nobody has recorded the day.
    assert rows["record-C-1"].text.endswith("wire map not recorded")


def test_every_end_is_listed_in_its_room(tmp_path: Path) -> None:
    found = register(tmp_path, CABLES + BUNDLE % 88)
    rooms = list(found.of_class("rg-table"))[2]
    by_room = {next(row.all("th")).text: row.text for row in rooms.all("tr")}
    assert list(by_room) == ["Room", "A1", "A2", "room not recorded"]
    assert all(tag in by_room["A1"] for tag in ("C-1", "C-2", "C-3"))
    assert "C-1 category, Cat 6: jack, labelled J-1; to A1" in by_room["A2"]
    # The end of C-3 that nobody has found is somewhere, too.
    assert "C-3" in by_room["room not recorded"]


def test_a_building_without_cables_says_so(tmp_path: Path) -> None:
    text = register(tmp_path, "").text
    assert "0 cables, 0 still to identify; 0 runs." in text
    assert "No cable is recorded." in text


def test_an_end_without_a_room_is_listed_under_room_not_recorded(tmp_path: Path) -> None:
    cable = "cables: {C-1: {kind: coax, identified: tone, ends: [{at: mast}, {room: A1}]}}"
    rooms = list(register(tmp_path, cable).of_class("rg-table"))[1]
    by_room = {next(row.all("th")).text: row.text for row in rooms.all("tr")}
    assert "C-1 coax: mast; to A1" in by_room["room not recorded"]
    assert "other room not recorded" in by_room["A1"]

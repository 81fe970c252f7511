"""Files are merged by key, wherever they lie below the building's folder."""

from pathlib import Path

import pytest

from recordgen.records.loader import load_records
from recordgen.records.messages import MAX_PROBLEMS
from tests.records.sample import HEAD, loaded, records


def test_sections_are_merged_over_files_in_order_of_path(tmp_path: Path) -> None:
    depot = tmp_path / "buildings" / "depot"
    for name, room in (("b/floor.yml", "2"), ("a.yaml", "1"), ("b/a/x.yaml", "3")):
        depot.joinpath(name).parent.mkdir(parents=True, exist_ok=True)
        depot.joinpath(name).write_text(f"rooms: {{'{room}': Store {room}}}\n")
    found = records(tmp_path, "rooms: {'4': Store 4}\n")
    assert sorted(found.rooms) == ["1", "2", "3", "4"]
    assert [room.name for _, room in sorted(found.rooms.items())] == [
        f"Store {n}" for n in range(1, 5)
    ]


def test_hidden_and_other_files_are_no_records(tmp_path: Path) -> None:
    depot = tmp_path / "buildings" / "depot"
    for name in (".draft.yaml", ".git/x.yaml", "notes.txt", "x.yaml.orig", "x.yaml~"):
        depot.joinpath(name).parent.mkdir(parents=True, exist_ok=True)
        depot.joinpath(name).write_text("{{{ not records")
    (tmp_path / "buildings" / "README.md").write_text("what lies here")
    (tmp_path / "buildings" / ".trash").mkdir()
    assert records(tmp_path).building.name == "Depot"


def test_buildings_come_in_order_of_their_ids(tmp_path: Path) -> None:
    for name in ("b", "a", "c"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "x.yaml").write_text(HEAD)
    assert list(load_records(tmp_path).buildings) == ["a", "b", "c"]


def test_a_folder_that_is_none_raises(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        load_records(tmp_path / "nowhere")
    (tmp_path / "file").write_text("")
    with pytest.raises(NotADirectoryError):
        load_records(tmp_path / "file")


def test_every_mistake_of_every_file_is_told_at_once(tmp_path: Path) -> None:
    found = loaded(
        tmp_path,
        "rooms: {a: {nme: x}, b: {flor: 1}}\npanels: {P: {kind: x}}\n",
        "rooms: [",
        "loads: {L: {kind: fan, power: 5}}\n",
        head="building: {nam: x}\n",
    )
    assert sorted((Path(p.location.path).name, p.code) for p in found.problems) == [
        ("building.yaml", "missing-key"),
        ("building.yaml", "unknown-key"),
        ("records-0.yaml", "unknown-key"),
        ("records-0.yaml", "unknown-key"),
        ("records-0.yaml", "unknown-word"),
        ("records-1.yaml", "yaml-syntax"),
        ("records-2.yaml", "no-unit"),
    ]


def test_a_record_with_a_mistake_is_left_out_and_the_others_kept(tmp_path: Path) -> None:
    found = loaded(tmp_path, "rooms: {a: {nme: x}, b: {name: x, name: y}, c: Store}\n")
    assert [problem.code for problem in found.problems] == ["unknown-key", "duplicate-key"]
    assert list(found.buildings["depot"].records.rooms) == ["c"]


def test_no_circuit_is_lost_to_a_key_written_twice(tmp_path: Path) -> None:
    # A plain YAML load keeps the last of two equal keys without a word.
    text = "panels: {P: {kind: panelboard, circuits: {14: spare, 14: space}}}\n"
    (problem,) = loaded(tmp_path, text).problems
    assert (problem.code, problem.location.column) == ("duplicate-key", text.rindex("14") + 1)
    assert [place.column for place in problem.related] == [text.index("14") + 1]


def test_a_file_of_another_kind_does_not_bury_its_reader(tmp_path: Path) -> None:
    keys = "".join(f"    key{i}: x\n" for i in range(1_000))
    problems = loaded(tmp_path, f"panels:\n  P:\n    kind: panelboard\n{keys}").problems
    assert len(problems) == MAX_PROBLEMS + 1
    assert problems[-1].message == f'{1_000 - MAX_PROBLEMS} more problems in "P"'


def test_places_of_records_and_of_what_is_in_them(tmp_path: Path) -> None:
    text = (
        "panels:\n"
        "  LP-1:\n"
        "    kind: panelboard\n"
        "    circuits:\n"
        "      2-4:\n"
        "        loads:\n"
        "          R-1: {kind: receptacle, room: hall}\n"
    )
    depot = loaded(tmp_path, text).buildings["depot"]

    def place(*path: str, key: bool = False) -> str:
        found = depot.where_key(*path) if key else depot.where(*path)
        line = text.splitlines()[found.line - 1]
        return line[found.column - 1 :]

    assert place("panels", "LP-1") == "LP-1:"
    assert place("panels", "LP-1", "kind") == "panelboard"
    assert place("panels", "LP-1", "kind", key=True) == "kind: panelboard"
    assert place("panels", "LP-1", "circuits", "2-4", key=True) == "2-4:"
    loads = ("panels", "LP-1", "circuits", "2-4", "loads", "R-1")
    assert place(*loads, "room") == "hall}"
    assert place(*loads, "nowhere") == "{kind: receptacle, room: hall}"
    assert str(depot.where_building()).endswith("building.yaml:1:1")


def test_every_load_is_found_by_its_tag(tmp_path: Path) -> None:
    depot = loaded(
        tmp_path,
        "panels: {P: {kind: panelboard, circuits: {3: {loads: {R-1: {kind: receptacle}}}}}}\n"
        "loads: {R-2: {kind: fan, fed_from: P/3}}\n",
    ).buildings["depot"]
    assert {tag: found.circuit for tag, found in depot.loads.items()} == {
        "R-1": "depot:P/3",
        "R-2": None,
    }


def test_the_digest_is_of_the_records_not_of_their_layout(tmp_path: Path) -> None:
    one = loaded(tmp_path / "1", "rooms: {a: Store}\n", "rooms: {b: Office}\n")
    two = loaded(tmp_path / "2", "rooms:\n  # west\n  b: 'Office'\n\n  a: Store\n")
    other = loaded(tmp_path / "3", "rooms: {a: Store, b: Offices}\n")
    digests = [found.buildings["depot"].digest for found in (one, two, other)]
    assert digests[0] == digests[1] != digests[2]

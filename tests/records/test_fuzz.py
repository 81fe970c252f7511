"""Whatever stands in a file, the reader answers with problems and never with an exception."""

import datetime as dt
import json
import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from recordgen.portfolio import load_portfolio
from recordgen.records.loader import load_records, record_files

GOOD = Path(__file__).parents[1] / "cases" / "good" / "everything" / "buildings"
TEXTS = [file.read_bytes() for file in record_files(GOOD)]
SPICE = [b"\x00", b"\xff", b"\t", b"&a ", b"\r", b"*a", b"!!set ", b"<<: ", b"? ", b"- ", b": "]
SPICE += [
    b"{",
    b"]",
    b'"',
    b"'",
    b"|\n",
    b"%",
    b"\\ud800",
    b"\xe2\x80\xae",
    b"\x1b[2J",
    b"~",
    b"\r",
]


def mutated(data: bytes, seed: int, times: int) -> bytes:
    chance = random.Random(seed)  # noqa: S311  # no secret
    for _ in range(times):
        lines = data.splitlines(keepends=True)
        row = chance.randrange(len(lines)) if lines else 0
        at = chance.randrange(len(data) + 1)
        match chance.randrange(7):
            case 0:
                lines[row : row + 1] = []
            case 1:
                lines[row:row] = lines[row : row + chance.randrange(1, 6)]
            case 2:
                lines[row:row] = [chance.choice(lines or [b"\n"])]
            case 3:
                lines[row : row + 1] = [
                    b" " * chance.randrange(4) + line for line in lines[row:][:1]
                ]
            case 4:
                lines = [data[:at], data[at + chance.randrange(1, 9) :]]
            case 5:
                lines = [data[:at], chance.choice(SPICE), data[at:]]
            case 6:
                lines = [data[:at], bytes([chance.randrange(256)]), data[at + 1 :]]
        data = b"".join(lines)
    return data


@pytest.fixture(scope="module")
def depot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("fuzz") / "depot"
    folder.mkdir()
    return folder


LINES = TEXTS[1].decode().splitlines(keepends=True)
"""What the network is made of."""


def read(depot: Path, data: bytes) -> None:
    (depot / "x.yaml").write_bytes(data)
    found = load_records(depot.parent)
    for problem in found.problems:
        assert str(problem).isprintable()
        assert str(problem).encode("utf-8")
        assert problem.location.line >= 1
        assert problem.location.column >= 1
        assert problem.as_json()["code"] == problem.code
    assert found.buildings["depot"].digest


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(TEXTS), st.integers(0, 2**32), st.integers(1, 6))
def test_broken_records_are_answered_with_problems(
    depot: Path, data: bytes, seed: int, times: int
) -> None:
    read(depot, mutated(data, seed, times))


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_answered_with_problems(depot: Path, data: bytes) -> None:
    read(depot, data)


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner),
    max_leaves=8,
)
names = ["building", "rooms", "panels", "equipment", "loads", "traces", "faults"]


@settings(max_examples=200, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(names), st.dictionaries(st.sampled_from(["a", "kind", "1"]), values)
    )
)
def test_any_values_are_answered_with_problems(depot: Path, data: dict[str, object]) -> None:
    read(depot, json.dumps(data).encode())


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, len(LINES) - 1), st.integers(0, len(LINES) - 1)),
        min_size=1,
        max_size=4,
    )
)
def test_a_network_of_changed_records_is_answered_with_problems(
    tmp_path_factory: pytest.TempPathFactory, swaps: list[tuple[int, int]]
) -> None:
    # Values change places between keys: most of it reads well and means something else.
    lines = list(LINES)
    for one, other in swaps:
        key, colon, _ = lines[one].partition(":")
        lines[one] = key + colon + lines[other].partition(":")[2] if colon else lines[other]
    folder = tmp_path_factory.mktemp("network") / "everything"
    folder.mkdir()
    for name, text in zip(("a", "c"), (TEXTS[0], TEXTS[2]), strict=True):
        (folder / f"{name}.yaml").write_bytes(text)
    (folder / "b.yaml").write_text("".join(lines))
    for problem in load_portfolio(folder.parent, dt.date(2026, 11, 25)).problems:
        assert str(problem).isprintable()

"""Places and limits of the YAML reader.

Places are held against PyYAML's pure Python parser, which is another implementation than the
libyaml parser that reads records, and against a plain search in the text.
"""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from recordgen.records import yaml_nodes
from recordgen.records.loader import record_files
from recordgen.records.yaml_nodes import MAX_DEPTH, MAX_NODES
from recordgen.records.yaml_text import UnreadableError, compose
from tests.records.sample import loaded

ROOT = Path(__file__).parents[2]
FILES = sorted(
    file
    for folder in (ROOT / "buildings", ROOT / "tests" / "cases" / "good")
    for file in record_files(folder)
)


def scalars(node: Node) -> Iterator[ScalarNode]:
    if isinstance(node, ScalarNode):
        yield node
    elif isinstance(node, MappingNode):
        for key, value in node.value:
            yield from scalars(key)
            yield from scalars(value)
    elif isinstance(node, SequenceNode):
        for item in node.value:
            yield from scalars(item)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_every_scalar_stands_where_another_parser_finds_it(file: Path) -> None:
    ours = list(scalars(yaml_nodes.read_node(file, file.name)))
    root = yaml.compose(file.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    theirs = list(scalars(root))
    assert len(ours) == len(theirs) > 0
    for mine, other in zip(ours, theirs, strict=True):
        place = yaml_nodes.location(mine, file.name)
        assert (place.line, place.column) == (
            other.start_mark.line + 1,
            other.start_mark.column + 1,
        )


words = st.from_regex("[a-zäλ][a-z0-9 äλ]{0,8}[a-z0-9]", fullmatch=True)


@given(
    st.lists(st.tuples(words, st.sampled_from(["", '"', "'"])), min_size=1, max_size=8),
    st.integers(1, 6),
    st.sampled_from(["", "# ünïcode before\n", "\n\n"]),
)
def test_a_place_is_found_again_by_searching_the_text(
    values: list[tuple[str, str]], indent: int, before: str
) -> None:
    lines = [f"{' ' * indent}k{i}: {q}{word} v{i}{q}" for i, (word, q) in enumerate(values)]
    text = before + "rooms:\n" + "\n".join(lines) + "\n"
    root = compose(text, "x.yaml")
    assert root is not None
    rows = text.split("\n")
    for number, (word, q) in enumerate(values):
        key = yaml_nodes.location(yaml_nodes.key_of(root, ("rooms", f"k{number}")), "x.yaml")
        value = yaml_nodes.location(yaml_nodes.find(root, ("rooms", f"k{number}")), "x.yaml")
        written = f"{q}{word} v{number}{q}"
        assert rows[key.line - 1][key.column - 1 :] == f"k{number}: {written}"
        assert rows[value.line - 1][value.column - 1 :] == written


def test_steps_that_are_not_in_the_file_are_passed_over() -> None:
    root = compose("T-1: {kind: transformer, rating: [a, {b: c}]}", "x.yaml")
    assert root is not None

    def text(*path: str | int) -> object:
        return yaml_nodes.find(root, path).value

    assert text("T-1", "transformer", "kind") == "transformer"
    assert text("T-1", "rating", 1, "b") == "c"
    assert text("T-1", "rating", "[key]") == "rating"
    assert yaml_nodes.find(root, ("T-1", "rating", 9)) is yaml_nodes.find(root, ("T-1", "rating"))
    assert yaml_nodes.key_of(root, ("T-1", "rating", 0)).value == "a"
    assert yaml_nodes.find(root, ("nowhere",)) is root
    assert yaml_nodes.written(root, ("T-1", "transformer", "rating", 1)) == ["T-1", "rating", 1]


def refusal(tmp_path: Path, data: str | bytes) -> str:
    file = tmp_path / "x.yaml"
    file.write_bytes(data.encode() if isinstance(data, str) else data)
    with pytest.raises(UnreadableError) as caught:
        yaml_nodes.read_node(file, "x.yaml")
    return caught.value.problem.code


def nested(depth: int) -> str:
    return "rooms: " + "[" * (depth - 2) + "x" + "]" * (depth - 2)


def test_nesting_is_read_up_to_the_limit(tmp_path: Path) -> None:
    (tmp_path / "y.yaml").write_text(nested(MAX_DEPTH))
    assert yaml_nodes.read_node(tmp_path / "y.yaml", "y.yaml").value
    assert refusal(tmp_path, nested(MAX_DEPTH + 1)) == "too-deep"


@pytest.mark.parametrize(
    "text",
    [
        "rooms: " + "[" * 50000,
        "rooms: " + "{a: " * 5000,
        "? " * 20000,
        "rooms:\n " + "- " * 9000,
        nested(100000),
        "".join(f"{' ' * i}a:\n" for i in range(2000)),
    ],
    ids=["brackets", "braces", "questions", "hyphens", "closed", "indented"],
)
def test_bottomless_files_are_refused_in_good_time(tmp_path: Path, text: str) -> None:
    start = time.monotonic()
    assert refusal(tmp_path, text) == "too-deep"
    assert time.monotonic() - start < 15


def test_aliases_may_unfold_up_to_the_limit(tmp_path: Path) -> None:
    # A list of n items, m times: n·m + m values and a few around them.
    items = ", ".join(["x"] * 999)
    aliases = ", ".join(["*a"] * (MAX_NODES // 1000 - 2))
    (tmp_path / "y.yaml").write_text(f"rooms: [&a [{items}], {aliases}]")
    assert yaml_nodes.read_node(tmp_path / "y.yaml", "y.yaml").value
    assert refusal(tmp_path, f"rooms: [&a [{items}], {aliases}, *a, *a, *a]") == "alias-bomb"


def test_a_long_section_is_read_in_linear_time(tmp_path: Path) -> None:
    text = "rooms:\n" + "".join(f"  r{i}: Store {i}\n" for i in range(30_000))
    start = time.monotonic()
    assert len(loaded(tmp_path, text).buildings["depot"].records.rooms) == 30_000
    # About 3 s; it was minutes when each tag was looked up from the start.
    assert time.monotonic() - start < 30


def test_a_byte_order_mark_of_utf_8_is_no_mistake(tmp_path: Path) -> None:
    found = loaded(tmp_path, b"\xef\xbb\xbfrooms: {a: Caf\xc3\xa9}\n")
    assert not found.problems
    assert found.buildings["depot"].records.rooms["a"].name == "Café"
    (problem,) = loaded(tmp_path, b"\xef\xbb\xbfromms: {}\n").problems
    assert (problem.location.line, problem.location.column) == (1, 1)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_line_endings_of_every_machine_are_read(tmp_path: Path, ending: str) -> None:
    found = loaded(tmp_path, ending.join(["rooms:", "  a: Store", "  b: {nme: x}", ""]))
    (problem,) = found.problems
    assert (problem.location.line, problem.location.column) == (3, 7)
    assert found.buildings["depot"].records.rooms["a"].name == "Store"


def test_a_folder_with_a_file_s_name_and_a_missing_file_are_told(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").mkdir()
    with pytest.raises(UnreadableError, match="cannot be read: is a directory"):
        yaml_nodes.read_node(tmp_path / "x.yaml", "x.yaml")
    with pytest.raises(UnreadableError, match="cannot be read: no such file"):
        yaml_nodes.read_node(tmp_path / "y.yaml", "y.yaml")


@pytest.mark.parametrize(
    "data", [b"", b"\n\n", b"# x\n", b"---\n", b"~", b"null\n", b"\xef\xbb\xbf"]
)
def test_files_that_hold_nothing(tmp_path: Path, data: bytes) -> None:
    assert refusal(tmp_path, data) in ("empty-file", "not-a-mapping")

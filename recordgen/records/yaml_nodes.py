"""Reading YAML to nodes, so that every value keeps the line and column it was written at.

Scalars stay text here: `off`, `010` and `2:4` mean what the field that receives them expects, not
what YAML 1.1 guesses. The limits keep a hostile or broken file from costing memory or time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from recordgen.problems import Location, Problem
from recordgen.records.quantities import shown as quoted
from recordgen.records.yaml_text import compose, read_text, refused

MAX_NODES: Final = 500_000
MAX_DEPTH: Final = 40
_TOO_DEEP: Final = f"values are nested deeper than {MAX_DEPTH} levels"
_FLATTEN: Final = "records need no more than ten; look for brackets that are never closed"

_YAML_TAG: Final = "tag:yaml.org,2002:"
_PLAIN_TAGS: Final = frozenset(
    f"{_YAML_TAG}{name}"
    for name in ("str", "int", "float", "bool", "null", "timestamp", "value", "merge")
)
_COLLECTION_TAGS: Final = frozenset({f"{_YAML_TAG}map", f"{_YAML_TAG}seq"})

Plain = str | None | dict[str, "Plain"] | list["Plain"]


def read_node(path: Path, shown: str) -> MappingNode:
    """Return the root mapping of a record file.

    Parameters
    ----------
    path : Path
        The file.
    shown : str
        The file's name as messages give it.

    Raises
    ------
    UnreadableError
        The file is too large, not UTF-8, empty, not YAML, or not a mapping.
    """
    try:
        node = compose(read_text(path, shown), shown)
    except RecursionError:
        raise refused(shown, "too-deep", _TOO_DEEP, _FLATTEN) from None
    if node is None:
        raise refused(
            shown, "empty-file", "the file holds no records", "delete it or add a section"
        )
    if not isinstance(node, MappingNode):
        raise refused(
            shown,
            "not-a-mapping",
            "expected sections such as `panels:` at the top of the file",
            "start with a section name and a colon",
            node.start_mark,
        )
    _check_shape(node, shown)
    return node


def _check_shape(root: Node, shown: str) -> None:
    """Refuse alias bombs, endless nesting and YAML object tags before anything is expanded."""
    seen = 0
    stack: list[tuple[Node, int, tuple[int, ...], Node]] = [(root, 1, (), root)]
    while stack:
        node, depth, above, section = stack.pop()
        seen += 1
        if id(node) in above:
            raise refused(
                shown, "yaml-alias", "a value contains itself", "remove the alias", node.start_mark
            )
        if seen > MAX_NODES:
            raise refused(
                shown,
                "alias-bomb",
                f"aliases unfold to more than {MAX_NODES:,} values",
                "write the values out, or split the file",
                section.start_mark,
            )
        if depth > MAX_DEPTH:
            raise refused(
                shown,
                "too-deep",
                _TOO_DEEP,
                _FLATTEN,
                node.start_mark,
            )
        _check_tag(node, shown)
        if isinstance(node, ScalarNode) and not node.value.isascii():
            _check_characters(node, shown)
        inside = (*above, id(node))
        stack.extend(
            (child, depth + 1, inside, child if depth == 1 else section)
            for child in _children(node)
        )


def _check_tag(node: Node, shown: str) -> None:
    known = _PLAIN_TAGS if isinstance(node, ScalarNode) else _COLLECTION_TAGS
    if node.tag not in known:
        written = node.tag.replace(_YAML_TAG, "!!")
        raise refused(
            shown,
            "yaml-tag",
            f"the YAML tag {quoted(written)} is not allowed",
            "write plain text, lists and mappings only; quote text that begins with !",
            node.start_mark,
        )


def _check_characters(node: ScalarNode, shown: str) -> None:
    half = next((c for c in node.value if "\ud800" <= c <= "\udfff"), None)
    if half is not None:
        raise refused(
            shown,
            "control-character",
            f"U+{ord(half):04X} is half a character",
            "write the character itself instead of an escape",
            node.start_mark,
        )


def _children(node: Node) -> Sequence[Node]:
    if isinstance(node, MappingNode):
        return [part for pair in node.value for part in pair]
    return node.value if isinstance(node, SequenceNode) else ()


def entries(
    node: MappingNode, shown: str, problems: list[Problem]
) -> Iterator[tuple[ScalarNode, Node]]:
    """Yield key and value of a mapping; a key that is no text or comes twice is a problem."""
    first: dict[str, Node] = {}
    for key_node, value_node in node.value:
        place = location(key_node, shown)
        if not isinstance(key_node, ScalarNode):
            problems.append(
                Problem(
                    "error",
                    "bad-key",
                    "a key is a list or a mapping, expected a name",
                    place,
                    "quote names that hold brackets or braces",
                )
            )
            continue
        key = key_node.value
        if key_node.tag == "tag:yaml.org,2002:merge":
            problems.append(
                Problem(
                    "error",
                    "merge-key",
                    "the YAML merge key << is not read",
                    place,
                    "write the values out where they belong",
                )
            )
        elif key in first:
            problems.append(
                Problem(
                    "error",
                    "duplicate-key",
                    f"{quoted(key)} stands twice in the same mapping",
                    place,
                    "join them or keep one; YAML itself would silently drop the first",
                    related=(location(first[key], shown),),
                )
            )
        else:
            first[key] = key_node
            yield key_node, value_node


def plain(node: Node, shown: str, problems: list[Problem]) -> Plain:
    """Return a node as text, lists and dicts; empty, `~` and `null` become None (not recorded)."""
    if isinstance(node, MappingNode):
        pairs = entries(node, shown, problems)
        return {key.value: plain(value, shown, problems) for key, value in pairs}
    if isinstance(node, SequenceNode):
        return [plain(item, shown, problems) for item in node.value]
    if node.tag == "tag:yaml.org,2002:null":
        return None
    return str(node.value)


def find(node: Node, path: Sequence[str | int]) -> Node:
    """Return the node at a path of keys and list indices; the deepest one that exists.

    Steps that are not in the file (names of union members in a validation error) are passed over.
    The last step `[key]`, as pydantic writes it, asks for the key of the entry before it.
    """
    if path and path[-1] == "[key]":
        return key_of(node, path[:-1])
    return next((value for _, _, value in reversed(_steps(node, path))), node)


def key_of(node: Node, path: Sequence[str | int]) -> Node:
    """Return the key node of the entry at `path`, or the item itself in a list."""
    return next((key for _, key, _ in reversed(_steps(node, path))), node)


def written(node: Node, path: Sequence[str | int]) -> list[str | int]:
    """Return the steps of a path that are in the file."""
    return [step for step, _, _ in _steps(node, path)]


def _steps(node: Node, path: Sequence[str | int]) -> list[tuple[str | int, Node, Node]]:
    found: list[tuple[str | int, Node, Node]] = []
    here = node
    for step in path:
        if isinstance(here, MappingNode):
            for key, value in here.value:
                if isinstance(key, ScalarNode) and key.value == str(step):
                    found.append((step, key, value))
                    here = value
                    break
        elif isinstance(here, SequenceNode) and isinstance(step, int) and step < len(here.value):
            here = here.value[step]
            found.append((step, here, here))
    return found


def location(node: Node, shown: str) -> Location:
    """Return the place where a node begins."""
    return Location(shown, node.start_mark.line + 1, node.start_mark.column + 1)

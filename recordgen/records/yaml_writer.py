"""Values as YAML text that reads back as the same values, here and in other readers of YAML.

A text is written plain only where it comes back as that text in every place a value can stand in;
else it stands in double quotes. Records are written as people write them: one key a line, and what
is short in braces on one line.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import yaml
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from recordgen.records.bounds import Bounds
from recordgen.records.positions import Reference
from recordgen.records.quantities import Quantity

Scalar = str | int | bool | dt.date | Quantity | Bounds | Reference
Value = Scalar | Sequence["Value"] | Mapping[str, "Value"]

_STEP: Final = "  "
# The two parsers of the library do not agree on every sign inside a plain text.
_LOADERS: Final = (yaml.SafeLoader, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
_STR: Final = "tag:yaml.org,2002:str"
_NULL: Final = "tag:yaml.org,2002:null"
# A newer YAML reads some of these as numbers where an older one does not, and the other way round.
_LIKE_A_NUMBER: Final = re.compile(r"[-+.]?[0-9][-+0-9_.,:eExXobBa-fA-F]*")
_SHORT_ESCAPES: Final = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def scalar(value: Scalar) -> str:
    """Return a value as YAML, in quotes where it needs them.

    Examples
    --------
    >>> scalar("LP-1/14"), scalar("yes"), scalar(True), scalar("lid: closed")
    ('LP-1/14', '"yes"', 'yes', '"lid: closed"')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Quantity | Bounds):
        # A number stands plain: it was written as one.
        text = value.written
        return text if _stands(text, as_text=False) else _quoted(text)
    if isinstance(value, int | dt.date):
        return str(value)
    text = str(value)
    return text if _stands(text, as_text=True) else _quoted(text)


def flow(value: Value) -> str:
    """Return a value on one line: lists in brackets, mappings in braces.

    Examples
    --------
    >>> flow({"at": "LP-1/14", "values": [86, 79, 74], "note": "lid: off"})
    '{at: LP-1/14, values: [86, 79, 74], note: "lid: off"}'
    """
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{scalar(key)}: {flow(part)}" for key, part in value.items()) + "}"
    if isinstance(value, Sequence) and not isinstance(value, str):
        return "[" + ", ".join(flow(part) for part in value) + "]"
    return scalar(value)


def entry_lines(key: str, value: Value, indent: str = "") -> Iterator[str]:
    """Yield the lines of a record or of one key, a line for each key and for each item of a list.

    Parameters
    ----------
    key : str
        The tag of a record, or a key in it.
    value : Value
        A mapping of mappings deep is written on one line from its second level on.
    indent : str
        Spaces before the key.

    Yields
    ------
    str
        Without a line break.

    Examples
    --------
    >>> for line in entry_lines("TR-1", {"by": "A.B.", "readings": [{"at": "LP-1", "values": 64}]}):
    ...     print(line)
    TR-1:
      by: A.B.
      readings:
        - {at: LP-1, values: 64}
    """
    if isinstance(value, Mapping):
        yield f"{indent}{scalar(key)}:"
        for name, part in value.items():
            yield from key_lines(name, part, indent + _STEP)
    else:
        yield from key_lines(key, value, indent)


def key_lines(key: str, value: Value, indent: str = "") -> Iterator[str]:
    """Yield the lines of one key in a record; only a list of mappings takes more than one."""
    if isinstance(value, Sequence) and value and all(isinstance(one, Mapping) for one in value):
        yield f"{indent}{scalar(key)}:"
        yield from (f"{indent}{_STEP}- {flow(one)}" for one in value)
    else:
        yield f"{indent}{scalar(key)}: {flow(value)}"


def _stands(text: str, *, as_text: bool) -> bool:
    """Return whether a text comes back as it is from wherever a plain value can stand."""
    if not text.isprintable() or (as_text and _LIKE_A_NUMBER.fullmatch(text)):
        return False
    shapes = (f"k: {text}\n", f"{{k: {text}, l: m}}", f"[{text}, m]", f"- {text}\n")
    return all(
        _is(_first(_root(shape, loader)), text, as_text=as_text)
        for shape in shapes
        for loader in _LOADERS
    )


def _root(text: str, loader: Any) -> Node | None:
    try:
        root: Node | None = yaml.compose(text, Loader=loader)
    except yaml.YAMLError:
        return None
    return root


def _first(root: Node | None) -> Node | None:
    """Return the value that was tried; None where the text made something else of the whole."""
    if isinstance(root, MappingNode):
        keys = [key.value for key, _ in root.value]
        return root.value[0][1] if keys in (["k"], ["k", "l"]) else None
    if isinstance(root, SequenceNode):
        return root.value[0] if len(root.value) in (1, 2) else None
    return None


def _is(node: Node | None, text: str, *, as_text: bool) -> bool:
    if not isinstance(node, ScalarNode) or node.value != text or node.style in ("'", '"', "|", ">"):
        return False
    return node.tag == _STR if as_text else node.tag != _NULL


def _quoted(text: str) -> str:
    return '"' + "".join(_SHORT_ESCAPES.get(c) or _escaped(c) for c in text) + '"'


def _escaped(character: str) -> str:
    if character.isprintable():
        return character
    code = ord(character)
    return (
        f"\\x{code:02X}"
        if code < 0x100
        else f"\\u{code:04X}"
        if code < 0x1_0000
        else f"\\U{code:08X}"
    )

"""Data of the build as a script: a page opened from a file may load no other kind."""

from __future__ import annotations

import json
from typing import Any


def data_script(name: str, data: Any) -> str:
    r"""Return a script that adds data to a global list; its text is harmless wherever it stands.

    Parameters
    ----------
    name : str
        Of the list.
    data : Any
        What JSON can hold.

    Examples
    --------
    >>> data_script("answers", {"tag": "<b>"})
    '(globalThis.answers ??= []).push({"tag":"\\u003cb\\u003e"});\n'
    """
    text = json.dumps(data, separators=(",", ":"))
    for character in "<>&":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return f"(globalThis.{name} ??= []).push({text});\n"

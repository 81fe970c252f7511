"""The ways from sources to loads, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.network.feed_path import FeedPath
from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DeviceLine
from recordgen.pages.wording import CAUTION
from recordgen.terminal.lines import device_text, name, wrap


def feed_text(
    tag: str, paths: Iterable[FeedPath], device_lines: dict[str, DeviceLine]
) -> Iterator[str]:
    """Yield the lines of a feed answer: source to load, each device with its rating."""
    home = building_of(tag)
    for path in paths:
        state = "standby" if path.standby else "normal"
        yield f"{local(tag)} by {name(path.feed, home)} ({state})"
        if path.source is None:
            yield "  no source reaches it in the normal state"
            continue
        yield f"  {name(path.source, home)}"
        for depth, device in enumerate(path.devices, 1):
            line = device_text(device_lines[device], home)
            yield from wrap(
                line, "  " + " " * min(depth, 10) + "└ ", "  " + " " * min(depth, 10) + "    "
            )
        yield ""
    yield from wrap(CAUTION)


def feed_json(
    tag: str, paths: Iterable[FeedPath], device_lines: dict[str, DeviceLine]
) -> dict[str, object]:
    """Return a feed answer as plain values."""
    return {
        "target": tag,
        "paths": [
            {
                "feed": path.feed,
                "standby": path.standby,
                "source": path.source,
                "devices": [
                    {"tag": device, "rating": device_lines[device].rating or None}
                    for device in path.devices
                ],
            }
            for path in paths
        ],
    }

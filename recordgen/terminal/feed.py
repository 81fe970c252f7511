"""The ways from sources to loads, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from recordgen.network.feed_path import FeedPath
from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DeviceLine
from recordgen.pages.wording import CAUTION
from recordgen.terminal.lines import device_text, name, wrap


def feed_text(
    tag: str,
    paths: Iterable[FeedPath],
    device_lines: Mapping[str, DeviceLine],
    locks: Mapping[str, str],
) -> Iterator[str]:
    """Yield the lines of a feed answer: source to load, each device with its rating.

    `locks` has the lock that hangs on a device now, as text.
    """
    home = building_of(tag)
    for path in paths:
        yield f"{local(tag)} by {name(path.feed, home)} ({_state(path)})"
        if path.source is None:
            state = "as switches stand today" if path.today else "in the normal state"
            yield f"  no source reaches it {state}"
            yield ""
            continue
        yield f"  {name(path.source, home)}"
        for depth, device in enumerate(path.devices, 1):
            line = device_text(device_lines[device], home)
            line += "".join(f" [{mark}]" for mark in _marks(device_lines[device], locks))
            yield from wrap(
                line, "  " + " " * min(depth, 10) + "└ ", "  " + " " * min(depth, 10) + "    "
            )
        yield ""
    yield from wrap(CAUTION)


def _state(path: FeedPath) -> str:
    if path.today:
        return "as it stands today"
    return "standby" if path.standby else "normal"


def _marks(line: DeviceLine, locks: Mapping[str, str]) -> Iterator[str]:
    if line.present:
        yield f"stands {line.present} now"
    if line.tag in locks:
        yield f"locked now: {locks[line.tag]}"


def feed_json(
    tag: str,
    paths: Iterable[FeedPath],
    device_lines: Mapping[str, DeviceLine],
    locks: Mapping[str, str],
) -> dict[str, object]:
    """Return a feed answer as plain values."""
    return {
        "target": tag,
        "paths": [
            {
                "feed": path.feed,
                "standby": path.standby,
                "as_it_stands_today": path.today,
                "source": path.source,
                "devices": [
                    {
                        "tag": device,
                        "rating": device_lines[device].rating or None,
                        "stands_now": device_lines[device].present or None,
                        "locked_now": locks.get(device),
                    }
                    for device in path.devices
                ],
            }
            for path in paths
        ],
    }

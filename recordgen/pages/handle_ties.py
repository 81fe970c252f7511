"""Devices whose handle opens another with it, and nobody knows which."""

from __future__ import annotations

from recordgen.checks.handle_tie_partner import CODE
from recordgen.pages.answer_values import DownstreamAnswer
from recordgen.pages.known import Known


def partners_unknown(known: Known, answer: DownstreamAnswer) -> tuple[str, ...]:
    """Return which of the opened devices are tied to one that is not recorded (full tags).

    A single conductor opens without its handle, so nothing opens with it.
    """
    by_tag = known.portfolio.problems_of
    return tuple(
        device.tag
        for device in (*answer.opened, *answer.tied)
        if any(problem.code == CODE for problem in by_tag.get(device.tag, ()))
    )


def partner_text(device: str) -> str:
    """Return what is to be said of such a device."""
    return (
        f"the handle of {device} is tied to another, and to which is not recorded: what opens "
        "with it is left out here."
    )

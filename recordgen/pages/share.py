"""The share verified, as pages show it: a count, what it is made of, and a bar."""

from __future__ import annotations

from dataclasses import dataclass

from recordgen.evidence.coverage import Coverage


@dataclass(frozen=True)
class Share:
    """A share ready to show; there is none where nothing is to be verified.

    Attributes
    ----------
    count : str
        Like `12 of 20 verified`.
    percent : str
        Like `60 %`, rounded down: only all are 100 %.
    parts : str
        Like `8 confirmed, 4 traced, 8 unverified`.
    confirmed_width, traced_width : str
        Lengths on a bar of 100.
    """

    count: str
    percent: str
    parts: str
    confirmed_width: str
    traced_width: str


def share_of(coverage: Coverage | None) -> Share | None:
    """Return a coverage as pages show it; None where there is nothing to verify.

    Examples
    --------
    >>> shown = share_of(Coverage(confirmed=8, traced=4, unverified=8))
    >>> shown.count, shown.percent, shown.parts
    ('12 of 20 verified', '60 %', '8 confirmed, 4 traced, 8 unverified')
    >>> share_of(Coverage()) is None
    True
    """
    if coverage is None or not coverage.total:
        return None
    verified, total = coverage.confirmed + coverage.traced, coverage.total
    return Share(
        f"{verified} of {total} verified",
        f"{100 * verified // total} %",
        f"{coverage.confirmed} confirmed, {coverage.traced} traced, "
        f"{coverage.unverified} unverified",
        f"{100 * coverage.confirmed / total:.1f}",
        f"{100 * coverage.traced / total:.1f}",
    )

"""The table of page kinds, in the order their pages are made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING

from recordgen.pages import (
    audit,
    cables,
    door_card,
    downstream,
    equipment,
    fault,
    faults,
    feeders,
    findings,
    inspections,
    instruments,
    labels,
    lockout,
    missing,
    notice,
    one_line,
    overview,
    panel,
    planner,
    portfolio_page,
    rooms,
    run,
    trace,
    trace_next,
    traces,
    worksheets,
)
from recordgen.pages.page import Page
from recordgen.pages.view import View

if TYPE_CHECKING:
    from recordgen.portfolio import Portfolio

PAGE_KINDS: Mapping[str, Callable[[View], Iterator[Page]]] = MappingProxyType(
    {
        "portfolio_page": portfolio_page.pages,
        "overview": overview.pages,
        "panel": panel.pages,
        "door_card": door_card.pages,
        "equipment": equipment.pages,
        "one_line": one_line.pages,
        "feeders": feeders.pages,
        "rooms": rooms.pages,
        "faults": faults.pages,
        "fault": fault.pages,
        "cables": cables.pages,
        "run": run.pages,
        "traces": traces.pages,
        "trace": trace.pages,
        "instruments": instruments.pages,
        "inspections": inspections.pages,
        "worksheets": worksheets.pages,
        "trace_next": trace_next.pages,
        "labels": labels.pages,
        "audit": audit.pages,
        "findings": findings.pages,
        "missing": missing.pages,
        "downstream": downstream.pages,
        "notice": notice.pages,
        "planner": planner.pages,
        "lockout": lockout.pages,
    }
)


def all_pages(portfolio: Portfolio, address: str = "") -> Iterator[Page]:
    """Yield every page of the site of a portfolio whose records can be read.

    `address` is that of the site, for the codes of prints and labels; empty where none is known.

    Raises
    ------
    ValueError
        The records hold errors: nothing may be published.
    """
    if not portfolio.readable:
        raise ValueError("the records hold errors; no page can be made of them")
    view = View(portfolio, address)
    for make in PAGE_KINDS.values():
        yield from make(view)

"""Downstream list of a device: what goes dark when it is opened, what stays live, whom to tell."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.network.model import building_of, local
from recordgen.network.outcomes import OUTCOMES
from recordgen.pages import paths
from recordgen.pages.notice_answer import has_notice
from recordgen.pages.page import Heading, Page
from recordgen.pages.present_positions import concerned
from recordgen.pages.proven_shown import proven_shown
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTIONS, OUTCOME_CLASS


def pages(view: View) -> Iterator[Page]:
    """Yield the downstream list of every switching device."""
    for tag in view.network.devices:
        yield _page(view, tag)


def _page(view: View, tag: str) -> Page:
    building = building_of(tag)
    answer = view.answers.downstream([tag])
    change = view.answers.present_change([tag], answer) if concerned(view, building) else None
    device = view.network.devices[tag]
    verb = "Switching off" if device.kind in ("transformer", "UPS") else "Opening"
    title = f"{verb} {local(tag)}: what goes dark"
    return view.page(
        paths.downstream(tag),
        title,
        "downstream.html",
        building=building,
        head="coded",
        depends_on=view.network_digest(building),
        contents=[
            Heading(1, "top", title),
            Heading(2, "loads", "Loads"),
            *([Heading(2, "proven", "How much of this is proven")] if answer.loads else []),
            Heading(2, "live", "Stays live"),
            Heading(2, "tell", "Whom to tell"),
        ],
        context={
            "tag": tag,
            "device": answer.opened[0],
            "box": device.enclosure,
            "answer": answer,
            "proven": proven_shown(view.answers.proven(answer)),
            "open_faults": view.faults.open_about(
                (tag, *(line.tag for line in answer.loads if tag in line.circuits))
            ),
            "change": change,
            "newly": list(change.by_outcome()) if change else [],
            "classes": OUTCOME_CLASS,
            "counts": [
                (outcome, OUTCOME_CLASS[outcome], answer.count(outcome))
                for outcome in OUTCOMES
                if answer.count(outcome)
            ],
            "shares": [
                (name, answer.graded(name)) for name in ("confirmed", "traced", "unverified")
            ],
            "planner": paths.planner(building),
            "choice": paths.planner_choice(tag),
            "notice": paths.notice(tag) if has_notice(answer, change) else None,
            "sheet": tag if view.sheet_path(tag) else None,
            "again": [line for line in answer.loads if line.again],
            "problems": [p for p in view.problems([tag]) if p.severity != "stop"],
            "cautions": CAUTIONS,
            "how_decided": paths.HOW_DECIDED,
        },
    )

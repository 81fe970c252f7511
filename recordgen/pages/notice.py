"""Outage notice of a device: to be filled in, printed, and pinned to a door."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.handle_ties import partner_text
from recordgen.pages.notice_answer import has_notice, outage_notice
from recordgen.pages.notice_values import NOT_LISTED, NOT_SAFE, OutageNotice
from recordgen.pages.page import Heading, Page
from recordgen.pages.present_positions import concerned
from recordgen.pages.view import View
from recordgen.pages.wording import OUTCOME_CLASS


def pages(view: View) -> Iterator[Page]:
    """Yield the notice of every device whose opening touches a load, or nobody knows which."""
    for tag in view.network.devices:
        answer = view.answers.downstream([tag])
        change = (
            view.answers.present_change([tag], answer)
            if concerned(view, building_of(tag))
            else None
        )
        if has_notice(answer, change):
            yield _page(view, tag, outage_notice(view.answers, answer, change))


def _page(view: View, tag: str, notice: OutageNotice) -> Page:
    building = building_of(tag)
    title = f"{notice.heading}: {local(tag)}"
    parts = [
        ("meaning", "What it means", True),
        ("first", "Most important", bool(notice.on_top)),
        ("needs", "Depends on what goes off", bool(notice.dependents)),
        ("rooms", "Rooms", bool(notice.floors)),
        (
            "unknown",
            "May go off too",
            bool(notice.unknown_loads or notice.unknown_source or notice.set_back),
        ),
        ("agree", "Must agree first", bool(notice.agree or notice.nobody_named)),
        ("tell", "Who is told", True),
    ]
    return view.page(
        paths.notice(tag),
        title,
        "notice.html",
        building=building,
        head="coded",
        depends_on=view.network_digest(building),
        contents=[
            Heading(1, "top", title),
            *(Heading(2, anchor, text) for anchor, text, shown in parts if shown),
        ],
        context={
            "tag": tag,
            "building": building,
            "notice": notice,
            "classes": OUTCOME_CLASS,
            "headings": {anchor: text for anchor, text, _ in parts},
            "ties": [partner_text(local(tag)) for tag in notice.partner_unknown],
            "not_safe": NOT_SAFE,
            "not_listed": NOT_LISTED,
        },
    )

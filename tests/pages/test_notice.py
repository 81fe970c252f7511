"""Outage notices: who reads what. Expectations are worked out by hand from the record files.

That life-safety and fire-alarm loads, emergency lighting and medical loads come first, and that
somebody answers for them before an outage, is common practice.
"""

import io
from collections import Counter
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from recordgen.network.model import building_of, local
from recordgen.network.outcomes import Outcome
from recordgen.pages.answers import Answers
from recordgen.pages.notice_answer import outage_notice
from recordgen.pages.notice_values import OutageNotice, group_of, heading_of
from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import Portfolio, load_portfolio
from tests.conftest import AS_OF
from tests.pages.conftest import Document
from tests.pages.reading import read

INN = """
building:
  name: Inn
  floors: [Ground]
  notify: [{role: Ward clerk, phone: ext. 7}, {role: porter, phone: ext. 8, when: always}]
rooms:
  A: {name: Ward A, floor: Ground}
  B:
  C: {name: Pit, floor: Cellar}
sources: {U: {kind: utility, system: 208Y/120}}
panels:
  P:
    kind: panelboard
    system: 208Y/120
    fed_from: U
    circuits:
      1:
        loads:
          L1: {kind: receptacle, description: by the door, room: C}
          L2: {kind: medical, description: lift, room: B, criticality: routine, notify: ward clerk}
          L3: {kind: fan}
          L4: {kind: exit sign, room: A}
      2: {description: Old work}
      3: {loads: none}
      4: {}
      5: {loads: none}
      6: {loads: none}
      7: {handle_tied_with: 9, loads: {M: {kind: lighting, room: A}}}
      8: {loads: {PUMP: {kind: pump, room: C}}}
      9: {loads: none}
      10: {loads: none}
equipment: {Q: {kind: UPS, fed_from: P/4}}
loads:
  R: {kind: IT, room: A, fed_from: Q}
  H: {kind: kitchen, room: A, fed_from: [P/5, P/6], needs: all}
  X: {kind: fire alarm, description: bell, room: C, fed_from: unknown, notify: alarm desk}
  Y: {kind: lighting, fed_from: unknown, notify: PORTER}
  BED: {kind: medical, room: B, fed_from: P/10, depends_on: PUMP, notify: night nurse}
"""


def notice_of(portfolio: Portfolio, *tags: str) -> OutageNotice:
    answers = Answers(portfolio)
    return outage_notice(answers, answers.downstream(tags))


def on_top(notice: OutageNotice) -> dict[str, set[str]]:
    """Return group → the loads in it, without their building."""
    return {
        group.title: {local(load.line.tag) for each in group.happenings for load in each.loads}
        for group in notice.on_top
    }


def happens(notice: OutageNotice) -> dict[str, str]:
    """Return load → what happens to it, in words."""
    return {local(load.line.tag): load.happens for load in notice.loads()}


def rooms(notice: OutageNotice) -> list[tuple[str, str, list[str]]]:
    """Return floor, room and the loads listed there alone, in order."""
    return [
        (floor.floor, room.id, [local(load.line.tag) for h in room.happenings for load in h.loads])
        for floor in notice.floors
        for room in floor.rooms
    ]


@pytest.fixture
def inn(tmp_path: Path) -> Portfolio:
    folder = tmp_path / "inn"
    folder.mkdir()
    (folder / "all.yaml").write_text(INN, encoding="utf-8")
    portfolio = load_portfolio(tmp_path, AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return portfolio


# --- The demo buildings ---------------------------------------------------------------------


def test_the_fire_alarm_panel(demo: Portfolio) -> None:
    """LS-1/1 feeds three pieces of the fire alarm and nothing else; two of them name the desk."""
    notice = notice_of(demo, "clinic:LS-1/1")
    assert notice.heading == "Power off"
    assert on_top(notice) == {"Fire alarm": {"FACP", "FAA-101", "DIAL-103"}}
    assert happens(notice) == dict.fromkeys(["FACP", "FAA-101", "DIAL-103"], "goes off")
    # In the order of the rooms, all on the first floor; nothing there but what stands on top.
    assert rooms(notice) == [("First floor", "101", []), ("First floor", "103", [])]
    assert [(c.role, c.phone) for c in notice.agree] == [
        ("fire alarm monitoring desk", "ext. 2990")
    ]
    assert notice.nobody_named == ("clinic:FAA-101",)
    assert notice.record_owners == (("Wrenmoor Day Surgery", "facilities electrician, clinic"),)
    assert {c.role for c in notice.tell} == {
        "charge nurse of the operating rooms",
        "clinic manager",
        "IT on call",
        "building engineer",
    }
    where = [each.where for each in notice.switched_off]
    assert where == ["room B02 (Emergency electrical room), back wall, right"]


def test_the_lights_of_the_garage(demo: Portfolio) -> None:
    """GP-1/5: emergency light and exit sign on top, the other lights by bay; nobody is named."""
    notice = notice_of(demo, "garage:GP-1/5")
    assert on_top(notice) == {"Emergency and exit lighting": {"EL-G1", "EX-G1"}}
    assert rooms(notice) == [
        ("Ground", "G1", ["L-G1"]),
        ("Ground", "G2", ["L-G2"]),
        ("Ground", "G3", ["L-G3"]),
    ]
    assert notice.agree == ()
    assert set(notice.nobody_named) == {"garage:EL-G1", "garage:EX-G1"}


def test_what_nobody_knows_is_said(demo: Portfolio, document: Document) -> None:
    """LC-1/9-11 feeds the old fuse panel, whose sixth circuit is on with an unknown load; LAMP-W
    burns and nobody knows from where."""
    notice = notice_of(demo, "workshop:LC-1/9-11")
    assert notice.unknown_loads == (("workshop:FB-1/6", "?"),)
    assert [(u.tag, u.room) for u in notice.unknown_source] == [("workshop:LAMP-W", "W13")]
    assert any("FB-1/6" in stop.message for stop in notice.stops)
    text = document("workshop/notice/LC-1/9-11.html").text
    assert text.index("STOP: do not rely on this page") < text.index("What it means")
    assert "Circuit FB-1/6 (?): what it feeds is not recorded, so its rooms cannot be" in text
    assert "(LAMP-W, room W13): what feeds it is not recorded" in text
    # A circuit with nothing but an unknown load has a notice, and it is headed for the worst.
    assert document("workshop/notice/FB-1/6.html").text.count("Power off: FB-1/6") == 1


@pytest.mark.parametrize(
    ("opened", "heading"),
    [
        # The emergency side of the transfer switch: everything stays on the utility.
        ("EDP/1", "Second source off"),
        # Its normal side: the generator starts by itself and takes over.
        ("MSB/5", "Interruption, then on standby"),
        # The transfer switch's load side: nothing else feeds EHP.
        ("EHP/2-4-6", "Power off"),
    ],
)
def test_the_heading_is_true(demo: Portfolio, opened: str, heading: str) -> None:
    assert notice_of(demo, f"clinic:{opened}").heading == heading


def test_the_heading_holds_for_what_nobody_knows() -> None:
    """A circuit of unknown loads among loads that keep running: it may feed something that
    stops."""
    kept: list[Outcome] = ["loses standby or redundancy", "brief interruption, then standby"]
    assert heading_of(kept, unknown=True) == "Power off"
    assert heading_of(kept, unknown=False) == "Interruption, then on standby"
    assert heading_of(["rides through, then dark"], unknown=False) == "Power off"


def test_three_devices_opened_together_leave_the_battery(demo: Portfolio) -> None:
    """All that feeds UPS-1 is opened: what hangs on UP-1 runs for the recorded 11 min, and the
    racks go on by their second cords, CP-1/32 and CP-1/34. One of the three alone does neither."""
    opened = ["clinic:CP-1/1-3-5", "clinic:CP-1/2-4-6", "clinic:CP-1/7-9-11"]
    notice = notice_of(demo, *opened)
    found = happens(notice)
    assert found["CMS-114"].startswith("runs on battery (UPS-1: 11 min), then goes off")
    assert found["RACK-1"] == found["RACK-2"] == "keeps running, but without its second source"
    assert {"CMS-114", "CMS-114B", "PM-106-12", "PM-113-6"} <= on_top(notice)["Medical and imaging"]
    assert "RACK-1" in on_top(notice)["Critical"]
    # What is neither medical nor critical stands by its room.
    assert ("First floor", "103", ["PC-103-U"]) in rooms(notice)
    assert [each.device.tag for each in notice.switched_off] == opened
    assert {c.role for c in notice.agree} == {"charge nurse of the operating rooms", "IT on call"}
    alone = happens(notice_of(demo, opened[0]))
    assert not any("goes off" in words for words in alone.values())


def test_another_building_is_named(demo: Portfolio, document: Document) -> None:
    """SP-1/2-4 of the workshop feeds the garage and nothing of the workshop."""
    notice = notice_of(demo, "workshop:SP-1/2-4")
    assert [(f.building_name, f.floor) for f in notice.floors] == [
        ("Workshop garage", "Ground"),
        ("Workshop garage", "Loft"),
        ("Workshop garage", "Outside"),
    ]
    text = document("workshop/notice/SP-1/2-4.html").text
    assert "Workshop garage, Loft G4" in text
    assert "vehicle charger: van charger limited to 32 A (garage:EV-1)" in text
    assert "van keeper (garage), bench phone 12" in text


def test_a_notice_and_a_list_follow_the_temporary_feed(document: Document) -> None:
    """EQ-1 hangs on LP-1 by LP-1/38 while T-5 is in repair: EQ-1's vaccine refrigerator goes off
    with LP-1/main, and with EQH/13, where it hangs else, only once the switches are set back."""
    notice = document("clinic/notice/LP-1/main.html").text
    assert "vaccine refrigerator (REF-116V" in notice
    assert "LP-1/38-40-42 closed" in notice
    text = document("clinic/downstream/LP-1/main.html").text
    box = text[text.index("STOP: switches stand otherwise today") : text.index("93 loads")]
    assert "EQ-1/main open" in box
    assert "REF-116V" in box
    back = document("clinic/notice/EQH/13-15-17.html").text
    assert "REF-116V" in back[back.index("If the switches named above are set back") :]
    # What hangs on LP-1/14 hangs there in any case.
    assert "otherwise today" not in document("clinic/downstream/LP-1/14.html").text


def test_a_tied_handle_of_unknown_partner_is_warned_of(document: Document) -> None:
    """LP-1/14 and 16: the record has a handle tie and no partner."""
    for path in ("clinic/notice/LP-1/14.html", "clinic/notice/LP-1/16.html"):
        assert "is tied to another, and to which is not recorded" in document(path).text
    assert "is tied to another" not in document("clinic/notice/LP-1/main.html").text


def test_nothing_is_left_out(demo: Portfolio, pages: dict[str, Page], document: Document) -> None:
    """Every affected load stands in the room that is recorded for it, and on the page."""
    answers = Answers(demo)
    made = set()
    for tag in demo.network.devices:
        answer = answers.downstream([tag])
        change = answers.present_change([tag], answer)
        path = f"{building_of(tag)}/notice/{local(tag)}.html"
        link = any(
            a.text == "Outage notice"
            for a in document(f"{building_of(tag)}/downstream/{local(tag)}.html").all("a")
        )
        both = [answer, answers.downstream([tag], "present")]
        touched = any(each.loads or each.unknown_loads or each.leaning for each in both)
        assert (path in pages) == link == touched, tag
        if not link:
            continue
        made.add(path)
        notice = outage_notice(answers, answer, change)
        # It is for today, and says what else there is to tell once the switches are set back.
        usual = {line.tag for line in answer.loads}
        answer = both[1]
        assert {x.line.tag for x in notice.set_back} == usual - {x.tag for x in answer.loads}
        affected = Counter((line.tag, line.room) for line in answer.loads)
        assert Counter((x.line.tag, x.line.room) for x in notice.loads()) == affected
        assert (
            Counter(
                (load.line.tag, room.id)
                for floor in notice.floors
                for room in floor.rooms
                for load in room.loads()
            )
            == affected
        )
        text = document(path).text
        names = {local(name) for name, _ in affected}
        names |= {local(name) for name in (*answer.unknown_loads, *answer.nowhere)}
        names |= {local(name) for one in answer.leaning for name in (one.tag, *one.needs)}
        names |= {local(line.tag) for line in (*answer.opened, *answer.tied)}
        assert [name for name in names if name not in text] == [], path
        told = {(c.building, c.role) for c in answer.notify}
        assert told <= {(c.building, c.role) for c in (*notice.agree, *notice.tell)}
        assert [role for _, role in told if role not in text] == []
    assert made == {path for path in pages if "/notice/" in path}
    assert len(made) > 300


# --- What the records leave open ------------------------------------------------------------


def test_rooms_and_floors_that_are_not_recorded_come_last(inn: Portfolio) -> None:
    notice = notice_of(inn, "inn:P/1")
    assert rooms(notice) == [
        ("Ground", "A", []),
        ("Cellar", "C", ["L1"]),
        ("", "B", []),
        ("", "", ["L3"]),
    ]
    text = page_of(inn, "inn/notice/P/1.html")
    assert "floor not recorded B Listed above: L2 room not recorded" in text
    assert "Switched off: P/1; room not recorded." in text
    assert "outlets: by the door (L1)" in text


def test_who_must_agree_and_who_is_told(inn: Portfolio) -> None:
    """The clerk is named for the lift in other letters. The desk is named for the bell, which may
    go off too; nobody has recorded its phone. Nobody answers for the exit sign."""
    notice = notice_of(inn, "inn:P/1")
    assert [(c.role, c.phone, c.when) for c in notice.agree] == [
        ("ward clerk", "ext. 7", "for L2"),
        ("alarm desk", "", "for X, which may go off too"),
    ]
    assert [(c.role, c.phone, c.when) for c in notice.tell] == [
        ("porter", "ext. 8", "always; for Y, which may go off too")
    ]
    assert notice.nobody_named == ("inn:L4",)
    text = page_of(inn, "inn/notice/P/1.html")
    assert "alarm desk, phone not recorded" in text
    assert "who must agree for L4. Ask who keeps the records: not recorded." in text
    assert "Fire alarm: fire alarm: bell (X, room C)" in text


def test_what_needs_something_that_goes_off(inn: Portfolio) -> None:
    """The bed keeps its own circuit and needs the pump; who answers for it must agree."""
    notice = notice_of(inn, "inn:P/8")
    assert happens(notice) == {"PUMP": "goes off"}
    [bed] = notice.dependents
    assert (bed.tag, bed.room, bed.group, bed.needs) == (
        "inn:BED",
        "B",
        "Medical and imaging",
        ("inn:PUMP",),
    )
    assert ("night nurse", "", "for BED, which may stop working") in [
        (c.role, c.phone, c.when) for c in notice.agree
    ]
    text = page_of(inn, "inn/notice/P/8.html")
    assert "medical (BED, room B) may stop working: it needs PUMP." in text


def test_the_generator_without_its_battery_charger(demo: Portfolio) -> None:
    """The record of GEN-1 says that it depends on LS-1/4, the charger's circuit."""
    notice = notice_of(demo, "clinic:LS-1/4")
    [generator] = [one for one in notice.dependents if one.tag == "clinic:GEN-1"]
    assert (generator.room, generator.consequence) == ("X02", "may not start or carry")
    assert generator.needs == ("clinic:LS-1/4",)


def test_tied_handles_open_too(inn: Portfolio) -> None:
    notice = notice_of(inn, "inn:P/9")
    assert [(each.device.tag, each.tied) for each in notice.switched_off] == [
        ("inn:P/9", False),
        ("inn:P/7", True),
    ]
    assert happens(notice) == {"M": "goes off"}
    text = page_of(inn, "inn/notice/P/9.html")
    assert "Switched off with it (tied handles): P/7" in text


def test_an_open_neutral_is_not_called_off_alone(inn: Portfolio) -> None:
    """Its neutral open, the one light of P/7 is out and still has its live conductor (common
    practice: the neutral beyond the gap then stands at line voltage)."""
    words = happens(notice_of(inn, "inn:P/7/N"))["M"]
    assert words.startswith("goes off; do not touch: its neutral stands at line voltage")


def test_a_battery_without_a_recorded_time(inn: Portfolio) -> None:
    words = happens(notice_of(inn, "inn:P/4"))["R"]
    assert words.startswith("runs on battery (Q: time not recorded), then goes off")


def test_wrong_voltage_is_to_be_unplugged(inn: Portfolio) -> None:
    """The range needs both its legs, and one is opened (common practice: half the voltage)."""
    notice = notice_of(inn, "inn:P/5")
    assert happens(notice) == {"H": "may get the wrong voltage: switch off or unplug first"}
    assert notice.heading == "Power off"


def test_a_circuit_of_unknown_loads_alone(inn: Portfolio) -> None:
    text = page_of(inn, "inn/notice/P/2.html")
    assert "Power off: P/2" in text
    assert "Circuit P/2 (Old work): what it feeds is not recorded" in text
    assert "No recorded load is affected" in text
    # Looked, and nothing is connected: nothing to give notice of.
    assert "inn/notice/P/3.html" not in {page.path for page in all_pages(inn)}


@pytest.mark.parametrize(
    ("kind", "criticality", "group"),
    [
        ("fire alarm", "", "Fire alarm"),
        ("fire alarm", "life safety", "Fire alarm"),
        ("exit sign", "routine", "Emergency and exit lighting"),
        ("emergency lighting", "critical", "Emergency and exit lighting"),
        ("pump", "life safety", "Life safety"),
        ("medical", "life safety", "Life safety"),
        ("medical", "", "Medical and imaging"),
        ("imaging", "important", "Medical and imaging"),
        ("IT", "critical", "Critical"),
        ("lighting", "important", ""),
        ("lighting", "", ""),
    ],
)
def test_what_stands_on_top(kind: str, criticality: str, group: str) -> None:
    assert group_of(kind, criticality) == group


def test_text_of_the_records_stays_text(tmp_path: Path) -> None:
    hostile = "<b onclick='x()'>{{ 7*7 }}</b>\"><script>alert(1)</script>"
    text = INN
    for word in ("by the door", "Old work", "alarm desk", "ward clerk", "Ward A", "Cellar", "bell"):
        assert text.count(word) == 1
        text = text.replace(word, '"' + (word + hostile).replace('"', '\\"') + '"')
    folder = tmp_path / "inn"
    folder.mkdir()
    (folder / "all.yaml").write_text(text, encoding="utf-8")
    notices = {
        p.path: p for p in all_pages(load_portfolio(tmp_path, AS_OF)) if "/notice/" in p.path
    }
    shown = ""
    for page in notices.values():
        document = read(page.html)
        assert [e.name for e in document.all("b", "script", "img")] == []
        assert not any(name.startswith("on") for e in document.all() for name in e.attributes)
        shown += document.text
    for word in ("by the door", "Old work", "alarm desk", "ward clerk", "Ward A", "Cellar", "bell"):
        assert word + hostile in shown


def page_of(portfolio: Portfolio, path: str) -> str:
    (page,) = (page for page in all_pages(portfolio) if page.path == path)
    return read(page.html).text


# --- On a door ------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize(
    "path",
    [
        "clinic/notice/LP-1/14.html",
        # A STOP and what nobody knows; then three rooms.
        "workshop/notice/LC-1/9-11.html",
        "garage/notice/GP-1/5.html",
        "clinic/notice/LS-1/1.html",
    ],
)
def test_a_notice_of_few_rooms_fits_one_page(
    browser: Browser, demo_site: Path, path: str, paper: str
) -> None:
    page = browser.new_page()
    page.goto((demo_site / path).as_uri())
    pdf = PdfReader(io.BytesIO(page.pdf(format=paper)))
    page.close()
    assert len(pdf.pages) == 1
    text = pdf.pages[0].extract_text()
    for part in ("Power off", "Date", "Time", "From", "Until", "Contact, phone", "Who is told"):
        assert part in text
    assert "no proof" in text
    # Links are for screens.
    assert "What goes dark" not in text


def test_the_heading_is_read_from_a_few_steps_away(browser: Browser, demo_site: Path) -> None:
    page = browser.new_page()
    page.goto((demo_site / "clinic/notice/LP-1/14.html").as_uri())
    page.emulate_media(media="print")
    size = page.evaluate("parseFloat(getComputedStyle(document.querySelector('h1')).fontSize)")
    page.close()
    # 30 pt at least; a CSS pixel is 0.75 pt.
    assert size * 0.75 >= 30

"""What a lockout sheet tells beside its locks: proof, order of work, tests, locks that hang now.

The facts of the demo are worked out by hand from its records; the way is in the comments.
"""

import re
from pathlib import Path

import pytest

from recordgen.network.isolation import isolate, target_of
from recordgen.network.model import local
from recordgen.pages import lockout
from recordgen.pages.answers import Answers
from recordgen.pages.page import Page
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio
from tests.pages.conftest import Document
from tests.pages.reading import Element, read
from tests.pages.test_sheets import section


def sheet(document: Document, tag: str) -> Element:
    building, _, name = tag.partition(":")
    return document(f"{building}/lockout/{name}.html")


def proof_rows(page: Element) -> list[list[str]]:
    """Return source, lock and way of each row of the proof, as read."""
    rows = [row for table in page.of_class("rg-proof") for row in table.all("tr")]
    return [[cell.text for cell in row.all("th", "td")] for row in rows[1:]]


def proof_ways(page: Element) -> dict[tuple[str, str], str]:
    """Return source and lock → way, as read."""
    return {(source.split()[0], lock): way for source, lock, way in proof_rows(page)}


def steps(page: Element, number: int = 0) -> list[tuple[str, list[str]]]:
    """Return the steps of one of the lists in order: text and details."""
    lists = [e for e in section(page, "steps") if e.name == "ol"]
    found = []
    for item in lists[number].children:
        if isinstance(item, Element) and item.name == "li":
            inner = [e for e in item.children if isinstance(e, Element) and e.name == "ul"]
            details = [li.text for e in inner for li in e.all("li")]
            found.append((item.text, details))
    return found


def details(page: Element, words: str, number: int = 0) -> list[str]:
    (found,) = (listed for text, listed in steps(page, number) if text.startswith(words))
    return found


# Proof.


def test_every_sheet_tells_every_source_and_what_stops_it(
    demo: Portfolio, page_list: list[Page], document: Document
) -> None:
    count = 0
    for path in (page.path for page in page_list if "/lockout/" in page.path):
        tag = path.replace("/lockout/", ":").removesuffix(".html")
        answer = isolate(demo.hazard, target_of(demo.network, tag))
        rows = proof_rows(document(path))
        # No more than nine sources, so that none is told in short.
        assert len(answer.sources) <= 9
        assert len({row[0].split()[0] for row in rows}) == len(answer.sources), path
        assert len({(row[0].split()[0], row[1]) for row in rows}) == len(rows) == len(answer.proof)
        names = {*map(local, answer.sources), *answer.sources}
        locks = {name for p in answer.points for name in (p.device, local(p.device))}
        for source, lock, way in rows:
            # The source's tag comes first in its cell, and the way begins at it.
            assert source.split()[0] in names
            assert way.split(" → ")[0] == source.split()[0]
            assert lock in locks | {"nothing"}
            assert lock == "nothing" or lock in way.split(" → ")
            count += 1
        assert (answer.verdict == "yes") <= all(lock != "nothing" for _, lock, _ in rows)
    assert count > 2000


def test_the_proof_of_a_panel_between_four_sources(document: Document) -> None:
    """EHP hangs on ATS-LS: MSB/5 and EDP/1 are locked on its two sides, CP-1/main for the UPS."""
    rows = proof_ways(sheet(document, "clinic:EHP"))
    assert rows["UTIL-1", "MSB/5"] == "UTIL-1 → MSB/main → MSB/5 → ATS-LS"
    assert rows["PV-1", "MSB/5"] == "PV-1 → DS-PV → MSB/9 → MSB/5 → ATS-LS"
    assert rows["GEN-1", "EDP/1"] == "GEN-1 → DS-GEN → EDP/1 → ATS-LS"
    # The other transfer switch joins the two sides: each meets both locks.
    assert rows["UTIL-1", "EDP/1"] == "UTIL-1 → MSB/main → MSB/6 → ATS-EQ → EDP/2 → EDP/1 → ATS-LS"
    assert {lock for source, lock in rows if source == "UPS-1/battery"} == {"CP-1/main"}


@pytest.mark.parametrize(
    ("tag", "source", "locks"),
    [
        # By its own feeder, which stands open now, and by the temporary cable from LP-1.
        ("EQ-1", "UTIL-1", {"EQH/13-15-17", "LP-1/38-40-42"}),
        # By the drive, and by the control circuit from EQ-1.
        ("AHU-2", "UTIL-1", {"AHU-2/disconnect", "EQ-1/7"}),
        # By its own breaker, and by the other leg over the neutral.
        ("LP-1/14", "UTIL-1", {"LP-1/14", "LP-1/16"}),
    ],
)
def test_a_source_that_comes_in_several_ways_meets_every_lock(
    document: Document, tag: str, source: str, locks: set[str]
) -> None:
    rows = proof_ways(sheet(document, f"clinic:{tag}"))
    assert {lock for row, lock in rows if row == source} == locks


# A campus where thirty arrays feed one bus, and one where nothing can be locked.

ARRAYS = 30
CAMPUS = f"""
sources:
  UTIL: {{kind: utility}}
{"".join(f"  PV{n}: {{kind: photovoltaic}}{chr(10)}" for n in range(ARRAYS))}
panels:
  MSB:
    kind: switchboard
    lockable: LOCKABLE
    main: 800 A
    fed_from: UTIL
    circuits:
      1: {{device: 100 A, loads: {{LAMP: {{kind: lighting, connection: fixed}}}}}}
{"".join(f"      {n + 2}: {{device: 60 A, backfed_from: PV{n}}}{chr(10)}" for n in range(ARRAYS))}
"""


def campus_sheets(folder: Path, lockable: str) -> tuple[Portfolio, dict[str, Page]]:
    found = portfolio(folder, CAMPUS.replace("LOCKABLE", lockable))
    return found, {page.path: page for page in lockout.pages(View(found))}


def test_far_sources_are_told_in_short_and_none_is_left_out(tmp_path: Path) -> None:
    _, pages = campus_sheets(tmp_path, "yes")
    rows = proof_rows(read(pages["home/lockout/LAMP.html"].html))
    *near, far = rows
    assert 5 < len(near) < 12
    named = [source.split()[0] for source, _, _ in near]
    assert far[:2] == [f"{ARRAYS + 1 - len(near)} more, farther away", "MSB/1"]
    named += far[2].split(", ")
    assert sorted(named) == sorted(["UTIL", *(f"PV{n}" for n in range(ARRAYS))])


def test_a_sheet_where_nothing_can_be_locked_stays_short(tmp_path: Path) -> None:
    found, pages = campus_sheets(tmp_path, "no")
    page = pages["home/lockout/LAMP.html"]
    text = read(page.html).text
    # Every source gets in. Between LAMP and them: MSB/1, the main, and thirty breakers.
    answer = Answers(found).isolation("home:LAMP")
    assert len(answer.passed) == 2 + ARRAYS
    assert "; and 24 more" in text
    assert f"{ARRAYS + 1 - 8} more, farther away nothing" in text
    assert len(page.html) < 25_000
    for n in range(ARRAYS):
        assert f"PV{n}" in text


def test_what_hangs_beside_the_way_is_not_passed_by(tmp_path: Path) -> None:
    found, _ = campus_sheets(tmp_path, "no")
    text = CAMPUS.replace("LOCKABLE", "no")
    text += "      99: {device: 20 A, loads: {SIGN: {kind: sign}}}\n"
    beside = portfolio(tmp_path / "beside", text)
    # SIGN's breaker leads from LAMP to SIGN, and to no source.
    without, with_it = (Answers(each).isolation("home:LAMP").passed for each in (found, beside))
    assert without == with_it
    assert "home:MSB/main" in dict(with_it)


# Why a lock is there, what hangs now, what stands otherwise, what passes through.


def test_locks_that_a_shared_neutral_asks_for_say_so(document: Document) -> None:
    text = sheet(document, "clinic:LP-1/14").text
    assert "LP-1/16: shares its neutral with LP-1/14." in text
    assert "LP-1/14: shares its neutral" not in text
    # LP-2A/6 cannot be locked: the lock for its leg is farther up.
    assert (
        "LP-2/main: LP-2A/6 shares its neutral with LP-2/33."
        in sheet(document, "clinic:LP-2/33").text
    )
    # Two of three.
    text = sheet(document, "clinic:LP-1/21").text
    assert "LP-1/19: shares its neutral with LP-1/21." in text
    assert "LP-1/23: shares its neutral with LP-1/21." in text


def test_locks_that_hang_now_are_told_at_the_lock_and_at_the_target(document: Document) -> None:
    page = sheet(document, "clinic:T-5")
    (first, second) = (li.text for li in page.one("rg-locks").all("li"))
    # From the load to the source: EQ-1/main comes round by LP-1, farther than EQH.
    assert first.startswith("EQ-1/main")
    assert "A lock hangs there now: red 08, by R.T. since 2026-11-19: T-5 open for repair" in first
    assert second.startswith("EQH/13-15-17")
    assert "red 07" in second
    assert "Stands open now." in second
    # The panel itself, and the circuit itself.
    for tag in ("clinic:EQ-1", "clinic:EQH", "clinic:EQH/13-15-17"):
        warning = " ".join(e.text for e in sheet(document, tag).of_class("rg-warning"))
        assert "locks hang there now" in warning, tag
    assert "locks hang there now" not in sheet(document, "clinic:LP-1/14").text


def test_what_stands_in_another_than_its_normal_position(document: Document) -> None:
    text = sheet(document, "clinic:LP-1").text
    assert "EQ-1/main open" in text
    assert "LP-1/38-40-42 closed" in text
    # Whose lock hangs there, and when the temporary cable goes.
    assert "EQ-1/main open (a lock hangs there now: red 08, by R.T. since 2026-11-19" in text
    assert (
        "Temporary feed on a way to it: LP-1/38-40-42 → EQ-1, since 2026-11-19, until: 2026-12-04."
    ) in text
    # The workshop has nothing to do with the clinic.
    assert "EQ-1/main" not in sheet(document, "workshop:BW-1").text


def test_what_passes_through_is_told_by_name(document: Document) -> None:
    text = " ".join(e.text for e in section(sheet(document, "clinic:G-1"), "locks"))
    assert "Passes through without belonging to it: MSB/4 (Transformer T-2 for LP-2)" in text
    assert "MSB/9 (Photovoltaic inverter, backfed)" in text


def test_who_must_act_darkens_more_than_these_locks(document: Document) -> None:
    def said(tag: str) -> str:
        return sheet(document, tag).one("rg-answer").text

    more = "is switched off is not in the list of these locks below, and may be far more: see what"
    assert f"UTIL-1 {more} hangs on MSB/main, DS-FP." in said("clinic:MSB")
    assert f"UPS-1/battery {more} hangs on UPS-1." in said("clinic:UP-1")
    assert more not in said("clinic:LP-1/14")


# What it takes to put a lock on.


def test_lock_hardware_and_notes_stand_under_the_lock(document: Document) -> None:
    def locks(tag: str) -> list[str]:
        return [li.text for li in sheet(document, tag).one("rg-locks").all("li")]

    # Recorded for the whole panel.
    (first, *_) = locks("clinic:LP-1/14")
    hardware = "snap-on lock for single poles; two-pole bracket in the same box"
    assert f"Lock hardware: {hardware}" in first
    # Neither the disconnect nor anything around it says; its note does not get lost.
    (first,) = locks("clinic:FP-1")
    assert "Lock hardware: not recorded" in first
    assert "Note on DS-FP: Tapped ahead of the main: opening MSB main does NOT kill it." in first


WITH_NOTES = """
sources: {UTIL: {kind: utility}}
panels:
  P:
    kind: panelboard
    lockable: yes
    lock_hardware: clip in the box
    main: {rating: 100 A, lock_hardware: hasp}
    fed_from: UTIL
    notes: door sticks
    circuits:
      1: {device: 20 A, loads: {LAMP: {kind: lighting, notes: hot}}, notes: second handle from top}
      2: {device: {rating: 20 A, lock_hardware: red clip, lockable: no}}
loads:
  FAN:
    kind: fan
    fed_from: P/2
    notes: belt guard off
    local_disconnect: {lockable: yes, notes: behind the duct}
"""


def test_every_note_around_a_lock_is_told(tmp_path: Path) -> None:
    answers = Answers(portfolio(tmp_path, WITH_NOTES))
    (lock,) = answers.isolation("home:LAMP").points
    assert lock.device.tag == "home:P/1"
    assert lock.hardware == "clip in the box"
    assert lock.notes == (("home:P/1", "second handle from top"), ("home:P", "door sticks"))
    assert answers.isolation("home:LAMP").remarks == (("home:LAMP", "hot"),)
    (lock,) = answers.isolation("home:FAN").points
    assert lock.device.tag == "home:FAN/disconnect"
    assert lock.hardware == "not recorded"
    fan = (("home:FAN/disconnect", "behind the duct"), ("home:FAN", "belt guard off"))
    assert lock.notes == fan
    (lock,) = answers.isolation("home:P/2").points
    assert (lock.device.tag, lock.hardware) == ("home:P/main", "hasp")


# Fewer locks, for planning.


def test_fewer_locks_are_shown_with_what_they_darken_more(
    demo: Portfolio, document: Document
) -> None:
    # LP-1's bus has two ways in: its main, and the temporary cable at 38-40-42. Three near locks
    # for LP-1/21, two for the whole bus.
    text = " ".join(e.text for e in section(sheet(document, "clinic:LP-1/21"), "darkens"))
    assert "for planning only LP-1/main · LP-1/38-40-42. Darkens" in text
    fewest = Answers(demo).isolation("clinic:LP-1/21").fewest
    assert fewest is not None
    more = set(fewest.darkens_more())
    assert len(more) == fewest.count
    # R-102-1 is on LP-1, and on none of the three circuits; R-121 is on one of them.
    assert "clinic:R-102-1" in more
    assert "clinic:R-121" not in more
    # One lock is as few as can be.
    assert "for planning only" not in sheet(document, "clinic:UP-1/3").text


# The order of work.


def test_what_acts_by_itself_without_a_lock_before_it_is_kept_from_acting(
    document: Document,
) -> None:
    # EHP is right behind ATS-LS: opening MSB/5 would make it go over. The generator is stopped by
    # EDP/1, and blocking it would take the standby from everybody else.
    page = sheet(document, "clinic:EHP")
    first, stopped = details(page, "First keep from acting")
    assert first == "ATS-LS, automatic transfer switch: set it to manual, or block its transfer"
    assert stopped.startswith("act by themselves too, and the locks stop them")
    for name in ("GEN-1 (generator, starts by itself)", "PV-1", "UPS-1", "ATS-EQ"):
        assert name in stopped
    assert details(page, "Set back to automatic", 1) == ["ATS-LS"]
    # A receptacle circuit: nothing but breakers up to its lock.
    page = sheet(document, "clinic:LP-1/14")
    assert details(page, "First keep from acting")[0].startswith("nothing that acts by itself")
    assert not any(text.startswith("Set back") for text, _ in steps(page, 1))
    # The UPS panel is fed by a battery that no lock stops.
    assert details(sheet(document, "clinic:UP-1"), "First keep")[0].startswith("UPS-1, UPS with")


def test_locks_go_on_from_load_to_source_and_come_off_in_reverse(
    demo: Portfolio, page_list: list[Page], document: Document
) -> None:
    several = 0
    for path in (page.path for page in page_list if "/lockout/" in page.path):
        page = document(path)
        places = [next(row.all("th")).text for row in list(page.one("rg-sign").all("tr"))[1:]]
        opening = [text.partition(" (")[0] for text in details(page, "Open every device")]
        if not places:
            assert opening == ["no place to lock is recorded"]
            continue
        assert opening == places
        (closing,) = details(page, "Each lock comes off", 1)
        assert closing.split(", then ") == places[::-1]
        several += len(places) > 1
    assert several > 30


ALL_THREE = "A to B, B to C, C to A; A, B and C each to neutral and to ground; neutral to ground"


@pytest.mark.parametrize(
    ("tag", "line"),
    [
        # Positions 13 and 14 are the seventh row: A, B, C, A, B, C, A (NEC 408.3(E), from memory).
        (
            "clinic:LP-1/14",
            "LP-1, load terminals of 14: A to neutral and to ground; neutral to ground",
        ),
        # Its neutral carries what 16 brings, too: 15 and 16 are the eighth row, B.
        (
            "clinic:LP-1/14",
            (
                "LP-1, load terminals of 14 and 16, which share a neutral, and in every box that "
                "they pass together: A to B; A and B each to neutral and to ground; neutral to "
                "ground"
            ),
        ),
        # Rows 10, 11, 12: A, B, C.
        (
            "clinic:LP-1/21",
            (
                "LP-1, load terminals of 21, 19 and 23, which share a neutral, and in every box "
                f"that they pass together: {ALL_THREE}"
            ),
        ),
        # 208Y/120: three pairs of three conductors.
        ("clinic:LP-2", f"LP-2, line terminals, bus: {ALL_THREE}"),
        # Neither conductor of isolated power is grounded, and there is no neutral.
        ("clinic:IPP-1/1-3", "IPP-1, load terminals of 1-3: A to B; A and B each to ground"),
        # Nobody recorded what feeds the lamp.
        (
            "workshop:LAMP-W",
            (
                "LAMP-W, supply terminals: conductors not recorded: every one to every other, to "
                "neutral and to ground; neutral to ground"
            ),
        ),
    ],
)
def test_where_to_test_and_between_what(document: Document, tag: str, line: str) -> None:
    assert line in details(sheet(document, tag), "Prove the instrument")


def test_no_circuit_of_a_panel_is_left_out_of_the_test(demo: Portfolio, document: Document) -> None:
    for tag in ("LP-1", "LP-2", "CP-1", "EHP"):
        lines = details(sheet(document, f"clinic:{tag}"), "Prove the instrument")
        # Those that share a neutral are told together besides.
        told = [line for line in lines if "share a neutral" not in line]
        counted = sum(
            int(count)
            for line in told
            for count in re.findall(r"terminals of (\d+) circuits", line)
        )
        counted += sum(len(re.findall(r"terminals of (?!\d+ circuits)", line)) for line in told)
        circuits = demo.buildings["clinic"].records.panels[tag].circuits.values()
        assert counted == sum(not circuit.space for circuit in circuits), tag


def test_who_is_told_and_what_is_released(document: Document) -> None:
    page = sheet(document, "clinic:VFD-AHU2")
    told = details(page, "Tell everyone")
    assert any(line.startswith("charge nurse of the operating rooms, ext. 2140: ") for line in told)
    assert any(
        line.startswith("fire alarm monitoring desk, ext. 2990: ") and "LS-1 or LSH" in line
        for line in told
    )
    released = details(page, "Release stored energy")
    assert any("VFD-AHU2" in line and "wait: 5 min" in line for line in released)


def test_stored_energy_is_told_in_full(document: Document) -> None:
    # The door seal of the sterilizer has neither a wait nor a check recorded.
    page = sheet(document, "clinic:STER-1")
    released = details(page, "Release stored energy")
    assert (
        "STER-1: pneumatic; what: door seal air; discharge: bleed at the regulator; "
        "wait: not recorded; verify: not recorded"
    ) in released
    (box,) = (e.text for e in page.of_class("rg-warning") if "door seal air" in e.text)
    assert "Wait not recorded" in box
    assert "Verify not recorded" in box


def test_the_box_says_what_goes_dark_and_where_energy_is_stored(document: Document) -> None:
    page = sheet(document, "clinic:VFD-AHU2")
    (box,) = page.of_class("rg-answer")
    assert "These locks darken 1 recorded load, recorded as life safety or critical." in box.text
    assert "Stored energy: release it at VFD-AHU2, AHU-2, before you test." in box.text
    anchors = {link.attributes["href"] for link in box.all("a")}
    assert {"#darkens", "#energy"} <= anchors
    none_stored = sheet(document, "clinic:UP-1/3")
    (box,) = none_stored.of_class("rg-answer")
    assert (
        "These locks darken 2 recorded loads, 2 of them recorded as life safety or critical."
        in box.text
    )
    assert "Stored energy" not in box.text


def test_energy_comes_after_the_locks_and_the_long_list_after_the_signatures(
    document: Document,
) -> None:
    page = sheet(document, "clinic:VFD-AHU2")
    order = [head.attributes["id"] for head in page.all("h2") if "id" in head.attributes]
    assert order.index("locks") < order.index("energy") < order.index("proof")
    assert order.index("steps") < order.index("sign") < order.index("darkens")


def test_no_stored_energy_is_cut_however_much_there_is(tmp_path: Path) -> None:
    lamps = ", ".join(
        f"L{n}: {{kind: lighting, stored_energy: {{kind: capacitor, wait: {n + 1} min}}}}"
        for n in range(30)
    )
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  P:
    kind: panelboard
    lockable: yes
    main: 100 A
    fed_from: UTIL
    circuits: {{1: {{device: 20 A, loads: {{{lamps}}}}}}}
"""
    found = portfolio(tmp_path, text)
    (page,) = (p for p in lockout.pages(View(found)) if p.path == "home/lockout/P/1.html")
    boxes = " ".join(e.text for e in read(page.html).of_class("rg-warning"))
    released = details(read(page.html), "Release stored energy")
    assert len(released) == 30
    for n in range(30):
        assert f"Wait {n + 1} min" in boxes


def test_a_missing_label_says_so(document: Document) -> None:
    text = " ".join(e.text for e in section(sheet(document, "clinic:FP-1"), "label"))
    assert text == "not recorded"
    # A circuit has the label of its panel.
    assert "Incident energy 1.1 cal/cm2" in sheet(document, "clinic:LP-1/14").text

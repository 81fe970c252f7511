"""Downstream lists and lockout sheets of the demo: one for everything, and nothing left out."""

import pytest

from recordgen.network.isolation import isolate, target_of
from recordgen.network.model import building_of, local
from recordgen.pages.page import Page
from recordgen.portfolio import Portfolio
from tests.pages.conftest import Document
from tests.pages.reading import Element, landing

SAFE_WORDS = ("Every recorded source is cut off", "Open and lock")


def path_of(kind: str, tag: str) -> str:
    return f"{building_of(tag)}/{kind}/{local(tag)}.html"


@pytest.fixture(scope="session")
def sheets(page_list: list[Page]) -> dict[str, str]:
    """Return full tag → path of every lockout sheet."""
    paths = [page.path for page in page_list if "/lockout/" in page.path]
    return {path.replace("/lockout/", ":").removesuffix(".html"): path for path in paths}


def section(document: Element, anchor: str) -> list[Element]:
    """Return what stands between a second-level heading and the next one."""
    found: list[Element] = []
    inside = False
    for child in document.children:
        if not isinstance(child, Element):
            continue
        if child.name == "h2":
            inside = child.attributes.get("id") == anchor
        elif inside:
            found.append(child)
    return found


def test_every_device_has_a_downstream_list(demo: Portfolio, pages: dict[str, Page]) -> None:
    assert len(demo.network.devices) > 400
    missing = [t for t in demo.network.devices if path_of("downstream", t) not in pages]
    assert missing == []


def test_everything_that_is_worked_on_has_a_sheet(demo: Portfolio, sheets: dict[str, str]) -> None:
    expected = set()
    for building, loaded in demo.buildings.items():
        records = loaded.records
        expected |= {f"{building}:{tag}" for tag in (*records.panels, *records.equipment)}
        expected |= {
            f"{building}:{tag}/{position}"
            for tag, panel in records.panels.items()
            for position, circuit in panel.circuits.items()
            if not circuit.space
        }
        expected |= {
            f"{building}:{tag}"
            for tag, recorded in loaded.loads.items()
            if recorded.load.connection == "fixed"
        }
    assert expected - set(sheets) == set()
    # A plug on two circuits is not pulled in one go.
    assert "clinic:RACK-1" in sheets


def test_every_sheet_names_every_lock_with_its_room(
    demo: Portfolio, sheets: dict[str, str], document: Document
) -> None:
    rooms = 0
    for tag, path in sheets.items():
        answer = isolate(demo.hazard, target_of(demo.network, tag))
        page = document(path)
        lists = [e for e in section(page, "locks") if e.has_class("rg-locks")]
        listed = [item for found in lists for item in found.all("li")]
        assert len(listed) == len(answer.points), path
        building = building_of(tag)
        signed = list(page.one("rg-sign").all("tr"))[1:]
        for point, item, line in zip(answer.points, listed, signed, strict=True):
            home = building_of(point.device) == building
            name = local(point.device) if home else point.device
            (first, *_) = item.all("a")
            assert first.text == name
            assert landing(first.attributes["href"], path)[0] == path_of("downstream", point.device)
            assert next(line.all("th")).text == name
            record = where(demo, point.device)
            if record:
                assert f"Room {record}" in item.text, (path, point.device)
                rooms += 1
            else:
                assert "not recorded" in item.text.lower()
    assert rooms > 500


def where(demo: Portfolio, device: str) -> str | None:
    """Return the recorded room of a device, from the records themselves."""
    loaded = demo.buildings[building_of(device)]
    name, _, rest = local(device).partition("/")
    if rest == "disconnect":
        load = loaded.loads[name].load
        assert load.local_disconnect is not None
        return load.local_disconnect.room or load.room
    return (loaded.records.panels.get(name) or loaded.records.equipment[name]).room


def test_every_sheet_has_steps_paragraphs_cautions_and_lines_to_sign(
    sheets: dict[str, str], document: Document
) -> None:
    for path in sheets.values():
        page = document(path)
        text = page.text
        assert "1910.147" in text
        assert "1910.333(b)(2)" in text
        steps = next(e for e in section(page, "steps") if e.name == "ol")
        words = [item.text for item in steps.all("li")]
        # Open, lock, release what is stored, try, test: in that order, the order of
        # 29 CFR 1910.147(d) and 1910.333(b)(2)(ii) to (iv) (from memory).
        order = ["Open every", "lock and tag", "stored energy", "Try to start", "Test every"]
        found = [next(i for i, w in enumerate(words) if phrase in w) for phrase in order]
        assert found == sorted(found)
        cautions = page.one("rg-cautions").text
        for caution in ("no proof", "Test before touch", "qualified persons", "local code"):
            assert caution in cautions
        assert [e.text for e in page.one("rg-sign").all("th")][:4] == [
            "Place",
            "Lock no.",
            "On: by, time",
            "Off: by, time",
        ]
        assert "Tested dead by" in page.one("rg-signoff").text


def test_no_sheet_calls_safe_what_is_not(
    demo: Portfolio, sheets: dict[str, str], document: Document
) -> None:
    count = {"yes": 0, "no": 0, "unproven": 0}
    for tag, path in sheets.items():
        answer = isolate(demo.hazard, target_of(demo.network, tag))
        page = document(path)
        (box,) = (e for e in page.of_class("rg-answer"))
        stopped = any("STOP" in e.text for e in page.of_class("rg-stop"))
        verdict = answer.verdict
        count[verdict] += 1
        if verdict == "yes":
            assert box.has_class("rg-answer--no") is False
            if not stopped:
                assert box.has_class("rg-answer--yes")
            continue
        assert box.has_class(f"rg-answer--{verdict}"), path
        assert not any(word in page.text for word in SAFE_WORDS), path
        # What reaches it, and what nobody can lock.
        assert page.text.count("STOP") >= 1
        assert all(reason[1:] in page.text for reason in answer.reasons)
    assert min(count.values()) > 0


def test_a_contradicted_record_is_nowhere_called_safe(
    sheets: dict[str, str], document: Document
) -> None:
    """The floor socket is recorded on LC-1/19 and was traced to LC-1/20."""
    for path in (sheets["workshop:LC-1/19"], sheets["workshop:LC-1/20"]):
        page = document(path)
        (box,) = page.of_class("rg-answer")
        assert box.has_class("rg-answer--unproven")
        assert not any(word in page.text for word in SAFE_WORDS)
        assert any("TW-02" in e.text or "FS-W7" in e.text for e in page.of_class("rg-stop"))


def test_downstream_lists_hold_every_load_that_goes_dark(
    demo: Portfolio, document: Document
) -> None:
    """The few of them that the hand-worked answers are about."""
    page = document("clinic/downstream/CP-1/main.html")
    rows = [row for row in page.all("tr") if any(True for _ in row.of_class("rg-outcome"))]
    assert len(rows) == 105
    text = page.text
    for fact in ("RACK-1", "UPS-1: 11 min", "charge nurse of the operating rooms", "ext. 2140"):
        assert fact in text
    live = " ".join(e.text for e in section(page, "live"))
    assert "UPS-1/battery" in live


def test_stored_energy_stands_on_the_sheet(sheets: dict[str, str], document: Document) -> None:
    """DC bus of the drive, by hand from the record: 5 minutes, below 50 V."""
    text = document(sheets["clinic:VFD-AHU2"]).text
    assert "650 VDC" in text
    assert "5 min" in text
    assert "below 50 V" in text


def test_isolated_power_is_tested_conductor_to_conductor(
    sheets: dict[str, str], document: Document
) -> None:
    """Common practice: neither conductor is grounded, so a test to ground shows little."""
    for tag in ("clinic:IPP-1", "clinic:IPP-1/1-3"):
        assert "test to ground alone can read zero" in document(sheets[tag]).text
    assert "test to ground alone" not in document(sheets["clinic:LP-1"]).text

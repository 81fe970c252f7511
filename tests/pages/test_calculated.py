"""What is calculated, as the pages say it, against sums done by hand.

The house below is small enough for pencil and paper. Amounts are by definition (VA = V x A) and by
the counts of NEC 220.14(I) (180 VA an outlet) and 220.44; where a clause was not at hand, the test
says so.
"""

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from recordgen.calc.answer import Input, Need, NoValue, Value
from recordgen.pages.calculated import Asked, amount_text, percent_text, rounded, shown
from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio
from tests.pages.conftest import Document
from tests.pages.reading import Element, landing, read

HOUSE = """
rooms: {R1: {name: Cellar}, R2: {name: Hall}}
sources:
  U: {kind: utility, system: 120/240, room: R1}
  G: {kind: generator, system: 120/240, start: automatic, room: R1}
panels:
  P:
    kind: load centre
    system: 120/240
    bus_rating: 100 A
    main: {rating: 50 A, poles: 2}
    positions: 12
    fed_from: U
    room: R1
    recorded_demand: {demand: 4 kVA, first_day: 2026-01-01, last_day: 2026-02-05}
    circuits:
      1:
        description: Outlets
        device: 20 A
        loads: {R-1: {kind: receptacle, quantity: 10, room: R2, power_factor: 100 %}}
      3:
        description: Heater
        device: 20 A
        loads: {H-1: {kind: heating, power: 1200 W, room: R2}}
      2: {device: 20 A, description: Bench, loads: {W-1: {kind: equipment, power: 600 W}}}
      4: {device: 20 A, description: A riddle, loads: unknown}
      5: {device: 20 A, description: Nothing, loads: none}
      6: {spare: yes, device: 20 A}
      7-9: {description: Switch, device: {rating: 30 A, poles: 2}}
  Q: {kind: load centre, system: 120/240, bus_rating: 60 A, main: lugs, fed_from: G, room: R1,
      circuits: {1-3: {description: Switch, device: {rating: 30 A, poles: 2}}}}
  S:
    kind: load centre
    system: 120/240
    bus_rating: 60 A
    main: lugs
    fed_from: A
    circuits:
      1: {description: Pump, device: 20 A,
          loads: {M-1: {kind: pump, power: 1440 VA, power_factor: 80 %}}}
equipment:
  A: {kind: transfer switch, normal_from: P/7-9, emergency_from: Q/1-3, operation: automatic,
      room: R1}
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    return portfolio(tmp_path_factory.mktemp("house"), HOUSE, about=", code_edition: NEC 2020")


@pytest.fixture(scope="module")
def house_page(house: Portfolio) -> Callable[[str], Element]:
    made = {page.path: page for page in all_pages(house)}
    return lambda path: read(made[f"home/{path}.html"].html)


def card(page: Element, title: str) -> Element:
    (found,) = (e for e in page.of_class("rg-card") if next(e.all("h3")).text.startswith(title))
    return found


def answers(element: Element) -> list[str]:
    """Return the summary line of every calculated value in an element."""
    return [next(e.all("summary")).text for e in element.of_class("rg-value")]


def rows(table: Element) -> list[list[str]]:
    body = next(table.all("tbody"))
    return [[cell.text for cell in row.all("th", "td")] for row in body.all("tr")]


# --- One answer -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (0, "0"),
        (0.034_56, "0.0346"),
        (9.996, "10"),
        (99.95, "100"),
        (12.34, "12.3"),
        (1_234.5, "1,230"),
        (999_600, "1,000,000"),
        (-5.678, "-5.68"),
    ],
)
def test_three_figures(amount: float, text: str) -> None:
    assert rounded(amount) == text


def test_units_grow_with_the_amount() -> None:
    found = [amount_text(999, "VA"), amount_text(1_000, "VA"), amount_text(22_040, "A")]
    assert [text.replace("\xa0", " ") for text in found] == ["999 VA", "1 kVA", "22 kA"]


@pytest.mark.parametrize("percent", [100.000_1, 100.04, 100.3, 100.49])
def test_what_exceeds_a_rating_never_reads_as_all_of_it(percent: float) -> None:
    assert percent_text(percent) != percent_text(100)


def test_what_many_records_lack_is_one_line(house: Portfolio) -> None:
    """The rare field first; a record is not named twice."""
    needs = [Need(f"home:{tag}", "power_factor") for tag in ("R-1", "H-1", "W-1", "W-1")]
    found = shown(View(house), Asked("Load", NoValue((*needs, Need("home:P/4", "loads")))))
    assert [line.what for line in found.missing] == [
        "loads of 1 circuit",
        "power factor of 3 loads",
    ]
    assert found.missing[1].tags == ("home:H-1", "home:R-1", "home:W-1")
    assert not found.known
    assert found.text == "not known"


def test_an_answer_that_lacks_a_part_says_at_least(house: Portfolio) -> None:
    inputs = (
        Input("length", "9 ft", "recorded", "home:P/1"),
        Input("ampacity", "20 A", "table", "NEC table 310.16"),
        Input("ambient", "30 °C", "assumed"),
    )
    value = Value(1_500, "VA", "sum", "common practice", inputs, (Need("home:W-1", "power"),))
    found = shown(View(house), Asked("Load", value))
    assert found.text.replace("\xa0", " ") == "at least 1.5 kVA"
    assert [(each.origin, each.tag) for each in found.inputs] == [
        ("recorded", "home:P/1"),
        ("table", ""),
        ("assumed", ""),
    ]


# --- The house --------------------------------------------------------------------------------


def test_circuits_carry_what_is_recorded(house_page: Callable[[str], Element]) -> None:
    """10 outlets at 180 VA are 1,800 VA, 15 A of 20 A at 120 V; a heater of 1,200 W draws 10 A."""
    page = house_page("panels/P")
    outlets = answers(card(page, "P/1 "))
    assert "Connected load: 1.8 kVA calculated" in outlets
    assert "Used of the device: 75 % of 20 A calculated" in outlets
    assert "Used of the device: 50 % of 20 A calculated" in answers(card(page, "P/3"))
    # Watts without a power factor are too little by an unknown amount.
    assert "Connected load: at least 600 VA calculated" in answers(card(page, "P/2"))


def test_what_nobody_knows_is_not_known(house_page: Callable[[str], Element]) -> None:
    riddle = answers(card(house_page("panels/P"), "P/4"))
    assert any("not known" in line and "needs loads" in line for line in riddle)
    assert not any("VA" in line or "%" in line for line in riddle)
    # Nothing is connected, and a spare: no sum of nothing.
    for title in ("P/5", "P/6"):
        assert not any("load" in line for line in answers(card(house_page("panels/P"), title)))


def test_answers_that_wait_for_the_same_entry_are_one_line(
    house_page: Callable[[str], Element],
) -> None:
    lines = answers(card(house_page("panels/P"), "P/1 "))
    # The fault current waits for the utility and the panel's feeder, too.
    waiting = [line for line in lines if "needs conductors" in line]
    first, second = (line.split(":")[0] for line in waiting)
    assert first == (
        "Allowable ampacity, voltage drop (branch circuit, connected load), voltage drop of all "
        "conductors from the source"
    )
    assert second == "Fault current at its end"
    assert waiting[1].endswith("and more")


def test_how_full_a_panel_is(house_page: Callable[[str], Element]) -> None:
    """1,800 + 1,200 + 600 + 1,440 = 5,040 VA; the motor's quarter is 360 VA: 5,400 VA are 22.5 A at
    240 V, 45 % of 50 A and 22.5 % of 100 A. Watts of W-1 and the loads of P/4 are missing."""
    (limits, room, _, demand) = house_page("panels/P").one("rg-screening-tables").all("table")
    assert rows(limits) == [
        ["P main device", "50 A", "at least 22.5 A", "at least 45 %", "at most 27.5 A"],
        ["P bus", "100 A", "at least 22.5 A", "at least 22.5 %", "at most 77.5 A"],
    ]
    # 27.5 A are left if spread evenly: 3,300 VA at 120 V on B. Leg A carries 3,120 VA, and 27.86 A
    # with its share of the motor's quarter: 22.14 A are left there, 5,314 VA at 240 V.
    said = rows(room)
    assert [line[:3] for line in said] == [
        ["1 pole", "at most 3.3 kVA, 27.5 A", "P main device 50 A"],
        ["2 poles", "at most 5.31 kVA, 22.1 A", "P main device 50 A"],
    ]
    assert "in step: phase A, 27.9 A, 55.7 % of P main device 50 A." in house_page("panels/P").text
    # The spare first; then B, which carries less than A.
    nothing = "(nothing recorded there)"
    assert said[0][3].split("; ") == [
        "6 (spare, 20 A), phase A",
        f"8 {nothing}, phase B",
        f"11 {nothing}, phase B",
        "2 more",
    ]
    assert said[1][3] == f"8-10 {nothing}, phases AB; 10-12 {nothing}, phases AB"
    sums = {row[0]: (row[1], row[-1]) for row in rows(demand)}
    assert sums["Receptacle"] == ("1.8 kVA", "1.8 kVA")
    assert sums["Demand"] == ("5.04 kVA", "5.04 kVA")
    assert sums["Largest motor"] == ("", "360 VA")
    assert sums["Sized for"] == ("", "5.4 kVA")


def test_load_by_phase(house_page: Callable[[str], Element]) -> None:
    """Positions 1 and 2 of a single-phase panel are on A, 3 and 4 on B (tests/data). The pump of S,
    behind a transfer switch, counts as half on each, and the page says so. A: 1,800 + 600 + 720 =
    3,120 VA, 26 A at 120 V; B: 1,200 + 720 = 1,920 VA, 16 A."""
    page = house_page("panels/P")
    (_, _, phases, _) = page.one("rg-screening-tables").all("table")
    assert rows(phases)[:2] == [["A", "3.12 kVA", "26 A"], ["B", "1.92 kVA", "16 A"]]
    assert "behind a transformer or other equipment counts in equal parts" in page.text
    (foot,) = page.one("rg-directory").all("tfoot")
    assert foot.text == "Connected load by phase, at least: A 3.12 kVA · B 1.92 kVA calculated"


def test_currents_are_phasors_where_every_power_factor_is_recorded(
    house_page: Callable[[str], Element],
) -> None:
    page = house_page("panels/S")
    (_, _, phases, _) = page.one("rg-screening-tables").all("table")
    assert rows(phases) == [
        ["A", "1.44 kVA", "12 A"],
        ["B", "0 VA", "0 A"],
        ["Neutral", "", "12 A"],
    ]
    assert "added as phasors" in page.text
    assert "What is missing comes on top" not in page.text


def test_a_measured_demand_stands_beside_the_calculated_one(
    house_page: Callable[[str], Element],
) -> None:
    """125 % of 4 kVA (NEC 220.87, from memory) are 20.8 A at 240 V."""
    text = house_page("panels/P").text
    measured = 1.25 * 4_000 / 240
    assert "recorded Highest demand that was measured: 4 kVA, 2026-01-01 to 2026-02-05" in text
    assert f"NEC 220.87 adds: {measured:.1f} A of 50 A, main device" in text


def test_what_hangs_on_a_panel_in_another_position_is_named(
    house_page: Callable[[str], Element],
) -> None:
    """1,440 VA at 240 V, taken as balanced, are 6 A. Q carries nothing now."""
    text = house_page("panels/Q").text
    assert "In another one it also carries, on top of them, the demand of: A: 6 A" in text
    assert "another one it also carries" not in house_page("panels/P").text
    assert math.isclose(1_440 / 240, 6)


def test_without_an_edition_there_is_no_demand(tmp_path: Path) -> None:
    made = {page.path: page for page in all_pages(portfolio(tmp_path, HOUSE))}
    page = read(made["home/panels/P.html"].html)
    assert "Demand: not known" in page.text
    assert "code edition of 1 building" in page.text
    link = next(e for e in page.all("a") if e.text == "building")
    assert landing(link.attributes["href"], "home/panels/P.html") == ("home/index.html", "building")


# --- What is missing, and feeders ---------------------------------------------------------------


def test_what_is_missing_is_counted_and_put_by_room(house_page: Callable[[str], Element]) -> None:
    page = house_page("missing")
    tables = list(page.of_class("rg-table"))
    fields = {row[0]: row[1:] for row in rows(tables[0])}
    (factor,) = (name for name in fields if name.startswith("power factor"))
    # W-1 counts in its circuit and in P, load and rating each, and in nothing below.
    assert fields[factor][0] == "1 load"
    walks = dict(zip([h.text for h in page.all("h3")], map(rows, tables[1:]), strict=True))
    assert any(name.startswith("Room R1 Cellar") for name in walks)
    cellar = next(lines for name, lines in walks.items() if "R1" in name)
    assert any(line[0] == "conductors" and "P/1" in line[1] for line in cellar)
    nowhere = next(lines for name, lines in walks.items() if name == "No room recorded")
    assert any("W-1" in line[1] for line in nowhere)


def test_a_field_that_few_records_lack_is_not_drowned(document: Document) -> None:
    """One line for each field, however many records lack it, and no more lines than kinds."""
    table, *walks = document("clinic/missing.html").of_class("rg-table")
    lines = rows(table)
    assert len(lines) == len({tuple(line[:2]) for line in lines})
    assert len(lines) < 40
    most = [int(line[3].rpartition(": ")[2]) for line in lines]
    assert most == sorted(most, reverse=True)
    assert walks


def test_every_feeder_is_in_the_table_once_the_fullest_first(
    demo: Portfolio, document: Document
) -> None:
    for building in demo.buildings:
        lines = rows(document(f"{building}/feeders.html").one("rg-table"))
        fed = {
            element.tag.partition(":")[2]
            for element in demo.study.distribution.elements.values()
            if element.tag.startswith(f"{building}:")
            and element.feed is not None
            and element.kind != "circuit"
        }
        assert sorted(line[0].split(" from ")[0] for line in lines) == sorted(fed)
        used = [line[4].removeprefix("at least ").split(" %")[0] for line in lines]
        known = [float(text) for text in used if text != "not known"]
        assert known == sorted(known, reverse=True)
        assert used[len(known) :] == ["not known"] * (len(used) - len(known))


# --- Every page -------------------------------------------------------------------------------


def test_every_value_says_where_it_comes_from(page_list: list[Page], document: Document) -> None:
    """Design: recorded and computed are told apart, and no value is without its source."""
    seen = 0
    for page in page_list:
        for value in document(page.path).of_class("rg-value"):
            summary = next(value.all("summary"))
            marks = [mark.text for mark in summary.of_class("rg-from")]
            if "not known" in summary.text:
                assert "needs" in summary.text, (page.path, summary.text)
                continue
            assert marks in (["calculated"], ["recorded"]), (page.path, summary.text)
            (source,) = value.of_class("rg-value-source")
            assert source.text.removeprefix("Source: ").strip("."), page.path
            for line in value.of_class("rg-inputs"):
                for item in line.all("li"):
                    assert len(list(item.of_class("rg-from"))) == 1
            seen += 1
    assert seen > 1_000


def test_sections_with_calculated_values_carry_the_caution(
    page_list: list[Page], document: Document
) -> None:
    for page in page_list:
        found = document(page.path)
        if any(found.of_class("rg-value")):
            assert "for review by a licensed engineer" in found.text, page.path


def test_values_open_without_a_script_and_stay_short_on_paper(
    browser: Browser, demo_site: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((demo_site / "clinic/panels/LP-2.html").as_uri())
    value = page.locator(".rg-value").first
    assert not value.locator(".rg-inputs").is_visible()
    value.locator("summary").click()
    assert value.locator(".rg-inputs").is_visible()
    page.emulate_media(media="print")
    for each in (page.locator(".rg-value").nth(n) for n in (0, 1, 2)):
        assert each.locator("summary").is_visible()
        assert each.locator(".rg-value-source").is_visible()
        assert not each.locator(".rg-inputs").is_visible()
    context.close()


def test_the_search_finds_records_and_no_figures(demo_site: Path) -> None:
    """42 circuits of a panel with their inputs would drown what people search for."""
    index = json.loads((demo_site / "search" / "search_index.json").read_text(encoding="utf-8"))
    entries = {e["location"]: e["text"] for e in index["docs"] if "/panels/" in e["location"]}
    assert len(entries) > 200
    assert [at for at, text in entries.items() if "Connected load" in text or "How:" in text] == []
    assert "point-of-use" not in entries["clinic/panels/LP-2.html#load"].lower()
    assert "WH-217" in entries["clinic/panels/LP-2.html#position-22-24"]

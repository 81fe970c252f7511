"""The card for a panel's door: what it says of each position, and what it must not hide.

How it prints is in `tests/site/test_prints.py`.
"""

import re
from pathlib import Path

import pytest

from recordgen.pages import door_card, panel, paths
from recordgen.pages.door_rows import door_rows, sheets_of
from recordgen.pages.view import View
from tests.network.asking import portfolio
from tests.pages.reading import read

HOUSE = """
rooms: {E1: Closet, R1: , R2: , R3: , R4: , R5: , R6: }
sources: {UTIL: {kind: utility, system: 480Y/277}, GEN: {kind: generator}}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    fed_from: UTIL
    circuits: {1: {description: Transformer, device: {rating: 70 A, poles: 3}}}
  LP:
    kind: panelboard
    name: Light <and> power
    system: 208Y/120
    main: {rating: 100 A, poles: 3}
    main_present: {position: open, since: 2026-11-20}
    positions: 12
    fed_from: T-1
    temporary_feeds: [{fed_from: EX/1, since: 2026-11-19, until: 2026-12-04}]
    circuits:
      1: {description: Bench A, device: 20 A, loads: none, neutral_shared_with: LP/3}
      3: {description: Bench B, device: 20 A, loads: none, handle_tied_with: LP/1}
      2-4:
        device: 30 A
        loads:
          H-1: {kind: heating, room: R1}
          H-2: {kind: heating, room: R2}
          H-3: {kind: fan, room: R3}
          H-4: {kind: fan}
          H-5: {kind: fan, room: R5}
          H-6: {kind: fan, room: R6}
      6: {description: Pump, device: 20 A}
      8: {spare: yes, device: 20 A}
      10: {space: yes}
  EX: {kind: panelboard, main: lugs, fed_from: GEN, circuits: {1: {device: 20 A}}}
equipment:
  T-1: {kind: transformer, fed_from: MSB/1, room: E1}
"""


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    return View(portfolio(tmp_path_factory.mktemp("doors"), HOUSE))


def card(view: View, tag: str) -> str:
    (page,) = (p for p in door_card.pages(view) if p.path == paths.door_card(f"home:{tag}"))
    return " ".join(read(page.html).text.split())


def test_each_circuit_says_what_it_is_for(view: View) -> None:
    """As described, else as its loads say: NEC 408.4(A), from memory, wants every one named."""
    text = card(view, "LP")
    assert "2-4 heating × 2, fan × 4" in text
    # Rooms beyond four are counted, and a load without one is not passed over.
    assert "rooms R1, R2, R3, R5 and 1 more; 1 load: room not recorded" in text
    assert "Pump loads not recorded" in text
    assert "SPARE" in text
    assert "SPACE" in text


def test_what_opens_together_is_said_at_each(view: View) -> None:
    """The tie is written at one of the two only."""
    text = card(view, "LP")
    assert "Bench A neutral shared with 3 handle tied with 3" in text
    assert "Bench B neutral shared with 1 handle tied with 1" in text


def test_the_head_says_where_power_comes_from_and_where_it_is_opened(view: View) -> None:
    text = card(view, "LP")
    assert "Fed from T-1, rating not recorded, room E1 Closet" in text
    # A transformer is nothing to open.
    assert "Opened ahead of it at MSB/1, 70 A 3P, room not recorded" in text
    assert "TEMPORARY feed since 2026-11-19 until 2026-12-04 EX/1, 20 A 1P" in text
    assert re.search("Sources that may reach it (GEN, UTIL|UTIL, GEN)", text)
    assert "Main 100 A 3P, stands open now" in text
    assert "Odd positions left and even ones right are assumed" in text
    assert "Light <and> power" in text


def test_main_lugs_are_no_missing_main(view: View) -> None:
    assert "Main lugs: no main device here" in card(view, "EX")
    assert "Main not recorded" in card(view, "MSB")


def test_a_device_on_two_sheets_stands_on_both(tmp_path: Path) -> None:
    records = """
sources: {UTIL: {kind: utility}}
panels:
  BIG:
    kind: panelboard
    fed_from: UTIL
    positions: 84
    circuits: {41-43-45: {description: Press, device: 100 A}, 84: {description: Last}}
"""
    found = View(portfolio(tmp_path, records))
    big = found.loaded("home").records.panels["BIG"]
    first, second = sheets_of(door_rows(found, "home:BIG", big))
    assert (len(first), len(second)) == (21, 21)
    assert first[-1].left is not None
    assert second[0].left is not None
    assert second[1].left is not None
    assert (first[-1].left.number, first[-1].left.rows) == ("41", 1)
    assert (second[0].left.number, second[0].left.rows) == ("43", 2)
    assert second[0].left.lines[0].text == "Press"
    assert second[1].left.rows == 0
    assert second[-1].right is not None
    assert second[-1].right.lines[0].text == "Last"


def test_the_page_of_the_panel_leads_to_its_card(view: View) -> None:
    made = {page.path: page for page in panel.pages(view)}
    links = [a.attributes.get("href") for a in read(made["home/panels/LP.html"].html).all("a")]
    assert "../door-card/LP.html" in links

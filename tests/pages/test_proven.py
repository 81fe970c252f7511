"""How much of a sheet is proven: counted by hand on one small house."""

from collections.abc import Callable

import pytest

from recordgen.pages import paths
from recordgen.pages.answers import Answers
from recordgen.pages.page import Page
from recordgen.pages.proven_values import NO_SECOND_SOURCE
from recordgen.pages.table import all_pages
from recordgen.portfolio import Portfolio
from recordgen.terminal.proven import proven_json, proven_text
from tests.network.asking import portfolio
from tests.pages.reading import Element, read

# LP-1 is fed from MSB/1, which somebody opened; LP-2 from MSB/3, which nobody looked at.
# A1 is confirmed on LP-1/1, A2 traced, A3 named without a reading; B1 has no trace.
HOUSE = """
sources: {UTIL: {kind: utility}}
rooms: {R1: one}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: {rating: 400 A}
    fed_from: UTIL
    circuits: {1: {device: 100 A}, 3: {device: 100 A}}
  LP-1:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/1
    feed_checked: {date: 2026-03-01, by: JD, confirmed_by_opening: yes}
    pass_through_checked: {date: 2026-03-01, by: JD}
    circuits:
      1:
        device: 20 A
        neutral_checked: {date: 2026-03-01, by: JD}
        loads:
          A1: {kind: receptacle, room: R1}
          A2: {kind: receptacle, room: R1}
          A3: {kind: motor, room: R1}
  LP-2:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/3
    circuits: {2: {device: 20 A, loads: {B1: {kind: motor}}}}
traces:
  T-1:
    date: 2026-03-01
    by: JD
    purpose: list what is downstream
    circuit: LP-1/1
    found: [A1]
    confirmed_by_opening: yes
  T-2:
    date: 2026-03-02
    by: JD
    purpose: list what is downstream
    circuit: LP-1/1
    found: [A2, A3]
    readings: [{at: A2, values: 74, sensitivity: 4}, {at: B1, values: 12, sensitivity: 4}]
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    return portfolio(tmp_path_factory.mktemp("house"), HOUSE)


@pytest.fixture(scope="module")
def page(house: Portfolio) -> Callable[[str], Element]:
    found: dict[str, Page] = {each.path: each for each in all_pages(house)}
    return lambda path: read(found[path].html)


def test_a_list_is_no_better_than_the_weakest_feed_between(house: Portfolio) -> None:
    answers = Answers(house)
    own = answers.proven(answers.downstream(["home:LP-1/1"]))
    assert (own.loads.confirmed, own.loads.traced, own.loads.unverified) == (1, 1, 1)
    assert own.links == ()
    assert (own.governs, own.weakest) == ("unverified", None)
    ((reason, tags),) = [(group.reason, group.tags) for group in own.unproven]
    assert tags == ("home:A3",)
    assert "do not show it" in reason
    feeder = answers.proven(answers.downstream(["home:MSB/1"]))
    assert [(link.thing, link.grade.name, link.count) for link in feeder.links] == [
        ("home:LP-1", "confirmed", 3)
    ]
    main = answers.proven(answers.downstream(["home:MSB/main"]))
    assert main.loads.total == 4
    assert main.governs == "unverified"
    weakest = main.weakest
    assert weakest is not None
    assert (weakest.thing, weakest.by) == ("home:LP-2", "home:MSB/3")
    assert weakest.grade.reason == "no trace recorded"


def test_locks_are_as_good_as_the_way_to_them(house: Portfolio) -> None:
    answers = Answers(house)
    panel = answers.proven(answers.isolation("home:LP-1"))
    # Loads that are not verified make the way to the locks no weaker.
    assert panel.loads.unverified == 1
    assert [(link.kind, link.grade.name) for link in panel.links] == [
        ("pass-through", "traced"),
        ("fed from", "confirmed"),
    ]
    assert panel.governs == "traced"
    circuit = answers.proven(answers.isolation("home:LP-2/2"))
    assert [link.kind for link in circuit.links] == ["neutral"]
    load = answers.proven(answers.isolation("home:B1"))
    assert [(link.kind, link.by) for link in load.links[:1]] == [("hangs on", "home:LP-2/2")]


def test_both_sheets_say_so(page: Callable[[str], Element]) -> None:
    text = " ".join(page(paths.downstream("home:MSB/main")).text.split())
    assert "This list as a whole is known no better than unverified." in text
    assert "Weakest: LP-2 is fed from MSB/3" in text
    assert "2 of 4 verified (50 %)" in text
    assert text.count(NO_SECOND_SOURCE) == 1
    text = " ".join(page(paths.lockout("home:LP-1")).text.split())
    assert "The way to these locks is known no better than traced." in text
    assert text.count(NO_SECOND_SOURCE) == 1
    # A reason that has to do with a trace stands beside the grade, for thumbs and on paper.
    assert "the readings of trace T-2 do not show it" in text


def test_the_terminal_says_the_same(house: Portfolio) -> None:
    answers = Answers(house)
    proven = answers.proven(answers.downstream(["home:MSB/main"]))
    text = "\n".join(proven_text(proven, "home"))
    assert "weakest: LP-2 is fed from MSB/3: unverified, no trace recorded" in text
    assert "2 of 4 verified" in text
    values = proven_json(proven)
    assert values["governs"] == "unverified"
    assert values["loads"] == {"confirmed": 1, "traced": 1, "unverified": 2}
    assert values["weakest"] == {
        "what": "fed from",
        "tag": "home:LP-2",
        "from": "home:MSB/3",
        "evidence": "unverified",
        "trace": None,
        "date": None,
        "reason": "no trace recorded",
        "loads": 1,
    }


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (paths.panel("home:LP-1"), "2 of 3 verified (66 %): 1 confirmed, 1 traced, 1 unverified"),
        (paths.room("home", "R1"), "2 of 3 verified (66 %): 1 confirmed, 1 traced, 1 unverified"),
        (paths.building("home"), "2 of 4 verified (50 %): 1 confirmed, 1 traced, 2 unverified"),
        (paths.building("home"), "0 of 1 verified (0 %)"),
        (paths.PORTFOLIO, "2 of 4 verified (50 %)"),
    ],
)
def test_the_share_verified_is_in_words(
    page: Callable[[str], Element], path: str, words: str
) -> None:
    assert words in " ".join(page(path).text.split())


def test_the_worklist_names_what_to_trace_where_and_why(page: Callable[[str], Element]) -> None:
    worklist = page(paths.index("home", "trace-next"))
    text = " ".join(worklist.text.split())
    assert text.index("LP-1/1") < text.index("LP-2/2")  # A3 and B1 both have a sheet; by tag
    assert "1 lockout sheet of its loads; 1 load not verified" in text
    # Feeds: LP-2 and MSB itself wait, LP-1 was opened. Most loads hang on MSB.
    feeds = text[text.index("those first that most loads hang on") :]
    assert "LP-1" not in feeds
    assert feeds.index("MSB UTIL 4") < feeds.index("LP-2 MSB/3 1")

"""Grades of feeds and of what was looked for; what governs a list of what goes dark.

The grades are those of the project's design. That a signal passes closed contacts and buses, and no
transformer, is common practice.
"""

import datetime as dt
from pathlib import Path

import pytest

from recordgen.evidence.edge_grades import EdgeGrades
from recordgen.evidence.grades import Grade
from recordgen.evidence.proof_edges import feeds_below, proof_edges
from recordgen.portfolio import Portfolio
from tests.network.asking import loaded, portfolio

# UTIL → MSB; MSB/5 → T-1 → LP-2; MSB/7 → LP-3; TS takes MSB/9 or GEN → LP-4.
RECORDS = """
sources: {UTIL: {kind: utility}, GEN: {kind: generator}}
panels:
  MSB:
    kind: switchboard
    main: {rating: 400 A}
    fed_from: UTIL
    circuits: {5: {device: 100 A}, 7: {device: 100 A}, 9: {device: 100 A}, 11: {device: 100 A}}
  LP-2:
    kind: panelboard
    main: lugs
    fed_from: T-1
    circuits:
      2: {device: 20 A, loads: {FAN: {kind: motor}}}
      4: {device: 20 A, neutral_shared_with: 6, loads: {RC-1: {kind: receptacle}}}
      6: {device: 20 A, loads: {RC-2: {kind: receptacle}}}
  LP-3:
    kind: panelboard
    main: lugs
    fed_from: MSB/7
    circuits: {1: {device: 20 A, loads: {AC: {kind: HVAC}}}}
  LP-4:
    kind: panelboard
    main: lugs
    fed_from: TS
    circuits: {1: {device: 20 A, loads: {EX: {kind: exit sign}}}}
equipment:
  T-1: {kind: transformer, fed_from: MSB/5}
  TS: {kind: transfer switch, normal_from: MSB/9, emergency_from: GEN}
instruments: {TRC-1: {kind: tracer}}
"""
OPENED = "confirmed_by_opening: yes"
STANDS_OUT = (
    "readings: [{at: AC, sensitivity: 4, values: 70}, {at: FAN, sensitivity: 4, values: 9}]"
)
LIST = "purpose: list what is downstream"


def checked(panel: str, what: str, text: str = RECORDS) -> str:
    """Return the records with a look at what feeds something."""
    before = f"{panel}:\n    kind"
    if before in text:
        return text.replace(before, f"{panel}:\n    feed_checked: {{{what}}}\n    kind")
    assert f"{panel}: {{" in text
    return text.replace(f"{panel}: {{", f"{panel}: {{feed_checked: {{{what}}}, ")


def traces(*lines: str) -> str:
    return "traces:\n" + "".join(
        f"  T-{number}: {{by: JD, {line}}}\n" for number, line in enumerate(lines, 1)
    )


def found_in(folder: Path, text: str, **more: str) -> Portfolio:
    return portfolio(folder, text, more.get("about", ""))


def feed(found: Portfolio, thing: str, by: str) -> Grade:
    return found.edge_grades.of_feed(f"home:{thing}", f"home:{by}")


def test_without_a_look_a_feed_is_unverified(tmp_path: Path) -> None:
    found = found_in(tmp_path, RECORDS)
    assert feed(found, "LP-3", "MSB/7") == Grade("unverified", reason="no trace recorded")
    assert found.edge_grades.contradictions == ()


@pytest.mark.parametrize(
    ("look", "lines", "expected", "reason"),
    [
        ("", (), "unverified", "looked at by JD on 2026-03-01, neither traced nor opened"),
        (OPENED, (), "confirmed", ""),
        ("confirmed_by_opening: no", (), "unverified", "neither traced nor opened"),
        (
            "trace: T-1",
            (f"date: 2026-03-01, {LIST}, circuit: MSB/7, found: AC, {OPENED}",),
            "confirmed",
            "",
        ),
        # The signal stands out at a load of the panel: traced, since buses pass it.
        (
            "trace: T-1",
            (f"date: 2026-03-01, {LIST}, circuit: MSB/7, found: AC, {STANDS_OUT}",),
            "traced",
            "",
        ),
        (
            "trace: T-1",
            (f"date: 2026-03-01, {LIST}, circuit: MSB/7, found: AC",),
            "unverified",
            "no readings recorded in trace T-1, and nothing was opened",
        ),
        # What the trace is about is another feed.
        (
            "trace: T-1",
            (f"date: 2026-03-01, {LIST}, circuit: MSB/5, found: FAN, {OPENED}",),
            "unverified",
            "trace T-1 is about MSB/5",
        ),
        (
            "trace: T-1",
            ("date: 2026-03-01, purpose: sort a bundle",),
            "unverified",
            "trace T-1 names no circuit",
        ),
    ],
)
def test_a_feed_that_somebody_looked_at(
    tmp_path: Path, look: str, lines: tuple[str, ...], expected: str, reason: str
) -> None:
    what = ", ".join(filter(None, ("date: 2026-03-01, by: JD", look)))
    text = checked("LP-3", what) + (traces(*lines) if lines else "")
    grade = feed(found_in(tmp_path, text), "LP-3", "MSB/7")
    assert grade.name == expected, grade
    assert reason in grade.reason
    assert grade.date == dt.date(2026, 3, 1)


@pytest.mark.parametrize(
    ("thing", "changed"),
    [
        ("LP-3", "LP-3:\n    changed: {day}\n    "),
        ("MSB/7", "7: {{changed: {day}, device"),
        ("MSB", "MSB:\n    changed: {day}\n    "),
    ],
)
@pytest.mark.parametrize(
    ("day", "reason"),
    [
        ("2026-02-28", ""),
        ("2026-03-01", "was changed on 2026-03-01, the day of the opening: which came first"),
        ("2026-03-02", "was changed on 2026-03-02, after the opening of 2026-03-01"),
    ],
)
def test_a_feed_ages_by_a_change_at_either_end(
    tmp_path: Path, thing: str, changed: str, day: str, reason: str
) -> None:
    text = checked("LP-3", f"date: 2026-03-01, by: JD, {OPENED}")
    before = "7: {device" if thing == "MSB/7" else f"{thing}:\n    "
    assert before in text
    text = text.replace(before, changed.format(day=day), 1)
    grade = feed(found_in(tmp_path, text), "LP-3", "MSB/7")
    assert grade.name == ("unverified" if reason else "confirmed")
    assert reason in grade.reason


def test_a_feed_ages_by_the_owner_s_limit(tmp_path: Path) -> None:
    text = checked("LP-3", f"date: 2025-11-24, by: JD, {OPENED}")
    found = found_in(tmp_path, text, about=", evidence_valid_for: 365 days")
    assert feed(found, "LP-3", "MSB/7").reason == "the opening of 2025-11-24 is older than 365 days"


def test_which_of_two_feeds_was_opened_has_to_be_told(tmp_path: Path) -> None:
    look = f"date: 2026-03-01, by: JD, {OPENED}"
    found = found_in(tmp_path / "1", checked("TS", look))
    assert "which of its feeds" in feed(found, "TS", "MSB/9").reason
    listed = traces(f"date: 2026-03-01, {LIST}, circuit: MSB/9, found: EX, {OPENED}")
    found = found_in(tmp_path / "2", checked("TS", f"{look}, trace: T-1") + listed)
    assert feed(found, "TS", "MSB/9").name == "confirmed"
    assert feed(found, "TS", "GEN").name == "unverified"


def test_a_load_that_died_proves_the_feeds_above_it(tmp_path: Path) -> None:
    above = f"date: 2026-03-02, {LIST}, circuit: MSB/5, found: FAN, {OPENED}"
    own = f"date: 2026-03-01, {LIST}, circuit: LP-2/2, found: FAN, {OPENED}"
    # Where the load's own circuit is hearsay, the panel may be fed from anywhere.
    found = found_in(tmp_path / "1", RECORDS + traces(above))
    assert feed(found, "LP-2", "T-1").name == feed(found, "T-1", "MSB/5").name == "unverified"
    found = found_in(tmp_path / "2", RECORDS + traces(above, own))
    assert feed(found, "LP-2", "T-1").name == feed(found, "T-1", "MSB/5").name == "confirmed"
    assert feed(found, "LP-2", "T-1").trace == "home:T-1"
    assert feed(found, "LP-3", "MSB/7").name == "unverified"
    # It ages like any other evidence.
    text = RECORDS.replace("T-1: {", "T-1: {changed: 2026-04-01, ")
    found = found_in(tmp_path / "3", text + traces(above, own))
    assert "T-1 was changed on 2026-04-01" in feed(found, "LP-2", "T-1").reason


def test_a_trace_that_finds_another_feed_contradicts_the_record(tmp_path: Path) -> None:
    look = "date: 2026-03-01, by: JD, trace: T-1"
    other = "date: 2026-03-01, purpose: identify the breaker, concluded_circuit: MSB/11"
    found = found_in(tmp_path / "1", checked("LP-3", look) + traces(other))
    (contradiction,) = found.edge_grades.contradictions
    assert (contradiction.thing, contradiction.concluded) == ("home:LP-3", "home:MSB/11")
    assert contradiction.recorded == ("home:MSB/7",)
    settled = traces(f"{other}, resolved: moved back")
    found = found_in(tmp_path / "2", checked("LP-3", look) + settled)
    assert found.edge_grades.contradictions == ()


def test_what_can_only_be_looked_for(tmp_path: Path) -> None:
    text = RECORDS.replace(
        "4: {device", "4: {neutral_checked: {date: 2026-03-01, by: JD}, device"
    ).replace("LP-3:\n", "LP-3:\n    pass_through_checked: {date: 2026-03-01, by: R.T.}\n")
    edges = found_in(tmp_path / "1", text).edge_grades
    assert edges.of_neutral("home:LP-2/4").name == "traced"
    # LP-2/6 shares it with LP-2/4: who looked at one has looked at the other.
    assert edges.of_neutral("home:LP-2/6").name == "traced"
    assert edges.of_neutral("home:LP-2/2").name == "unverified"
    assert edges.of_crossing("home:LP-3").name == "traced"
    assert "nobody has recorded looking" in edges.of_crossing("home:LP-2").reason
    text = text.replace("4: {neutral", "4: {changed: 2026-03-02, neutral")
    edges = found_in(tmp_path / "2", text).edge_grades
    assert "after the look of 2026-03-01" in edges.of_neutral("home:LP-2/4").reason


def leaned_on(edges: EdgeGrades, tags: list[str], *opened: str) -> dict[str, int]:
    found = proof_edges(edges, [f"home:{t}" for t in tags], [f"home:{t}" for t in opened])
    return {f"{e.thing} {e.by}".replace("home:", ""): e.count for e in found.edges}


def test_what_a_list_leans_on_lies_between(tmp_path: Path) -> None:
    edges = found_in(tmp_path, RECORDS).edge_grades
    loads = ["FAN", "RC-1", "AC"]
    assert leaned_on(edges, loads, "LP-2/2") == {}
    assert leaned_on(edges, ["FAN", "RC-1"], "MSB/5") == {"LP-2 T-1": 2, "T-1 MSB/5": 2}
    # The breakers of a panel are seen to be in it: nothing has to be proven there.
    assert leaned_on(edges, loads, "MSB/main") == {
        "LP-2 T-1": 2,
        "LP-3 MSB/7": 1,
        "T-1 MSB/5": 2,
    }
    assert leaned_on(edges, ["LP-2"], "MSB/5") == {"LP-2 T-1": 1, "T-1 MSB/5": 1}


def test_the_weakest_comes_first_and_what_is_not_followed_is_told(tmp_path: Path) -> None:
    text = checked("T-1", f"date: 2026-03-01, by: JD, {OPENED}")
    edges = found_in(tmp_path, text).edge_grades
    found = proof_edges(edges, ["home:FAN", "home:AC"], ["home:MSB/5"])
    assert [(e.thing, e.grade.name) for e in found.edges] == [
        ("home:LP-2", "unverified"),
        ("home:T-1", "confirmed"),
    ]
    assert found.unfollowed == ("home:AC",)


def test_every_feed_counts_the_loads_below_it(tmp_path: Path) -> None:
    edges = found_in(tmp_path, RECORDS).edge_grades
    counted = {(e.thing, e.by): e.count for e in feeds_below(edges)}
    # FAN, RC-1 and RC-2 hang on LP-2, AC on LP-3, EX on LP-4.
    assert counted == {
        ("home:MSB", "home:UTIL"): 5,
        ("home:T-1", "home:MSB/5"): 3,
        ("home:LP-2", "home:T-1"): 3,
        ("home:LP-3", "home:MSB/7"): 1,
        ("home:LP-4", "home:TS"): 1,
        ("home:TS", "home:MSB/9"): 1,
        ("home:TS", "home:GEN"): 1,
    }


@pytest.mark.parametrize(
    "text",
    [
        checked("LP-3", "date: 2026-03-01, by: JD, trace: T-9"),
        checked("TS", "date: 2026-03-01, by: JD, trace: T-9"),
        RECORDS.replace("4: {", "4: {neutral_checked: {date: 2026-03-01, by: JD, trace: T-9}, "),
        RECORDS.replace(
            "LP-2:\n", "LP-2:\n    pass_through_checked: {date: 2026-03-01, by: JD, trace: T-9}\n"
        ),
    ],
)
def test_a_look_names_no_trace_that_is_not_recorded(tmp_path: Path, text: str) -> None:
    messages = [p.message for p in loaded(tmp_path, text).problems if p.severity == "error"]
    assert messages == ['there is no trace "T-9" in home']

"""Work that touches several things: one set of locks for all of them, worked by hand."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from recordgen.network.isolation import Isolation, isolate, target_of
from recordgen.portfolio import Portfolio
from tests.network.asking import locks, portfolio
from tests.network.by_hand import Points, walk
from tests.network.random_records import SOME, Records, load, portfolios

# UTIL ─ MSB/main ─┬─ MSB/1 ─ LP (lugs) ─┬─ LP/1: LAMP, HEATER
#                  │                     ├─ LP/3 ┐ share a neutral
#                  │                     ├─ LP/5 ┘
#                  │                     └─ LP/7: control power of AHU
#                  └─ MSB/2 ─ AHU/disconnect ─ AHU
HOUSE = """
sources: {UTIL: {kind: utility}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: 800 A
    fed_from: UTIL
    circuits: {1: {device: 100 A}, 2: {device: 30 A}}
  LP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/1
    circuits:
      1: {device: 20 A, loads: {LAMP: {kind: lighting}, HEATER: {kind: heating}}}
      3: {device: 20 A, neutral_shared_with: 5}
      5: {device: 20 A}
      7: {device: 20 A}
loads:
  AHU:
    kind: HVAC
    fed_from: MSB/2
    control_power_from: LP/7
    local_disconnect: {lockable: yes}
"""


def job(found: Portfolio, *tags: str) -> Isolation:
    return isolate(found.hazard, target_of(found.network, *(f"home:{tag}" for tag in tags)))


def job_locks(found: Portfolio, *tags: str) -> tuple[str, set[str]]:
    answer = job(found, *tags)
    return answer.verdict, {point.device.removeprefix("home:") for point in answer.points}


def test_two_loads_on_one_breaker_need_one_lock(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    assert job_locks(found, "LAMP", "HEATER") == ("yes", {"LP/1"})
    assert job(found, "LAMP", "HEATER").target.kind == "job"


def test_the_same_thing_twice_is_no_job(tmp_path: Path) -> None:
    target = job(portfolio(tmp_path, HOUSE), "LAMP", "LAMP").target
    assert (target.tags, target.kind) == (("home:LAMP",), "load")


def test_locks_of_things_that_have_nothing_in_common_add_up(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    assert locks(found, "AHU") == ("yes", {"AHU/disconnect", "LP/7"})
    assert job_locks(found, "AHU", "LAMP") == ("yes", {"AHU/disconnect", "LP/7", "LP/1"})


def test_a_lock_inside_another_things_enclosure_does_not_count(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    assert locks(found, "LAMP") == ("yes", {"LP/1"})
    # Whoever works in LP has its bus before him: LP/1 is in LP, so its feeder is locked for both.
    assert job_locks(found, "LAMP", "LP") == ("yes", {"MSB/1"})
    assert job_locks(found, "LP/1", "LP") == ("yes", {"MSB/1"})
    # AHU's control power comes from LP too; its own feeder does not.
    assert job_locks(found, "AHU", "LP") == ("yes", {"MSB/1", "AHU/disconnect"})
    # AHU/disconnect is a box of its own: whoever opens that too goes back to MSB/2.
    assert job_locks(found, "AHU", "AHU/disconnect", "LP") == ("yes", {"MSB/1", "MSB/2"})


def test_circuits_that_share_a_neutral(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    alone = job(found, "LP/3")
    assert job_locks(found, "LP/3") == ("yes", {"LP/3", "LP/5"})
    through = {
        point.device.removeprefix("home:"): any(n in found.network.couplings for n in point.inward)
        for point in alone.points
    }
    # LP/5 is locked because of the neutral, LP/3 for itself.
    assert through == {"LP/3": False, "LP/5": True}
    # Where both are worked on, each is locked for itself.
    both = job(found, "LP/3", "LP/5")
    assert job_locks(found, "LP/3", "LP/5") == ("yes", {"LP/3", "LP/5"})
    assert all(point.inward == (point.device, f"={point.device}") for point in both.points)


def test_locks_go_on_from_load_to_source(tmp_path: Path) -> None:
    # From UTIL, AHU's disconnect is behind two devices, MSB/1 behind one.
    found = portfolio(tmp_path, HOUSE)
    order = [point.device.removeprefix("home:") for point in job(found, "AHU", "LP").points]
    assert order == ["AHU/disconnect", "MSB/1"]


def test_one_part_that_nothing_isolates_is_enough_for_no(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE)
    assert locks(found, "MSB") == ("no", set())
    verdict, points = job_locks(found, "MSB", "LAMP")
    # LP's bus is what MSB/1's terminals are, and so a part of the job that stays live; LP/1 stands
    # between two parts of the job and isolates nothing from outside.
    assert (verdict, points) == ("no", set())
    assert job(found, "MSB", "LAMP").reasons == job(found, "MSB").reasons


@SOME
@given(portfolios(), st.data())
def test_jobs_are_sound_lean_and_near(records: Records, draw: st.DataObject) -> None:
    """As for single targets in `test_properties`, on two or three things at once."""
    found, points = load(records), Points(records)
    targets = points.targets()
    for size in (2, 2, 3):
        tags = draw.draw(st.permutations(sorted(targets)))[:size]
        ends = {end for tag in tags for end in targets[tag][0]}
        lockable = set.intersection(*(points.locks(outside=targets[tag][1]) for tag in tags))
        verdict, chosen = job_locks(found, *tags)
        assert chosen <= lockable
        assert (verdict == "yes") == (not points.live(lockable) & ends)
        if verdict == "yes":
            assert not points.live(chosen) & ends, (tags, chosen)
            for one in chosen:
                assert points.live(chosen - {one}) & ends, f"{one} is locked for nothing"
        region = walk(ends, points.conductors(lockable))
        for one in chosen:
            assert {end for pair in points.switches[one].pairs for end in pair} & region

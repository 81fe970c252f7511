"""What the commands say about the demo buildings, against what an electrician would say.

Every expectation was worked out by hand from the record files before the program was asked, by
the rules of the trade: a breaker or disconnect recorded as lockable isolates; a transfer switch,
starter, drive or UPS does not; every source counts for locks, photovoltaic and batteries too; only
what can carry the load counts for supply. The way to each answer is in the comments.

Sets of loads are read from the files with a plain YAML reader that knows nothing of the network.
"""

import functools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from recordgen import cli
from recordgen.terminal import options

BUILDINGS = Path(__file__).parents[1] / "buildings"


@pytest.fixture(scope="module", autouse=True)
def _read_once() -> Iterator[None]:
    """Read the records once for all questions; every question goes through the command."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(options, "load_portfolio", functools.cache(options.load_portfolio))
        yield


def ask(command: str, building: str, *arguments: str) -> Any:
    given = [command, building, *arguments, "--records", str(BUILDINGS), "--as-of", "2026-11-25"]
    result = CliRunner().invoke(cli.main, [*given, "--format", "json"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def written_in(building: str, *panels: str) -> set[str]:
    """Return the loads written in the circuits of some panels, as the files have them."""
    found = set()
    for path in (BUILDINGS / building).rglob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        # The base loader makes nothing but text, lists and mappings: `12` stays a position.
        records = yaml.load(text, Loader=yaml.BaseLoader) or {}  # noqa: S506
        for tag, panel in (records.get("panels") or {}).items():
            if tag not in panels:
                continue
            for circuit in panel["circuits"].values():
                loads = circuit.get("loads") if isinstance(circuit, dict) else None
                found |= set(loads) if isinstance(loads, dict) else set()
    return {f"{building}:{tag}" for tag in found}


def full(building: str, tags: str) -> set[str]:
    return {tag if ":" in tag else f"{building}:{tag}" for tag in tags.split()}


# --- Where the locks go ---------------------------------------------------------------------

LOCKS = [
    # The 480 V critical and life safety panel: main lugs, so its bus is the load side of ATS-LS.
    # A transfer switch does not isolate: lock the normal side MSB/5 and the generator side EDP/1.
    # Behind EHP/2 and T-3, CP-1's main is shut on a bus that the UPS can back-feed: lock that too.
    # LS-1 and LSH hold nothing that makes voltage.
    ("clinic", "EHP", "yes", "MSB/5 EDP/1 CP-1/main"),
    # The same seen from the transfer switch: now EHP/2 is outside the box and nearer than CP-1.
    ("clinic", "ATS-LS", "yes", "MSB/5 EDP/1 EHP/2-4-6"),
    # CP-1: its line side is dead with EHP/2 locked. But the UPS stands on the load side of three
    # of its own breakers, and nothing outside the panel can be locked between: no.
    ("clinic", "CP-1", "no", "EHP/2-4-6"),
    # The generator board: the engine, and both transfer switches can feed back into it.
    # EHP/2: the UPS. EQH/13: T-5 backwards from EQ-1, which hangs on LP-1's temporary cable.
    ("clinic", "EDP", "yes", "DS-GEN MSB/5 MSB/6 EHP/2-4-6 EQH/13-15-17"),
    ("clinic", "EQH", "yes", "MSB/6 EDP/2 EQ-1/main"),
    # The generator's own breaker: its line side is the alternator, no lock comes before it.
    ("clinic", "DS-GEN", "no", "EDP/1 EDP/2"),
    # The UPS panel: three breakers feed the UPS, and its battery feeds the bus behind them all.
    ("clinic", "UP-1", "no", "CP-1/1-3-5 CP-1/2-4-6 CP-1/7-9-11"),
    ("clinic", "UPS-1", "no", "CP-1/1-3-5 CP-1/2-4-6 CP-1/7-9-11"),
    # The UPS's input cable: its own breaker, but from the far end the battery and both bypasses.
    ("clinic", "CP-1/1-3-5", "no", "CP-1/1-3-5 CP-1/2-4-6 CP-1/7-9-11"),
    # A load of the UPS panel: its breaker in UP-1 can be locked, and breaks all of it.
    ("clinic", "CMS-114", "yes", "UP-1/3"),
    ("clinic", "UP-1/3", "yes", "UP-1/3"),
    # Two cords: both.
    ("clinic", "RACK-1", "yes", "UP-1/1 CP-1/32"),
    # The photovoltaic circuit: both of its ends.
    ("clinic", "MSB/9", "yes", "MSB/9 DS-PV"),
    # Its disconnect: the inverter side is live in daylight.
    ("clinic", "DS-PV", "no", "MSB/9"),
    # The switchboard: only the utility can kill its line terminals. The array by DS-PV; the
    # generator through both transfer switches, by EDP/1 and EDP/2; the UPS back through T-3, by
    # EHP/2. What could come round by EQ-1 and LP-1 starts at EQH, which is dead by then.
    ("clinic", "MSB", "no", "DS-PV EDP/1 EDP/2 EHP/2-4-6"),
    # A panel with a main: its line terminals, so the feeder's breaker and not its own main.
    ("clinic", "HP-1", "yes", "MSB/1"),
    # Shared neutrals: every circuit of the set.
    ("clinic", "LP-1/14", "yes", "LP-1/14 LP-1/16"),
    ("clinic", "R-107-N", "yes", "LP-1/14 LP-1/16"),
    ("clinic", "LP-1/21", "yes", "LP-1/19 LP-1/21 LP-1/23"),
    # Across two panels: nothing in LP-2A is recorded as lockable, and it is fed by LP-2's subfeed
    # lugs, so the nearest lock on that leg is LP-2's main, which takes LP-2/33 with it.
    ("clinic", "LP-2/33", "yes", "LP-2/main"),
    ("clinic", "LP-2A/6", "yes", "LP-2/main"),
    # Two fans by drives and 120 V controls from elsewhere: "three things to lock", says its note.
    ("clinic", "AHU-1", "yes", "MCC-1/5 MCC-1/6 LP-1/32"),
    # The motor switch in its door cuts the fan; the control circuit comes in besides.
    ("clinic", "AHU-2", "yes", "AHU-2/disconnect EQ-1/7"),
    # The drive's cabinet: two breakers feed it.
    ("clinic", "VFD-AHU2", "yes", "EQH/8-10-12 EQH/19-21-23"),
    # On a temporary feed: the cable from LP-1, and the proper feeder with it.
    ("clinic", "EQ-1", "yes", "EQH/13-15-17 LP-1/38-40-42"),
    # The transformer out for repair: EQ-1's main keeps the temporary feed off its secondary.
    ("clinic", "T-5", "yes", "EQH/13-15-17 EQ-1/main"),
    # LP-1 at the other end: what stands behind its breaker 38 is a live bus in EQ-1.
    ("clinic", "LP-1", "yes", "MSB/3 EQ-1/main"),
    ("clinic", "T-1", "yes", "MSB/3 LP-1/main"),
    # The gutter: three circuits go through; the array's has a second end, and T-1 can be fed
    # backwards from LP-1 by the temporary cable.
    ("clinic", "G-1", "yes", "MSB/3 MSB/4 MSB/9 DS-PV LP-1/main"),
    # Behind starters: the switch at the pump is nearest.
    ("clinic", "CHWP-1", "yes", "CHWP-1/disconnect"),
    ("clinic", "HWP-1", "yes", "HWP-1/disconnect"),
    # The starter itself: control power from EQ-1/10 "stays on with the bucket open".
    ("clinic", "MS-HWP1", "yes", "MCC-1/3 EQ-1/10"),
    # Ahead of the main.
    ("clinic", "FP-1", "yes", "DS-FP"),
    ("clinic", "DS-FP", "no", "MSB/main"),
    # A local switch of which nobody knows whether it locks, and one that does not.
    ("clinic", "RH-1C", "yes", "HP-1/22-24-26"),
    ("clinic", "DO-101A", "yes", "LP-1/5"),
    # The generator inlet: a portable set on a cord, with no lock before it. The plate that lets
    # only one of inlet and main be on is an interlock, and no lock.
    ("workshop", "LC-1/2-4", "no", "LC-1/2-4"),
    # The whole load centre: the utility at its lugs, the inlet, and the garage's battery storage
    # by way of SP-1.
    ("workshop", "LC-1", "no", "SP-1/2-4"),
    # A tandem that takes no lock: the bus with it, so main, inlet, and the way to the storage.
    ("workshop", "LC-1/21A", "yes", "LC-1/main LC-1/2-4 LC-1/1-3"),
    ("workshop", "WH-W9", "yes", "LC-1/6-8"),
    # Nobody knows what feeds the lamp.
    ("workshop", "LAMP-W", "unproven", ""),
    # Recorded on 19, traced to 20.
    ("workshop", "FS-W7", "unproven", "LC-1/19"),
    ("workshop", "LC-1/19", "unproven", "LC-1/19"),
    ("workshop", "LC-1/20", "unproven", "LC-1/20"),
    # A normally open tie is a way in like any other, and can be locked.
    ("workshop", "BW-1", "yes", "HL-1/2-4-6 BT-1"),
    # The wireway: conductors of both services. The slate's fuses are not recorded as lockable.
    ("workshop", "JB-W1", "yes", "HL-1/17 SP-1/14 SP-1/15 LC-1/9-11"),
    ("workshop", "HOIST-1", "yes", "HL-1/17"),
    ("workshop", "DUST-1", "yes", "BW-2/4"),
    # Its starter: control power from a tandem that takes no lock, so SP-1's bus: its feeder, and
    # the breaker to the garage with its storage.
    ("workshop", "MS-DUST", "yes", "BW-2/4 LC-1/1-3 SP-1/2-4"),
    # Nothing in HL-2 is recorded as lockable, and fan and controls both come from it: one lock.
    ("workshop", "BFAN-1", "yes", "HL-1/8-10-12"),
    # Fed from the next building, with storage of its own.
    ("garage", "GP-1", "yes", "workshop:SP-1/2-4 DS-BESS"),
    ("garage", "EV-1", "yes", "EV-1/disconnect"),
]


@pytest.mark.parametrize(
    ("building", "tag", "isolable", "points"), LOCKS, ids=[f"{b}:{t}" for b, t, *_ in LOCKS]
)
def test_where_the_locks_go(building: str, tag: str, isolable: str, points: str) -> None:
    answer = ask("isolate", building, tag)
    assert answer["target"] == f"{building}:{tag}"
    assert answer["isolable"] == isolable
    assert set(answer["points"]) == full(building, points)
    assert len(answer["points"]) == len(set(answer["points"]))
    assert bool(answer["reasons"]) == (isolable != "yes")


@pytest.mark.parametrize(
    ("building", "tag", "sources"),
    [
        # Whatever is fed through ATS-LS can be live from all four.
        ("clinic", "EHP", "UTIL-1 GEN-1 PV-1 UPS-1/battery"),
        ("clinic", "CMS-114", "UTIL-1 GEN-1 PV-1 UPS-1/battery"),
        ("clinic", "MSB/9", "UTIL-1 GEN-1 PV-1 UPS-1/battery"),
        # The light service: utility, the portable generator, the garage's storage. Not the power
        # service, which no conductor joins to it.
        ("workshop", "RNG-W5", "UTIL-L GIN-1 garage:BESS-1"),
        ("workshop", "BW-1", "UTIL-P"),
        ("garage", "GP-1", "workshop:UTIL-L workshop:GIN-1 BESS-1"),
    ],
)
def test_every_source_is_named(building: str, tag: str, sources: str) -> None:
    assert set(ask("isolate", building, tag)["sources"]) == full(building, sources)


@pytest.mark.parametrize(
    ("building", "tag", "source", "who"),
    [
        ("clinic", "MSB", "UTIL-1", "utility trouble desk"),
        ("clinic", "CP-1", "UPS-1", "UPS must be shut down"),
        ("clinic", "UP-1", "UPS-1", "UPS must be shut down"),
        ("clinic", "DS-PV", "PV-1", "facilities electrician"),
        ("workshop", "LC-1/2-4", "GIN-1", "workshop steward"),
        ("workshop", "LC-1", "GIN-1", "workshop steward"),
        ("workshop", "LC-1", "UTIL-L", "utility trouble desk"),
        ("workshop", "LAMP-W", "LAMP-W", "not recorded"),
    ],
)
def test_what_no_lock_stops_is_named_with_who_must_act(
    building: str, tag: str, source: str, who: str
) -> None:
    answer = ask("isolate", building, tag)
    assert any(source in reason and who in reason for reason in answer["reasons"])
    assert any(way[0].startswith(f"{building}:{source}") for way in answer["unbroken"])


def test_a_contradiction_stops_the_sheet() -> None:
    answer = ask("isolate", "workshop", "FS-W7")
    assert [problem["code"] for problem in answer["stop"]] == ["contradiction"]
    assert any("LC-1/20" in reason for reason in answer["reasons"])


def test_what_the_dead_panel_still_holds() -> None:
    """CP-1 with EHP/2 locked: its bus is off, but the UPS's cables end on its breakers."""
    live = ask("isolate", "clinic", "CP-1")["still_live"]
    in_panel = [line for line in live if line["enclosure"] == "clinic:CP-1"]
    assert {s for line in in_panel for s in line["sources"]} == {"clinic:UPS-1/battery"}
    assert any("load terminals of 1-3-5" in line["what"] for line in in_panel)


# --- What goes dark -------------------------------------------------------------------------

Outcomes = dict[str, set[str]]
RACKS = {"clinic:RACK-1", "clinic:RACK-2"}
BRIEF = "brief interruption, then standby"
STANDBY = "loses standby or redundancy"
RIDES = "rides through, then dark"


def outcomes(building: str, *arguments: str) -> Outcomes:
    found: Outcomes = {}
    for load in ask("downstream", building, *arguments)["loads"]:
        found.setdefault(load["outcome"], set()).add(load["tag"])
    return found


@pytest.fixture(scope="module")
def essential() -> set[str]:
    """Loads behind ATS-LS, but for the UPS panel."""
    return written_in("clinic", "LSH", "CP-1", "IPP-1", "LS-1")


@pytest.fixture(scope="module")
def by_ups() -> set[str]:
    return written_in("clinic", "UP-1")


@pytest.fixture(scope="module")
def equipment_branch() -> set[str]:
    """Loads behind ATS-EQ: in EQ-1, and the machines in loads.yaml fed from EQH."""
    machines = full("clinic", "ELEV-1 VAC-1 MA-1 CU-1 HU-2 AHU-2")
    return written_in("clinic", "EQ-1") | machines


def test_the_normal_side_of_the_generator_backed_panels(
    essential: set[str], by_ups: set[str]
) -> None:
    """MSB/5 opens: ATS-LS goes over to the generator, and the UPS bridges the ten seconds."""
    assert outcomes("clinic", "MSB/5") == {BRIEF: essential, STANDBY: by_ups | RACKS}
    for load in ask("downstream", "clinic", "MSB/5")["loads"]:
        if load["outcome"] == STANDBY:
            assert load["detail"] == "UPS-1: 11 min"


def test_the_utility_main(
    essential: set[str], by_ups: set[str], equipment_branch: set[str]
) -> None:
    """Everything behind the main, but the fire pump, which is tapped ahead of it; the array
    alone keeps nothing running, yet it may energize the bus again."""
    found = outcomes("clinic", "MSB/main")
    assert found[BRIEF] == essential | equipment_branch
    assert found[STANDBY] == by_ups | RACKS
    normal = written_in("clinic", "MSB", "HP-1", "LP-1", "LP-2", "LP-2A", "MCC-1")
    machines = full(
        "clinic",
        "CH-1 XRG-119 RTU-1 STER-1 WD-1 AHU-1 CHWP-1 CHWP-2 HWP-1 HWP-2 EF-1 EF-2 "
        "PL-X01-N PL-X01-S BOL-X01",
    )
    assert found["dark"] == normal | machines
    assert set(found) == {BRIEF, STANDBY, "dark"}
    answer = ask("downstream", "clinic", "MSB/main")
    assert all(x["may_be_energized_again"] for x in answer["loads"] if x["outcome"] == "dark")
    live = {source for line in answer["still_live"] for source in line["sources"]}
    assert {"clinic:UTIL-1", "clinic:PV-1"} <= live


def test_the_utility_main_while_a_panel_is_on_a_temporary_feed(equipment_branch: set[str]) -> None:
    """Today EQ-1 hangs on LP-1, without the generator; and vacuum, medical air and the operating
    rooms' air handler, which are on the generator, lose their control power with it."""
    found = outcomes("clinic", "MSB/main", "--present")
    lost = written_in("clinic", "EQ-1") | full("clinic", "AHU-2 VAC-1 MA-1")
    assert lost <= found["dark"]
    assert equipment_branch - lost == full("clinic", "ELEV-1 CU-1 HU-2") <= found[BRIEF]


def test_the_temporary_feed() -> None:
    """LP-1/38 carries EQ-1 now, and nothing in the normal state. Three machines and both heating
    pumps have their control power from EQ-1."""
    controlled = full("clinic", "AHU-2 VAC-1 MA-1 HWP-1 HWP-2")
    eq_1 = written_in("clinic", "EQ-1")
    assert outcomes("clinic", "LP-1/38-40-42", "--present") == {"dark": eq_1 | controlled}
    assert outcomes("clinic", "LP-1/38-40-42") == {}


def test_the_generator_breaker(
    essential: set[str], by_ups: set[str], equipment_branch: set[str]
) -> None:
    """Nothing goes off; everything behind both transfer switches has no standby left. So have the
    heating pumps for their control power, which lets them run on when only MSB/6 is lost."""
    pumps = full("clinic", "HWP-1 HWP-2")
    expected = essential | by_ups | RACKS | equipment_branch | pumps
    assert outcomes("clinic", "DS-GEN") == {STANDBY: expected}


def test_the_generator_s_battery_charger(
    essential: set[str], by_ups: set[str], equipment_branch: set[str]
) -> None:
    """Without its starting battery the generator may not start: no standby is left anywhere."""
    pumps = full("clinic", "HWP-1 HWP-2")
    standby = (essential | by_ups | RACKS | equipment_branch | pumps) - full("clinic", "BC-GEN")
    charger = full("clinic", "BC-GEN")
    assert outcomes("clinic", "LS-1/4") == {"dark": charger, STANDBY: standby}
    assert ask("downstream", "clinic", "LS-1/4")["leaning"] == [
        {"tag": "clinic:GEN-1", "is_source": True, "needs": ["clinic:LS-1/4"]}
    ]


def test_both_sides_of_a_transfer_switch(
    essential: set[str], by_ups: set[str], equipment_branch: set[str]
) -> None:
    """The generator's battery charger goes dark with LS-1, and a generator that may not start is no
    standby for the other transfer switch either."""
    found = outcomes("clinic", "MSB/5", "EDP/1")
    pumps = full("clinic", "HWP-1 HWP-2")
    standby = (equipment_branch | pumps) - essential
    assert found == {"dark": essential, RIDES: by_ups | RACKS, STANDBY: standby}


def test_utility_and_generator(by_ups: set[str]) -> None:
    """Only the fire pump stays on, and the UPS for its eleven minutes."""
    found = outcomes("clinic", "MSB/main", "DS-GEN")
    assert set(found) == {"dark", RIDES}
    assert found[RIDES] == by_ups | RACKS
    assert "clinic:FP-1" not in found["dark"]


def test_the_ups_input(by_ups: set[str]) -> None:
    """The static bypass takes over by itself when the battery is down: redundancy is lost."""
    assert outcomes("clinic", "CP-1/1-3-5") == {STANDBY: by_ups}
    # Input and static bypass: eleven minutes, and then nobody has closed the third breaker.
    both = ask("downstream", "clinic", "CP-1/1", "CP-1/2")
    assert both["opened"] == ["CP-1/1-3-5", "CP-1/2-4-6"]
    by_tag = {load["tag"]: load for load in both["loads"]}
    assert {t for t, load in by_tag.items() if load["outcome"] == RIDES} == by_ups
    assert all(by_tag[t]["detail"] == "UPS-1: 11 min" for t in by_ups)
    assert all(by_tag[t]["may_be_energized_again"] for t in by_ups)
    # The racks run on by their other cord.
    assert {by_tag[t]["outcome"] for t in RACKS} == {STANDBY}


def test_the_critical_panel(by_ups: set[str]) -> None:
    found = outcomes("clinic", "CP-1/main")
    assert found == {"dark": written_in("clinic", "CP-1", "IPP-1"), RIDES: by_ups | RACKS}


@pytest.mark.parametrize(
    ("opened", "expected"),
    [
        # Two cords, one and the other and both.
        (["UP-1/1"], {STANDBY: "RACK-1"}),
        (["CP-1/32"], {STANDBY: "RACK-1"}),
        (["UP-1/1", "CP-1/32"], {"dark": "RACK-1"}),
        # The array feeds nothing alone; cutting it off darkens nothing.
        (["DS-PV"], {}),
        (["MSB/9"], {}),
        # Control power is needed.
        (["EQ-1/7"], {"dark": "AHU-2"}),
        (["EQ-1/10"], {"dark": "CTL-HWP HWP-1 HWP-2"}),
        (["LP-1/32"], {"dark": "AHU-1"}),
        # So is the second fan.
        (["MCC-1/6"], {"dark": "AHU-1"}),
        # One leg of a shared neutral: only its own loads.
        (["LP-1/16"], {"dark": "R-108-N XV-108 HB-108"}),
        (["LP-2/33"], {"dark": "R-201-E SG-201 CLK-201"}),
        (["CHWP-1/disconnect"], {"dark": "CHWP-1"}),
        (["DS-FP"], {"dark": "FP-1"}),
    ],
)
def test_small_openings(opened: list[str], expected: dict[str, str]) -> None:
    wanted = {outcome: full("clinic", tags) for outcome, tags in expected.items()}
    assert outcomes("clinic", *opened) == wanted


def test_a_shared_neutral_stays_in_use() -> None:
    """With 14 open the white wire in its box still carries 16: dark is not dead."""
    answer = ask("downstream", "clinic", "LP-1/14")
    assert all(load["may_be_energized_again"] for load in answer["loads"])
    assert any("neutral shared with LP-1/16" in line["what"] for line in answer["still_live"])
    alone = ask("downstream", "clinic", "LP-1/14", "LP-1/16")
    assert not any(load["may_be_energized_again"] for load in alone["loads"])


def test_dark_and_dead() -> None:
    """Behind MSB/4 there is one feeder and no other source: nothing brings LP-2 back."""
    answer = ask("downstream", "clinic", "MSB/4")
    assert {x["tag"] for x in answer["loads"]} == written_in("clinic", "LP-2", "LP-2A")
    assert not any(load["may_be_energized_again"] for load in answer["loads"])


def test_who_is_told_about_the_critical_branch() -> None:
    """Each once, with the phone of the building's list."""
    notify = ask("downstream", "clinic", "MSB/5")["notify"]
    phones = {line["role"]: line["phone"] for line in notify}
    assert len(phones) == len(notify)
    assert phones["charge nurse of the operating rooms"] == "ext. 2140"
    assert phones["fire alarm monitoring desk"] == "ext. 2990"
    assert phones["IT on call"] == "ext. 2177"


def test_the_workshop_main_takes_the_garage_with_it() -> None:
    """Light service only: load centre, annex, slate, and the garage next door, whose storage
    stops with the utility. Nobody knows what 24B and the slate's 6 feed, nor what feeds LAMP-W."""
    answer = ask("downstream", "workshop", "LC-1/main")
    loads = {load["tag"]: load for load in answer["loads"]}
    expected = written_in("workshop", "LC-1", "SP-1", "FB-1") | written_in("garage", "GP-1", "GP-2")
    # The dust collector is on the power service; its start buttons are on SP-1.
    assert set(loads) == expected | {"workshop:DUST-1"}
    assert {load["outcome"] for load in loads.values()} == {"dark"}
    # The inlet and the storage can bring it back.
    assert all(load["may_be_energized_again"] for tag, load in loads.items() if tag in expected)
    assert set(answer["circuits_with_unknown_loads"]) == full("workshop", "LC-1/24B FB-1/6")
    assert answer["loads_with_unknown_source"] == ["workshop:LAMP-W"]
    assert answer["stop"]


def test_the_garage_feeder() -> None:
    answer = ask("downstream", "workshop", "SP-1/2")
    assert {x["tag"] for x in answer["loads"]} == written_in("garage", "GP-1", "GP-2")
    live = {(line["enclosure"], s) for line in answer["still_live"] for s in line["sources"]}
    assert ("workshop:SP-1", "garage:BESS-1") in live
    assert "van keeper" in {line["role"] for line in answer["notify"]}


# --- The way down ---------------------------------------------------------------------------


def test_the_way_to_a_rack() -> None:
    """Cord A through the UPS, cord B straight from CP-1, each from utility and from generator."""
    paths = ask("feed", "clinic", "RACK-1")["paths"]
    ways = {
        (path["feed"], path["source"]): [device["tag"] for device in path["devices"]]
        for path in paths
    }
    to_cp_1 = ["ATS-LS", "EHP/2-4-6", "T-3", "CP-1/main"]
    cord_a = [*to_cp_1, "CP-1/1-3-5", "UPS-1", "UP-1/1"]
    cord_b = [*to_cp_1, "CP-1/32"]
    utility, generator = ["MSB/main", "MSB/5"], ["DS-GEN", "EDP/1"]
    expected = {
        ("UP-1/1", "UTIL-1"): utility + cord_a,
        ("UP-1/1", "GEN-1"): generator + cord_a,
        ("CP-1/32", "UTIL-1"): utility + cord_b,
        ("CP-1/32", "GEN-1"): generator + cord_b,
    }
    assert ways == {
        (f"clinic:{feed}", f"clinic:{source}"): [f"clinic:{tag}" for tag in way]
        for (feed, source), way in expected.items()
    }
    ratings = {d["tag"]: d["rating"] for path in paths for d in path["devices"]}
    assert ratings["clinic:MSB/main"] == "800 A 3P"
    assert ratings["clinic:T-3"] == "75 kVA"
    assert ratings["clinic:CP-1/32"] == "30 A 1P"

"""What opening something does to the loads, by the decision table, from the records alone."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from tests.network.by_hand import SYSTEMS, Opening, reached, several
from tests.network.by_hand_supply import NOTHING, Carried, Near, Opened, Supply, Way

GRAVEST_FIRST = (
    "dark",
    "rides through, then dark",
    "may see abnormal voltage",
    "brief interruption, then standby",
    "loses standby or redundancy",
)
JUDGED = ("automatic", "possible")
"""The states in which the loss of an input counts as a loss of standby."""
DARK, RIDES, ABNORMAL, BRIEF, LESS = GRAVEST_FIRST


@dataclass
class After:
    """What is left with something opened, state by state."""

    opened: Opened
    sure: dict[str, Carried]
    maybe: Carried  # in the automatic state
    neutral: dict[str, tuple[set[str], Near]]
    weakened: set[tuple[str, str]] = field(default_factory=set)  # places that have lost an input
    standing: dict[str, Carried] = field(default_factory=dict)  # without sources that may not start


class House(Supply):
    """Random records, and what happens in them."""

    def outcomes(self, opened: Iterable[Opening]) -> dict[str, str]:
        """Return load → outcome, for the loads that are not unaffected."""
        after = self._after(self.opened(opened))
        lost = self._impaired(after, self._outcomes(after))
        after.weakened = self._weakened(after.opened, lost.intersection(self.sources))
        after.standing = {
            state: self.arriving(
                state, after.opened, had=self.had[state], gone=lost.intersection(self.sources)
            )
            for state in JUDGED
        }
        return self._outcomes(after)

    def impaired(self, opened: Iterable[Opening]) -> set[str]:
        """Return the loads and sources that depend on what is lost, over any number of steps."""
        after = self._after(self.opened(opened))
        return self._impaired(after, self._outcomes(after))

    def again(self, opened: Iterable[Opening]) -> dict[str, bool]:
        """Return load → whether some source may energize it again, for the loads affected."""
        opened = list(opened)
        live = self.live_behind(opened)
        return {
            load: any(point in live for group in self.groups[load] for point in group)
            for load in self.outcomes(opened)
        }

    def live_behind(self, opened: Iterable[Opening]) -> set[str]:
        """Return the points that some source reaches: what opens a part only interrupts nothing."""
        devices = self.opened(opened).devices
        return self.live(tag for tag in devices if self.switches[tag].opens_all)

    def _after(self, opened: Opened) -> After:
        sure = {state: self.arriving(state, opened, had=had) for state, had in self.had.items()}
        # For a moment, what goes over by itself carries nothing.
        going = replace(opened, devices=opened.devices | self._going_over(sure["automatic"]))
        for state in ("normal", "battery"):
            sure[state] = self.arriving(state, going, had=self.had[state])
        maybe = self.maybe("automatic", opened, sure["automatic"])
        neutral = {state: self.neutral(state, opened, found) for state, found in sure.items()}
        return After(opened, sure, maybe, neutral)

    def _going_over(self, settled: Carried) -> set[str]:
        """Return the automatic switches whose normal side misses something, the other nothing."""
        had = self.had["automatic"]
        found = set()
        for tag, switch in self.switches.items():
            if switch.kind == "transfer switch" and switch.automatic:
                normal, other = (self.zones[line] for line, _ in switch.pairs)
                if had[normal] > settled[normal] and had[other] and settled[other] >= had[other]:
                    found.add(tag)
        return found

    def _outcomes(self, after: After) -> dict[str, str]:
        found = {}
        for load, groups in self.groups.items():
            each = [self._outcome(load, group, after) for group in groups]
            legs = self.legs.get(load, 0)
            gone = [outcome in (DARK, ABNORMAL) for outcome in each]
            if 0 < sum(gone[:legs]) < legs:
                each = [DARK if DARK in each[legs:] else ABNORMAL]
            hit = [outcome for outcome in each if outcome is not None]
            if hit:
                found[load] = min(hit, key=GRAVEST_FIRST.index)
        return found

    def _outcome(self, load: str, group: list[str], after: After) -> str | None:
        complete = {state: self._complete(group, state, after) for state in self.had}
        if any(self.had["normal"][self.zones[point]] for point in group):
            for state in ("normal", "automatic"):
                if complete[state]:
                    verdicts = [self._dead_neutral(load, p, state, after) for p in complete[state]]
                    if ABNORMAL in verdicts:
                        return ABNORMAL
                    if None not in verdicts:
                        return DARK
                    break
            if not complete["normal"]:
                if complete["automatic"]:
                    return LESS if complete["battery"] else BRIEF
                if complete["bridged"]:
                    return RIDES
                return ABNORMAL if any(after.maybe[self.zones[p]] for p in group) else DARK
        return LESS if self._less(load, group, after) else None

    def _complete(self, group: list[str], state: str, after: After) -> list[str]:
        """Return the points of a group that carried something and have all that they had."""
        found = []
        for point in group:
            zone = self.zones[point]
            had = self.had[state][zone]
            if had and after.sure[state][zone] >= had:
                found.append(point)
        return found

    def _whole(self, zone: str, state: str, after: After) -> bool:
        return bool(after.sure[state][zone] >= self.had[state][zone])

    # The neutral.

    def _dead_neutral(self, load: str, point: str, state: str, after: After) -> str | None:
        """Return what a lost neutral does to a load at one of its points."""
        if all(conductor != "N" for _, conductor in after.opened.poles):
            return None  # what opens a neutral with the rest leaves nothing that hangs on it
        zone = self.zones[point]
        origin, near = after.neutral[state]
        had_origin = self._neutral_before[state]
        if zone in origin or zone not in had_origin or not self._uses_neutral(load, zone):
            return None
        dead = reached({zone}, near)
        users = {
            self.zones[p]
            for other, groups in self.groups.items()
            for group in groups
            for p in group
            if self.zones[p] in dead and self._uses_neutral(other, self.zones[p])
        }
        users |= {self.zones[tag] for tag in self.unknown_loads if self.zones[tag] in dead}
        supplied = {user for user in users if self._whole(user, "automatic", after)}
        stand_on = {conductor for user in supplied for conductor in self.had[state][user]}
        return ABNORMAL if len(stand_on) > 1 else DARK

    @cached_property
    def _neutral_before(self) -> dict[str, set[str]]:
        return {state: self.neutral(state, NOTHING, had)[0] for state, had in self.had.items()}

    def _afloat(self, zone: str, after: After) -> bool:
        """Return whether a load in a zone has lost its neutral."""
        return any(
            self._dead_neutral(load, point, "normal", after) is not None
            for load, groups in self.groups.items()
            for group in groups
            for point in group
            if self.zones[point] == zone
            and self.had["normal"][zone]
            and self._whole(zone, "automatic", after)
        )

    def _uses_neutral(self, load: str, zone: str) -> bool:
        """Return whether a load uses the neutral of a zone: unless something says that it does not.

        Only a voltage that equals the line voltage says so, and only where there are two ungrounded
        conductors to stand between.
        """
        if len(self.carried[zone]) == 1:
            return True
        # What its own feed is recorded to bring.
        feed = self.feeds[load][0].split("/")[0] if self.feeds[load] else ""
        panels, equipment = self.records["panels"], self.records["equipment"]
        system = panels.get(feed, {}).get("system") or equipment.get(feed, {}).get("secondary")
        volts = self.loads[load].get("voltage")
        return volts is None or system is None or SYSTEMS[system][1] != volts

    # Redundancy: of what acts by itself, and of what somebody can switch over.

    @cached_property
    def _inputs(self) -> dict[str, dict[str, list[tuple[Way, set[str]]]]]:
        """Return state → zone → the ways in supplied without passing it, and what they bring."""
        return {state: self._inputs_in(state) for state in JUDGED}

    def _inputs_in(self, state: str) -> dict[str, list[tuple[Way, set[str]]]]:
        found = {}
        sources = list(self.starts(state).values())
        had = self.had[state]
        for zone in set(self.zones.values()):
            ways = [w for w in self.ways[state] if w.second == zone != w.first]
            # Both sides of a transfer switch from one place are one way in.
            ways = list({(way.tag, way.first): way for way in ways if had[way.first]}.values())
            if not had[zone] or len(ways) + sources.count(zone) < 2:
                continue
            without = self._without[state, zone]
            brought = [(way, self.passed(way, without, NOTHING, None)) for way in ways]
            inputs = [(way, what) for way, what in brought if what]
            # What has one input only has no redundancy to lose.
            if len(inputs) + sources.count(zone) > 1:
                found[zone] = inputs
        return found

    @cached_property
    def _without(self) -> dict[tuple[str, str], Carried]:
        """Return (state, zone) → what arrives in the state when nothing passes that zone."""
        return _Lazily(lambda key: self.arriving(key[0], without=key[1]))

    def _weakened(self, opened: Opened, gone: Collection[str]) -> set[tuple[str, str]]:
        """Return (state, place) for places that lost an input and are still supplied."""
        found = set()
        for state, places in self._inputs.items():
            still = self.arriving(state, opened, had=self.had[state], gone=gone)
            for zone, inputs in places.items():
                if not still[zone]:
                    continue
                had = self._without[state, zone]
                has = self.arriving(state, opened, had=had, without=zone, gone=gone)
                own = {tag for tag, at in self.starts(state).items() if at == zone}
                less = any(not self.passed(way, has, opened, had) >= what for way, what in inputs)
                if less or own.intersection(gone):
                    found.add((state, zone))
        return found

    def _less(self, load: str, group: list[str], after: After) -> bool:
        """Return whether a group leans on a place, itself included, that has lost an input."""
        return any(self._less_in(state, load, group, after) for state in JUDGED)

    def _less_in(self, state: str, load: str, group: list[str], after: After) -> bool:
        had = self.had[state]
        zones = {self.zones[point] for point in group if had[self.zones[point]]}
        standing = after.standing.get(state, after.sure[state])
        left = {zone for zone in zones if standing[zone] >= had[zone]}
        left -= {
            self.zones[p]
            for p in group
            if self.had["normal"][self.zones[p]]
            and self._dead_neutral(load, p, "normal", after) is not None
        }
        if len(zones) > 1 and any(standing[z] for z in zones) and zones > left:
            return True
        return bool(zones) and any(
            not any(self._without[judged, place][zone] for zone in zones)
            for judged, place in after.weakened
            if judged == state
        )

    # What depends on what is lost.

    def _impaired(self, after: After, outcomes: dict[str, str]) -> set[str]:
        lost = {load for load, outcome in outcomes.items() if outcome in (DARK, RIDES, ABNORMAL)}
        things = {tag: f"{tag}/bus" for tag in self.records["panels"]}
        things |= {tag: tag for tag in self.records["equipment"] if tag in self.zones}
        things |= {tag: tag for tag, s in self.switches.items() if s.kind == "circuit"}
        for tag, point in things.items():
            had = self.had["automatic"][self.zones[point]]
            if had and not after.sure["automatic"][self.zones[point]] >= had:
                lost.add(tag)
            if self._afloat(self.zones[point], after):
                lost.add(tag)
        leaning = {
            tag: several(record.get("depends_on"))
            for tag, record in [*self.loads.items(), *self.records["sources"].items()]
        }
        impaired: set[str] = set()
        while True:
            more = {tag for tag, on in leaning.items() if (lost | impaired).intersection(on)}
            if more == impaired:
                return impaired
            impaired = more


class _Lazily(dict[Any, Any]):
    """Values worked out when they are asked for."""

    def __init__(self, work_out: Any) -> None:
        super().__init__()
        self.work_out = work_out

    def __missing__(self, key: Any) -> Any:
        self[key] = self.work_out(key)
        return self[key]

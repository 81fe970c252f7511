"""The script and the commands give the same answer on every network, and wrong scripts are found.

Two programs that were written one from the other agree on what both get wrong: what the answer has
to be is tested in tests/network, against a third one that was made from the records alone.
"""

import json
from collections import Counter
from collections.abc import Mapping

import pytest
from playwright.sync_api import Browser, Page

from tests.planner.random_portfolios import asked_of, cases
from tests.planner.running import BATCH, Asked, differences, page_with, scripts


def test_the_script_answers_as_the_commands_do(answering: Page, some: list[Asked]) -> None:
    assert list(differences(answering, some)) == []


@pytest.mark.long
def test_the_script_answers_as_the_commands_do_on_many(answering: Page) -> None:
    many = cases(5000)
    for start in range(0, len(many), BATCH):
        asked = [asked_of(case, several=12) for case in many[start : start + BATCH]]
        assert list(differences(answering, asked)) == []


def test_the_networks_hold_what_makes_an_answer_hard(some: list[Asked]) -> None:
    count: Counter[str] = Counter()
    for each in some:
        network = each.portfolio.network
        count["portfolios"] += 1
        count["partial"] += any(not device.opens_all for device in network.devices.values())
        count["present"] += any(device.present for device in network.devices.values())
        borders = [{name.partition(":")[0] for name in z.labels} for z in network.zones.values()]
        count["across"] += any(len(border) > 1 for border in borders)
        for text in each.expected:
            answer = json.loads(text)
            count.update({line["outcome"] for line in answer["loads"]})
            count.update({f"{key}!" for key, value in answer.items() if value})
            count["detail"] += any(line["detail"] for line in answer["loads"])
            count["again"] += any(line["may_be_energized_again"] for line in answer["loads"])
    wanted = {
        "portfolios": 157,
        "partial": 15,
        "present": 50,
        "across": 25,
        "dark": 500,
        "rides through, then dark": 30,
        "may see abnormal voltage": 100,
        "brief interruption, then standby": 25,
        "loses standby or redundancy": 250,
        "detail": 25,
        "again": 100,
        "opens_too!": 100,
        "leaning!": 100,
        "circuits_with_unknown_loads!": 100,
        "loads_with_unknown_source!": 100,
        "still_live!": 500,
        "notify!": 500,
        "stop!": 250,
    }
    assert {name: count[name] for name in wanted if count[name] < wanted[name]} == {}


SUM = """(outage => {
  const whole = outage.answer;
  outage.answer = (network, tags, positions) => {
    const found = whole(network, tags, positions);
    const each = tags.flatMap(tag => whole(network, [tag], positions).loads);
    const known = new Set(each.map(line => line.tag));
    return {...found, loads: found.loads.filter(line => known.has(line.tag))};
  };
})(outage)"""

# Name → the script it is planted in, what stands there, and what is put in its place.
WRONG: Mapping[str, tuple[str, str, str]] = {
    "ignores automatic transfer": ("supply", 'this.addWays(automatic, "standby");', ""),
    "ignores generators": ("supply", "source.startsByItself", "false"),
    "ignores what is switched by hand": ("supply", 'this.addWays(possible, "possible");', ""),
    "feeds transformers backwards": ("supply", "this.leaveOutBackfeeding(possible);", ""),
    "takes a photovoltaic array for a supply": (
        "supply",
        "source.carriesLoad && (source.kind",
        '(source.carriesLoad || source.kind === "photovoltaic") && (true || source.kind',
    ),
    "forgets batteries": ("supply", "if (source.ups !== null) {", "if (false) {"),
    "takes normal for present positions": (
        "supply",
        "device.ways[this.positions]",
        "device.ways.normal",
    ),
    "leaves the legs of a load apart": (
        "supply",
        "legsMeeting.get(node) ?? []",
        "[]",
    ),
    "takes a device with too few poles for a whole one": (
        "data",
        "this.devices[i].opensAll = false;",
        "",
    ),
    "takes half a conversion for a whole one": (
        "conductors",
        "return isWhole ? legs : 0;",
        "return legs;",
    ),
    "puts no voltage through a load": (
        "conductors",
        "(bridged.get(zone) ?? []).forEach((other) => arrive(other, had.get(other) ?? 0));",
        "",
    ),
    "goes over to an incomplete side": (
        "conductors",
        "opening.whole.has(device) || (!isWhole && this.waits(name, device, zone))",
        "opening.whole.has(device)",
    ),
    "runs the generator in the normal state": (
        "supply",
        'positions === "present" && source.runsNow',
        "source.runsNow",
    ),
    "forgets handle ties": ("answer", "[device, ...device.opensWith]", "[device]"),
    "knows no redundancy by hand": ("supply", '["automatic", "possible"]', '["automatic"]'),
    "knows no redundancy at all": ("supply", '["automatic", "possible"]', "[]"),
    "counts a source that cannot start": (
        "answer",
        "of weakened(supply, opening, gone)",
        "of weakened(supply, opening, [])",
    ),
    "goes one step of a dependency": (
        "answer",
        "LOST.includes(grave.get(need.tag)) || found.has(need.tag) || lost.has(need.zone)",
        "LOST.includes(grave.get(need.tag)) || lost.has(need.zone)",
    ),
    "takes dark for dead": ("answer", "energized.has(zone)", "false"),
    "takes control power for a leg": (
        "answer",
        'return control.includes("dark") ? "dark" : "may see abnormal voltage";',
        'return "may see abnormal voltage";',
    ),
    "leaves out a STOP": ("answer", "stop: stops(network,", "stop: stops({ stopsOf: new Map() },"),
    "tells roles by their letters": ("answer", "role.toLowerCase()", "role"),
    "sees the utility only": (
        "live",
        "return this.cutOff.get(node);",
        'return this.cutOff.get(node).filter((source) => source.kind === "utility");',
    ),
    "forgets shared neutrals": ("live", "near.sharedNeutral", "false"),
    "takes the back for the front": (
        "live",
        "(this.distance.get(device) ?? farthest) < (this.distance.get(node) ?? 0)",
        "true",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_script_is_found(browser: Browser, some: list[Asked], name: str) -> None:
    script, old, new = WRONG[name]
    texts = scripts()
    assert old in texts[script], "what is planted here has moved"
    page = page_with(browser, (texts | {script: texts[script].replace(old, new)}).values())
    found = next(differences(page, some, size=4), None)
    page.close()
    assert found is not None


def test_a_sum_of_single_answers_is_found(browser: Browser, some: list[Asked]) -> None:
    page = page_with(browser, [*scripts().values(), SUM])
    found = next(differences(page, some, size=4), None)
    page.close()
    assert found is not None

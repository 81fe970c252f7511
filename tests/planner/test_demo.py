"""The demo's answers: every device and many pairs, also where a page has its own buildings only."""

import json
import random

import pytest
from click.testing import CliRunner
from playwright.sync_api import Error, Page

from recordgen import cli
from recordgen.network.downstream import OUTCOMES
from recordgen.network.model import building_of, local
from recordgen.network.ways import Positions
from recordgen.pages.planner_data import as_script, planner_data
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from tests.conftest import AS_OF, ROOT
from tests.planner.running import Asked, Question, answers, differences

TOGETHER = [("clinic",), ("garage", "workshop")]
POSITIONS: tuple[Positions, ...] = ("normal", "present")


def asked(demo: Portfolio, buildings: tuple[str, ...]) -> Asked:
    """Return every device of some buildings, and 200 pairs across them."""
    tags = [tag for tag in demo.network.devices if building_of(tag) in buildings]
    rng = random.Random(7)  # noqa: S311 - no secret
    choices = [*([tag] for tag in tags), *(rng.sample(tags, 2) for _ in range(200))]
    return Asked(demo, [(choice, each) for each in POSITIONS for choice in choices], buildings)


@pytest.mark.parametrize("buildings", [*TOGETHER, ("clinic", "garage", "workshop")])
def test_the_script_answers_as_the_commands_do(
    answering: Page, demo: Portfolio, buildings: tuple[str, ...]
) -> None:
    assert list(differences(answering, [asked(demo, buildings)])) == []


@pytest.mark.parametrize(
    ("building", "tags", "options"),
    [
        ("clinic", ["MSB/main"], []),
        ("clinic", ["LP-1/14", "MSB/7"], []),
        ("clinic", ["ATS-LS", "UPS-1"], ["--present"]),
        ("garage", ["GP-1/main", "workshop:LC-1/19"], []),
    ],
)
def test_it_says_what_the_command_prints(
    answering: Page, demo: Portfolio, building: str, tags: list[str], options: list[str]
) -> None:
    where = ["--records", str(ROOT / "buildings"), "--as-of", str(AS_OF), "--format", "json"]
    result = CliRunner().invoke(cli.main, ["downstream", building, *tags, *options, *where])
    full = [tag if ":" in tag else f"{building}:{tag}" for tag in tags]
    known = [tag for tag in full if tag in demo.network.devices]
    assert known == full
    question: Question = (full, "present" if options else "normal")
    (given,) = answers(answering, [Asked(demo, [question])])
    printed = json.loads(result.stdout)
    # What the command says besides, the planner works out for itself or has in its lists.
    assert printed.pop("from_present_positions") is None or not options
    printed.pop("partner_of_tied_handle_unknown")
    printed.pop("proven")  # the feeds between are graded in the sheets and the terminal
    for problem in printed["stop"]:
        # The command says where the folder is, the pages how the site calls it.
        problem["path"] = problem["path"].removeprefix(f"{ROOT}/")
        problem["related"] = [place.removeprefix(f"{ROOT}/") for place in problem["related"]]
    assert json.loads(given[0]) == printed


def test_buildings_that_hang_together_name_each_other(demo: Portfolio) -> None:
    """The garage is fed from the workshop; the clinic has a service of its own."""
    data = planner_data(View(demo))
    assert {name: tuple(one["together"]) for name, one in data.items()} == {
        name: group for group in TOGETHER for name in group
    }
    assert data["garage"]["key"] == data["workshop"]["key"] != data["clinic"]["key"]


def test_a_device_that_is_not_there_gives_no_answer(answering: Page, demo: Portfolio) -> None:
    asked = Asked(demo, [(["clinic:NOPE/1", "clinic:MSB/main"], "normal")])
    with pytest.raises(Error, match="there is no such device"):
        answers(answering, [asked])


def test_a_missing_building_gives_no_answer(answering: Page, demo: Portfolio) -> None:
    tags = ["garage:GP-1/main"]
    with pytest.raises(Error, match="the data of workshop, which hangs on garage, is missing"):
        answers(answering, [Asked(demo, [(tags, "normal")], ("garage",))])


def test_data_of_two_builds_gives_no_answer(answering: Page, demo: Portfolio) -> None:
    data = planner_data(View(demo))
    older = data["workshop"] | {"key": "of yesterday"}
    with pytest.raises(Error, match="are not of the same build"):
        answering.evaluate(
            "texts => { globalThis.outageData = []; texts.forEach(text => (0, eval)(text));"
            " outage.joined(outageData); }",
            [as_script(data["garage"]), as_script(older)],
        )


def test_the_data_holds_no_text_twice(demo: Portfolio) -> None:
    for data in planner_data(View(demo)).values():
        assert len(data["words"]) == len(set(data["words"]))
        assert len(as_script(data)) < 150 * (
            len(data["devices"]["tag"]) + len(data["loads"]["tag"])
        )


def test_outcomes_are_in_the_same_order(answering: Page) -> None:
    assert answering.evaluate("outage.OUTCOMES") == list(OUTCOMES)


def test_every_device_can_be_asked_about(demo: Portfolio) -> None:
    data = planner_data(View(demo))
    given = {f"{name}:{tag}" for name, one in data.items() for tag in one["devices"]["tag"]}
    assert given == set(demo.network.devices)
    assert all(local(tag) for tag in given)

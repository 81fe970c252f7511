"""The commands: what they print, in which shape, and with which exit code.

The shapes are those of the project's own design: the keys of the JSON answers, 80 columns of text,
and exit codes 0 (fine), 1 (the records have errors) and 2 (wrong usage). What the answers say is
tested in `test_clinic_answers.py`.
"""

import datetime as dt
import functools
import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from recordgen import cli
from recordgen.terminal import options

BUILDINGS = Path(__file__).parents[1] / "buildings"
AS_OF = "2026-11-25"


@pytest.fixture(scope="module", autouse=True)
def _read_once() -> Iterator[None]:
    """Read each folder once; every question still goes through the command."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(options, "load_portfolio", functools.cache(options.load_portfolio))
        # On a slow machine the first reading would say that it goes on.
        options.load_portfolio(BUILDINGS, dt.date.fromisoformat(AS_OF))
        yield


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli.main, list(arguments))


def about(command: str, *arguments: str, records: Path = BUILDINGS) -> Result:
    return run(command, *arguments, "--records", str(records), "--as-of", AS_OF)


def as_json(command: str, *arguments: str) -> Any:
    result = about(command, *arguments, "--format", "json")
    assert result.exit_code == 0
    assert result.stderr == ""
    return json.loads(result.stdout)


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """Return records with two errors."""
    folder = tmp_path / "buildings" / "shed"
    folder.mkdir(parents=True)
    text = (
        "building: {name: Shed}\npanels:\n  P1: {fed_from: NOWHERE, bus_ratin: 100 A}\n  P1: {}\n"
    )
    (folder / "all.yaml").write_text(text, encoding="utf-8")
    return folder.parent


# --- JSON -----------------------------------------------------------------------------------


@pytest.mark.parametrize("opened", [["MSB/5"], ["CP-1/1", "CP-1/2"], ["DS-PV"]])
def test_the_json_of_downstream(opened: list[str]) -> None:
    answer = as_json("downstream", "clinic", *opened)
    assert {"opened", "loads", "still_live", "notify"} <= set(answer)
    assert len(answer["opened"]) == len(opened)
    for load in answer["loads"]:
        assert {"tag", "circuit", "room", "outcome", "evidence"} <= set(load)
        assert load["tag"].startswith("clinic:")
        assert load["evidence"] in ("unverified", "traced", "confirmed")
    assert all({"enclosure", "what", "sources"} <= set(line) for line in answer["still_live"])
    assert all({"role", "phone", "when"} <= set(line) for line in answer["notify"])


@pytest.mark.parametrize(
    ("building", "tag"),
    [("clinic", "LP-1"), ("clinic", "UP-1"), ("workshop", "LAMP-W"), ("garage", "GP-1/5")],
)
def test_the_json_of_isolate(building: str, tag: str) -> None:
    answer = as_json("isolate", building, tag)
    keys = {"target", "isolable", "points", "fewest", "sources", "loads_dark", "reasons"}
    assert keys <= set(answer)
    assert answer["isolable"] in ("yes", "no", "unproven")
    for key in ("points", "fewest", "sources", "loads_dark"):
        assert all(isinstance(entry, str) and ":" in entry for entry in answer[key])
    assert len(answer["fewest"]) <= len(answer["points"])


def test_the_json_of_a_notice() -> None:
    """GP-1/5, from the record: two lights that people find out by, and the lights of three rooms;
    nobody is named for the two."""
    answer = as_json("downstream", "garage", "GP-1/5", "--notice")
    assert answer["heading"] == "Power off"
    [opened] = answer["opened"]
    assert opened["tag"] == "GP-1/5"
    assert answer["from"] is answer["until"] is answer["contact"] is None
    assert [load["tag"] for load in answer["loads"] if load["group"]] == [
        "garage:EL-G1",
        "garage:EX-G1",
    ]
    assert {room["room"]: room["loads"] for room in answer["rooms"]} == {
        "G1": ["garage:EL-G1", "garage:EX-G1", "garage:L-G1"],
        "G2": ["garage:L-G2"],
        "G3": ["garage:L-G3"],
    }
    assert answer["must_agree"] == []
    assert answer["nobody_named_for"] == ["garage:EL-G1", "garage:EX-G1"]
    assert [person["role"] for person in answer["told"]] == [
        "workshop steward on duty",
        "van keeper",
    ]


def test_the_text_of_a_notice() -> None:
    """Two devices: what they feed together, each told where it is."""
    lines = about("downstream", "garage", "GP-1/6", "GP-1/8", "--notice").stdout.splitlines()
    assert lines[0] == "POWER OFF: GP-1/6 + GP-1/8"
    text = " ".join(" ".join(lines).split())
    for words in (
        "Switched off: GP-1/6, Door operator bay 1; room G3 (Work corner), facing the side door",
        "Goes off (2): no power until the end of the outage",
        "GROUND room G1 Bay 1 → goes off: door operator: roller door bay 1 (DO-G1) room G2",
        "room G2 Bay 2 → goes off: door operator: roller door bay 2 (DO-G2)",
        "WHO IS TOLD workshop steward on duty, bench phone 11 (always)",
        "From date ____",
    ):
        assert words in text
    assert "MOST IMPORTANT" not in text
    assert "MUST AGREE" not in text


def test_a_notice_says_stop_first_and_what_is_not_known() -> None:
    text = about("downstream", "workshop", "LC-1/9-11", "--notice").stdout
    assert text.startswith("STOP: FB-1/6")
    folded = " ".join(text.split())
    assert "Circuit FB-1/6 (?): what it feeds is not recorded" in folded
    assert "(LAMP-W, room W13): what feeds it is not recorded." in folded


def test_what_the_present_positions_add_is_said_first() -> None:
    """EQ-1 hangs on LP-1/38 today, so it goes dark with LP-1/main; LP-1/14 has a tied handle."""
    question = ("downstream", "clinic", "LP-1/main")
    text = " ".join(about(*question).stdout.split())
    assert text.startswith("STOP: Switches stand otherwise today (")
    assert "LP-1/38-40-42 closed" in text[: text.index("93 loads are affected")]
    assert "REF-116V" in text[: text.index("93 loads are affected")]
    assert "Ask again with --present." in text
    assert "otherwise today" not in about(*question, "--present").stdout
    found = as_json(*question)["from_present_positions"]
    both = [{x["tag"] for x in as_json(*question, *now)["loads"]} for now in ([], ["--present"])]
    assert set(found["more_loads"]) == both[1] - both[0] != set()
    assert "stand otherwise today" in " ".join(about(*question, "--notice").stdout.split())
    for form in ([], ["--notice"]):
        warned = " ".join(about("downstream", "clinic", "LP-1/14", *form).stdout.split())
        assert "the handle of LP-1/14 is tied to another, and to which is not recorded" in warned


def test_a_source_is_no_device() -> None:
    result = about("downstream", "clinic", "util-1")
    assert result.exit_code == 2
    assert '"util-1" is a source, not a device' in result.stderr


def test_the_way_as_it_stands_today_comes_first() -> None:
    """EQ-1 is fed from LP-1/38 today; its own way is open at EQH/13-15-17 and at its main."""
    today, *others = as_json("feed", "clinic", "EQ-1")["paths"]
    assert today["as_it_stands_today"]
    assert today["devices"][-1]["tag"] == "clinic:LP-1/38-40-42"
    stands = {d["tag"]: d["stands_now"] for path in others for d in path["devices"]}
    assert {tag for tag, now in stands.items() if now} == {
        "clinic:EQH/13-15-17",
        "clinic:EQ-1/main",
    }
    locked = {d["tag"] for path in others for d in path["devices"] if d["locked_now"]}
    assert locked == {"clinic:EQH/13-15-17", "clinic:EQ-1/main"}
    text = " ".join(about("feed", "clinic", "EQ-1").stdout.split())
    assert text.startswith("EQ-1 by EQ-1 (as it stands today)")
    assert "[stands open now] [locked now: red 08" in text
    assert "as it stands today" not in about("feed", "clinic", "LP-2A").stdout


def test_a_notice_from_the_present_positions_says_so() -> None:
    question = ("downstream", "workshop", "BW-2/5", "--notice")
    assert "from the normal switch positions" in about(*question).stdout
    assert "from the present switch positions" in about(*question, "--present").stdout


def test_the_json_of_feed_and_of_several_targets() -> None:
    answers = as_json("feed", "clinic", "RACK-1", "UP-1/3")
    assert [answer["target"] for answer in answers] == ["clinic:RACK-1", "clinic:UP-1/3"]
    for path in answers[0]["paths"]:
        assert {"feed", "standby", "source", "devices"} <= set(path)
    # Several targets of `isolate` are one job: RACK-1's two cords, and UP-1/3.
    found = as_json("isolate", "clinic", "RACK-1", "UP-1/3")
    assert found["target"] == ["clinic:RACK-1", "clinic:UP-1/3"]
    assert set(found["points"]) == {"clinic:UP-1/1", "clinic:CP-1/32", "clinic:UP-1/3"}


def test_the_json_of_check() -> None:
    result = run("check", str(BUILDINGS), "--as-of", AS_OF, "--format", "json")
    problems = json.loads(result.stdout)["problems"]
    assert problems
    for problem in problems:
        assert {"severity", "code", "message"} <= set(problem)


def test_unknown_is_null_in_json_and_never_empty_text() -> None:
    answer = as_json("downstream", "workshop", "LC-1/main")

    def texts(value: Any) -> Iterator[Any]:
        if isinstance(value, dict):
            for inner in value.values():
                yield from texts(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from texts(inner)
        else:
            yield value

    assert "" not in list(texts(answer))


# --- Text -----------------------------------------------------------------------------------

QUESTIONS = [
    ("downstream", "clinic", "MSB/5"),
    ("downstream", "clinic", "MSB/main", "DS-GEN", "MSB/5", "MSB/6", "EHP/1", "EHP/2", "EQH/8"),
    ("downstream", "clinic", "MSB/main", "--present"),
    ("downstream", "workshop", "LC-1/main"),
    ("downstream", "workshop", "LC-1/main", "--notice"),
    ("downstream", "clinic", "MSB/main", "DS-GEN", "--notice"),
    ("isolate", "clinic", "MSB"),
    ("isolate", "clinic", "CP-1"),
    ("isolate", "clinic", "AHU-2"),
    ("isolate", "workshop", "FS-W7"),
    ("isolate", "workshop", "LAMP-W"),
    ("isolate", "garage", "GP-1"),
    ("feed", "clinic", "RACK-1"),
    ("feed", "garage", "EV-1"),
]


@pytest.mark.parametrize("question", QUESTIONS, ids=" ".join)
def test_text_fits_in_80_columns(question: tuple[str, ...]) -> None:
    result = about(*question)
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert [line for line in lines if len(line) > 80] == []
    # Cautions come with every answer.
    assert "Test before touch" in result.stdout
    assert "None" not in result.stdout


def test_text_says_what_json_says() -> None:
    text = about("isolate", "clinic", "EHP").stdout
    for tag in ("MSB/5", "EDP/1", "CP-1/main"):
        assert f". {tag}," in text
    assert "Every recorded source is cut off" in text
    text = about("isolate", "clinic", "CP-1").stdout
    assert "CANNOT be made dead" in text
    assert "Every recorded source is cut off" not in text


def test_what_stands_in_another_building_is_named_with_it() -> None:
    text = about("isolate", "garage", "GP-1").stdout
    assert "1. workshop:SP-1/2-4," in text
    assert "2. DS-BESS," in text


def test_a_stop_comes_first() -> None:
    assert about("isolate", "workshop", "FS-W7").stdout.startswith("STOP: ")
    assert about("downstream", "workshop", "LC-1/19").stdout.startswith("STOP: ")


# --- Exit codes -----------------------------------------------------------------------------


def test_check_says_what_it_found_and_exits_1_on_a_stop() -> None:
    result = run("check", str(BUILDINGS), "--as-of", AS_OF)
    assert result.exit_code == 1
    *lines, tally = result.stdout.splitlines()
    assert "STOP" in tally
    assert any(": stop[contradiction]: " in line for line in lines)
    # path:line:column: severity[code]: message
    places = [line.split(": ", 1)[0] for line in lines]
    assert all(len(place.rsplit(":", 2)) == 3 for place in places)


def test_check_exits_0_on_sound_records(tmp_path: Path) -> None:
    folder = tmp_path / "buildings" / "shed"
    folder.mkdir(parents=True)
    (folder / "all.yaml").write_text("building: {name: Shed}\n", encoding="utf-8")
    result = run("check", str(folder.parent))
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize(
    "question",
    [("downstream", "shed", "P1/1"), ("isolate", "shed", "P1"), ("feed", "shed", "P1")],
    ids=" ".join,
)
def test_records_that_cannot_be_read(broken: Path, question: tuple[str, ...]) -> None:
    result = about(*question, records=broken)
    assert result.exit_code == 1
    assert isinstance(result.exception, SystemExit)
    assert result.stdout == ""
    assert "all.yaml:4:3: error[" in result.stderr
    assert "all.yaml:3:" in result.stderr
    assert "Traceback" not in result.output


def test_check_lists_the_same_errors(broken: Path) -> None:
    result = run("check", str(broken), "--as-of", AS_OF)
    asked = about("isolate", "shed", "P1", records=broken)
    assert result.exit_code == 1
    listed = [line.split("shed/")[-1] for line in result.stdout.splitlines()]
    assert listed == [line.split("shed/")[-1] for line in asked.stderr.splitlines()]


@pytest.mark.parametrize(
    ("question", "meant"),
    [
        (("downstream", "clinic", "LP-1/main1"), "LP-1/main"),
        (("downstream", "clinic", "MSB/55"), "MSB/"),
        (("downstream", "clinic", "ATS-LX"), "ATS-LS"),
        (("isolate", "clinic", "RACK1"), "RACK-1"),
        (("isolate", "clinc", "RACK-1"), "clinic"),
        (("feed", "workshop", "KILN1"), "KILN-1"),
    ],
)
def test_a_name_that_nothing_bears(question: tuple[str, ...], meant: str) -> None:
    result = about(*question)
    assert result.exit_code == 2
    assert result.stdout == ""
    [line] = result.stderr.splitlines()
    assert "did you mean" in line
    assert meant in line


@pytest.mark.parametrize(
    "wrong",
    [
        ("downstream", "clinic"),
        ("isolate", "clinic", "MSB", "--format", "xml"),
        ("isolate", "clinic", "MSB", "--as-of", "yesterday"),
        ("isolate", "clinic", "MSB", "--records", "no-such-folder"),
        ("explode",),
    ],
    ids=" ".join,
)
def test_wrong_usage(wrong: tuple[str, ...]) -> None:
    result = run(*wrong)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_slow_reading_says_so_beside_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    read = options.load_portfolio

    def slowly(folder: Path, as_of: dt.date) -> Any:
        time.sleep(1.3)
        return read(folder, as_of)

    monkeypatch.setattr(options, "load_portfolio", slowly)
    result = about("isolate", "clinic", "RACK-1", "--format", "json")
    assert result.stderr.startswith("reading ")
    assert json.loads(result.stdout)["isolable"] == "yes"


def test_case_and_any_pole_will_do() -> None:
    assert as_json("isolate", "Clinic", "ehp/4")["target"] == "clinic:EHP/2-4-6"


def test_a_wrong_date_in_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "noon")
    result = run("isolate", "clinic", "MSB", "--records", str(BUILDINGS))
    assert result.exit_code == 2
    assert "SOURCE_DATE_EPOCH" in result.stderr


@pytest.mark.parametrize(
    "command", ["check", "downstream", "isolate", "feed", "fit", "schema", "build", "serve"]
)
def test_help_fits(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80

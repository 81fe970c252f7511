"""Lines from a notepad become readings; what cannot be right is said at once."""

import pytest

from recordgen.as_of import as_of_date
from recordgen.portfolio import load_portfolio
from recordgen.records.field import Trace
from recordgen.terminal.record_names import Names
from recordgen.terminal.record_places import places_of
from recordgen.terminal.record_questions import Wrong
from recordgen.terminal.record_reading_question import ReadingsQuestion
from recordgen.terminal.record_readings import Line, Places, reading_of
from tests.terminal.shed import AS_OF, Typing, shed


@pytest.fixture(scope="module")
def names(tmp_path_factory: pytest.TempPathFactory) -> Names:
    records = shed(tmp_path_factory.mktemp("records"))
    return Names(load_portfolio(records, as_of_date(AS_OF)), "shed")


def places(names: Names, purpose: str, run: str | None = None) -> Places:
    head = {"date": AS_OF, "by": "A.B.", "purpose": purpose, "run": run}
    return places_of(names, Trace.model_validate(head))


def plain(line: Line) -> dict[str, object]:
    values = line["values"]
    shown = [str(one) for one in values] if isinstance(values, list) else str(values)
    return {**line, "values": shown}


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("P1/1 86 79 74 s4", {"at": "P1/1", "values": ["86", "79", "74"], "sensitivity": 4}),
        ("p1 64 S5", {"at": "P1", "values": "64", "sensitivity": 5}),
        ("P1/2 48 s4 lid off", {"at": "P1/2", "values": "48", "sensitivity": 4, "note": "lid off"}),
        ("P1/1 86 s4 # s5 too", {"at": "P1/1", "values": "86", "sensitivity": 4, "note": "s5 too"}),
    ],
)
def test_breakers(names: Names, line: str, expected: dict[str, object]) -> None:
    assert plain(reading_of(line, places(names, "identify the breaker"), [], None)) == expected


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("30 ft 78 s4", {"at": "30 ft", "values": "78", "sensitivity": 4}),
        ("30ft 78 s4", {"at": "30ft", "values": "78", "sensitivity": 4}),
        ("2 71 s4", {"at": "box above door 117", "values": "71", "sensitivity": 4}),
        (
            "Box above door 117 71 s4",
            {"at": "box above door 117", "values": "71", "sensitivity": 4},
        ),
        # Two elbows: their words would not tell which.
        ("4 60 s4", {"at": "80 ft", "values": "60", "sensitivity": 4}),
    ],
)
def test_along_a_run(names: Names, line: str, expected: dict[str, object]) -> None:
    found = reading_of(line, places(names, "locate an open", "RUN-1"), [], None)
    assert plain(found) == expected


@pytest.mark.parametrize(
    ("purpose", "line", "said", "kept"),
    [
        ("identify the breaker", "P1/1 120 s4", "off the scale of 0 to 99", True),
        ("identify the breaker", "P1/1 86.5 s4", "not a whole number", True),
        ("identify the breaker", "P1/1 86", "no sensitivity", True),
        ("identify the breaker", "P1/1 86 79 s4", "one or three orientations", True),
        ("identify the breaker", "P1/7 86 s4", 'P1 has no breaker "7"; recorded there: 1, 3', True),
        ("identify the breaker", "PP1/1 86 s4", 'there is no panel "PP1"; did you mean "P1"', True),
        ("identify the breaker", "P1/1", "holds no place and value", False),
        ("identify the breaker", "P1/1 8b", '"8b" is not a whole number', False),
        ("identify the breaker", "/1 86 s4", "no panel stands above", False),
        ("locate an open", "box above dor 117 70 s4", 'did you mean "box above door 117"', True),
        ("locate an open", "9 70 s4", "there is no landmark 9", False),
        ("locate an open", "95 ft 70 s4", "beyond the run, which ends at 80 ft", True),
        ("sort a bundle", "C-11 70 s2", 'there is no cable "C-11"; did you mean "C-1"', True),
        ("list what is downstream", "R-11 70 s2", 'did you mean "R-1"', True),
    ],
)
def test_what_cannot_be_right(names: Names, purpose: str, line: str, said: str, kept: bool) -> None:
    run = "RUN-1" if purpose == "locate an open" else None
    with pytest.raises(Wrong) as caught:
        reading_of(line, places(names, purpose, run), [], None)
    assert said in str(caught.value)
    assert caught.value.can_be_kept is kept


def test_feet_and_metres_are_not_mixed_by_mistake(names: Names) -> None:
    along = places(names, "locate an open", "RUN-1")
    first = reading_of("10 ft 78 s4", along, [], None)
    with pytest.raises(Wrong, match=r"9 m, where the readings above are in ft"):
        reading_of("9 m 78 s4", along, [first], None)


def test_the_block_of_readings(names: Names) -> None:
    console = Typing(
        *("s4", "P1 64", "P1/1 86 79 74", "/3 48 30 19 s3", "?"),
        *("P1/9 5", "P1/9 5", "-", "", "/3 1", "", ""),
    )
    said: list[int] = []

    def says(answers: dict[str, object]) -> list[str]:
        said.append(len(answers["readings"]))  # type: ignore[arg-type]
        return ["The program reads: it"]

    question = ReadingsQuestion(places(names, "identify the breaker"), {}, says)
    found = question.ask(console)
    assert [(line["at"], line["sensitivity"]) for line in found] == [
        ("P1", 4),
        ("P1/1", 4),
        ("P1/3", 3),
        ("P1/3", 4),
    ]
    assert said == [3, 4]
    shown = console.said.getvalue()
    assert '! P1 has no breaker "9"' in shown
    assert "the same again keeps it" in shown
    assert "taken back: P1/9 5" in shown

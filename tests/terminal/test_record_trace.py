"""`recordgen record trace`: what is asked, what is refused, what stands in the file afterwards."""

from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from recordgen import cli
from recordgen.records.loader import load_records
from recordgen.terminal import record_file
from tests.records.test_yaml_writer import HOSTILE
from tests.terminal.shed import files, shed, typed_in

READINGS = ("P1 60 s4", "P1/1 86 79 74 s4", "/3 40 22 11 s4")
BREAKER = ("", "", "A.B.", "trc-1", "identify", "1", "R-1", *READINGS, "", "")
"""Up to the readings, and no more of them; next is `found`."""


def breaker(*, conclusion: str = "", notes: str = "", write: str = "yes") -> tuple[str, ...]:
    return (*BREAKER, "", conclusion, "P1/1", "no", "", notes, write)


def test_a_trace_is_asked_for_read_and_written(tmp_path: Path) -> None:
    records = shed(tmp_path)
    before = files(records)
    result = typed_in(records, "trace Shed", breaker(conclusion="bench: all of it"))
    assert result.exit_code == 0, result.output
    assert "The program reads: identified, P1/1." in result.stdout
    assert "This bears what is concluded" in result.stdout
    written = records / "shed" / "field" / "traces.yaml"
    assert f"Written: TR-01, {written}:1" in result.stdout
    # The shape of YAML as people write it; the values are those typed above.
    assert written.read_text(encoding="utf-8") == (
        "traces:\n"
        "  TR-01:\n"
        "    date: 2026-11-25\n"
        "    by: A.B.\n"
        "    instrument: TRC-1\n"
        "    purpose: identify the breaker\n"
        "    connection: energized circuit\n"
        "    load: R-1\n"
        "    readings:\n"
        "      - {at: P1, values: 60, sensitivity: 4}\n"
        "      - {at: P1/1, values: [86, 79, 74], sensitivity: 4}\n"
        "      - {at: P1/3, values: [40, 22, 11], sensitivity: 4}\n"
        '    conclusion: "bench: all of it"\n'
        "    concluded_circuit: P1/1\n"
        "    confirmed_by_opening: no\n"
    )
    after = files(records)
    del after["shed/field/traces.yaml"]
    assert after == before


def test_the_next_one_goes_below_and_leaves_the_rest(tmp_path: Path) -> None:
    records = shed(tmp_path)
    assert typed_in(records, "trace shed", breaker()).exit_code == 0
    path = records / "shed" / "field" / "traces.yaml"
    old = path.read_text(encoding="utf-8").replace("A.B.", "A.B.   # sic") + "# the end\n"
    path.write_text(old, encoding="utf-8")
    path.chmod(0o640)
    assert typed_in(records, "trace shed", breaker()).exit_code == 0
    new = path.read_text(encoding="utf-8")
    assert new.startswith(old.removesuffix("# the end\n") + "  TR-02:\n")
    assert new.endswith("# the end\n")
    assert path.stat().st_mode & 0o777 == 0o640


def test_it_goes_where_traces_are_already(tmp_path: Path) -> None:
    records = shed(tmp_path)
    other = records / "shed" / "found.yaml"
    other.write_text(
        "traces:\n  T9: {date: 2026-01-02, by: A.B., purpose: follow a run}\n# end\n",
        encoding="utf-8",
    )
    result = typed_in(records, "trace shed", breaker())
    assert "trace [T10]" in result.stdout
    assert "Written: T10" in result.stdout
    assert not (records / "shed" / "field" / "traces.yaml").exists()
    assert "  T10:\n" in other.read_text(encoding="utf-8")


def test_a_contradiction_is_seen_before_it_is_written(tmp_path: Path) -> None:
    records = shed(tmp_path)
    lines = [line.replace("R-1", "R-2") for line in breaker(write="no")]
    before = files(records)
    result = typed_in(records, "trace shed", lines)
    assert result.exit_code == 0
    assert "The program reads: contradicts the record, P1/1" in result.stdout
    assert "STOP:" in result.stdout
    assert "Nothing was written." in result.stdout
    assert files(records) == before


def test_dry_run_prints_the_yaml_alone(tmp_path: Path) -> None:
    records = shed(tmp_path)
    before = files(records)
    result = typed_in(records, "trace shed", breaker()[:-1], "--dry-run")
    assert result.exit_code == 0
    assert list(yaml.safe_load(result.stdout)) == ["TR-01"]
    assert "The program reads" in result.stderr
    assert files(records) == before


@pytest.mark.parametrize("count", range(len(breaker())))
def test_an_end_of_input_anywhere_leaves_everything(tmp_path: Path, count: int) -> None:
    records = shed(tmp_path)
    before = files(records)
    result = typed_in(records, "trace shed", breaker()[:count])
    assert result.exit_code == 2
    assert result.stderr.endswith("Stopped. Nothing was written.\n")
    assert isinstance(result.exception, SystemExit)
    assert files(records) == before


@pytest.mark.parametrize(
    ("line", "answer", "said"),
    [
        (2, "2026-13-01", '"2026-13-01" is not a date; write year-month-day'),
        (2, "2026-12-01", "2026-12-01 is after today, 2026-11-25"),
        (3, "", "`by` has to be recorded"),
        (4, "TRC-2", 'there is no instrument "TRC-2" in shed; did you mean "TRC-1"?'),
        (4, "IT-0", "IT-0: its calibration held until 2025-01-05"),
        (5, "locate", "it may be locate an open or locate a ground fault or locate a short"),
        (6, "clamp it", "is not a word for `connection`"),
        (7, "R-11", 'there is no load "R-11" in shed; did you mean "R-1"?'),
        (15, "P1/7", 'P1 has no circuit "7"; recorded there: 1, 3, 2-4'),
        (15, "P9/1", '"P9/1" is not recorded'),
        (15, "a b", '"a b" does not name a panel, circuit'),
        (16, "maybe", '"maybe" is neither yes nor no'),
    ],
)
def test_the_first_wrong_answer_of_a_pipe_ends_it(
    tmp_path: Path, line: int, answer: str, said: str
) -> None:
    records = shed(tmp_path)
    before = files(records)
    lines = [*breaker()]
    lines[line - 1] = answer
    result = typed_in(records, "trace shed", lines)
    assert result.exit_code == 2
    assert f"error: line {line} of the answers: " in result.stderr
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert files(records) == before


@pytest.mark.parametrize("command", ["", "trace", "fault"])
def test_help_fits(command: str) -> None:
    result = CliRunner().invoke(cli.main, ["record", *command.split(), "--help"])
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_what_does_not_exist_is_wrong_usage(tmp_path: Path) -> None:
    records = shed(tmp_path)
    for command in ("trace shet", "fault shed F-99", "fault shed F-09x", "trace"):
        assert typed_in(records, command, ()).exit_code == 2


def test_records_with_errors_are_not_added_to(tmp_path: Path) -> None:
    records = shed(tmp_path)
    (records / "shed" / "bad.yaml").write_text("panels: {P1: {}}\n", encoding="utf-8")
    result = typed_in(records, "trace shed", breaker())
    assert result.exit_code == 1
    assert "error[duplicate-tag]" in result.stderr


def test_a_file_changed_in_the_meantime_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    records = shed(tmp_path)
    path = records / "shed" / "field" / "traces.yaml"
    theirs = "traces:\n  TR-01: {date: 2026-01-02, by: C.D., purpose: follow a run}\n"
    tried = record_file.tried

    def changed_after(*given: object) -> object:
        found = tried(*given)  # type: ignore[arg-type]
        path.write_text(theirs, encoding="utf-8")
        return found

    monkeypatch.setattr("recordgen.terminal.record_writing.tried", changed_after)
    result = typed_in(records, "trace shed", breaker())
    assert result.exit_code == 1
    assert "changed by somebody else in the meantime" in result.stderr
    # What was typed is not lost.
    assert "  TR-01:\n    date: 2026-11-25\n" in result.stderr
    assert path.read_text(encoding="utf-8") == theirs
    assert {one.name for one in path.parent.iterdir()} == {"faults.yaml", "traces.yaml"}


def test_what_would_make_an_error_is_not_written(tmp_path: Path) -> None:
    records = shed(tmp_path)
    unsafe = records / "shed" / "field" / "traces.yaml"
    unsafe.write_text("traces: ~\n", encoding="utf-8")
    result = typed_in(records, "trace shed", breaker())
    assert result.exit_code == 1
    assert "where it belongs cannot be told" in result.stderr
    assert "These lines go into" in result.stderr
    assert unsafe.read_text(encoding="utf-8") == "traces: ~\n"


def test_a_file_that_cannot_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    records = shed(tmp_path)

    def refuse(*_: object, **__: object) -> object:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("recordgen.terminal.record_file.tempfile.mkstemp", refuse)
    result = typed_in(records, "trace shed", breaker())
    assert result.exit_code == 1
    assert "cannot be written: permission denied" in result.stderr


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    records = shed(tmp_path)
    real = tmp_path / "real.yaml"
    real.write_text("traces: {}\n", encoding="utf-8")
    link = records / "shed" / "field" / "traces.yaml"
    link.symlink_to(real)
    assert typed_in(records, "trace shed", breaker()).exit_code == 0
    assert link.is_symlink()
    assert "TR-01" in real.read_text(encoding="utf-8")


def test_a_run_with_an_echo_and_a_bridge(tmp_path: Path) -> None:
    records = shed(tmp_path)
    lines = [
        *("", "", "A.B.", "", "locate a short", "2", "P1/3", "RUN-1", "1"),
        *("1 80 s4", "10 ft 79 s4", "2 78 s4", "30 ft 77 s4", "40 ft 22 s4", "60 ft 12 s4", "", ""),
        *("412 +- 5 ns", "1", "end", "1.05 +- 0.03", "0.66 +- 0.02"),
        *("3 +- 0.03 ohm", "1 +- 0.01 ohm", "P1", "end", "1.05 +- 0.03", "390 +- 4 ft", ""),
        *("behind the door", "photo 1; photo 2", "", "yes"),
    ]
    result = typed_in(records, "trace shed", lines)
    assert result.exit_code == 0, result.output
    trace = load_records(records).buildings["shed"].records.traces["TR-01"]
    assert trace.transmitter_at == "P1"
    assert [reading.at for reading in trace.readings][:3] == ["P1", "10 ft", "box above door 117"]
    assert trace.echo is not None
    assert trace.echo.from_ == "P1"
    assert str(trace.echo.time_ns) == "412 +- 5 ns"
    assert trace.bridge is not None
    assert trace.bridge.faulty_length_m is None
    assert trace.photos == ("photo 1", "photo 2")
    assert "The program reads: located" in result.stdout


def test_hostile_text_is_written_as_typed(tmp_path: Path) -> None:
    records = shed(tmp_path)
    texts = [text.strip() for text in HOSTILE if text.isprintable() and text.strip()]
    lines = [*BREAKER, "", "a: b # c", "P1/1", "no", "; ".join(texts), "@ 010", "yes"]
    result = typed_in(records, "trace shed", lines)
    assert result.exit_code == 0, result.output
    trace = load_records(records).buildings["shed"].records.traces["TR-01"]
    assert trace.photos == tuple(dict.fromkeys(texts))
    assert (trace.conclusion, trace.notes) == ("a: b # c", "@ 010")


@settings(
    max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.text(st.characters(blacklist_categories=["C", "Z"]), min_size=1, max_size=30))
def test_any_text_is_written_as_typed(tmp_path: Path, text: str) -> None:
    records = shed(tmp_path / str(len(list(tmp_path.iterdir()))))
    # A lone ? or < asks for something else.
    lines = breaker(conclusion=f"x {text}", notes=f"{text} x".lstrip("?"))
    result = typed_in(records, "trace shed", lines)
    assert result.exit_code == 0, result.output
    trace = load_records(records).buildings["shed"].records.traces["TR-01"]
    assert trace.conclusion == f"x {text}"
    assert trace.notes == f"{text} x".lstrip("?").strip()

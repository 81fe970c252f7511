"""`recordgen record fault`: new ones, and the next step of those that are open."""

from pathlib import Path

import yaml

from recordgen.records.loader import load_records
from tests.terminal.shed import FAULTS, files, shed, typed_in

LOCATED = ("located", "2026-11-03", "A.B.", "box above the door", "", "", "", "", "yes", "")


def faults(records: Path) -> str:
    return (records / "shed" / "field" / "faults.yaml").read_text(encoding="utf-8")


def test_the_next_step_goes_to_the_end_of_the_steps(tmp_path: Path) -> None:
    records = shed(tmp_path)
    before = files(records)
    result = typed_in(records, "fault shed f-10", LOCATED)
    assert result.exit_code == 0, result.output
    assert "recorded so far: found 2026-11-02, made safe 2026-11-02" in result.stdout
    assert "F-10 then stands at: located, open for 23 d" in result.stdout
    step = "      - {step: located, date: 2026-11-03, by: A.B., what: box above the door}\n"
    locked = "by: A.B.}   # locked\n"
    assert faults(records) == FAULTS.replace(locked, locked + step)
    changed = {path for path, data in files(records).items() if before.get(path) != data}
    assert changed == {"shed/field/faults.yaml"}


def test_a_fault_in_braces_takes_a_step_and_its_cause(tmp_path: Path) -> None:
    records = shed(tmp_path)
    # Out of order on purpose, and meant: given twice.
    lines = ["located", "located", "", "A.B.", "", "", "", "", "frost: lid open", "yes"]
    result = typed_in(records, "fault shed F-09", [*lines, ""])
    assert result.exit_code == 0, result.output
    old = "steps: [{step: found, date: 2026-11-01, by: A.B.}]}"
    new = (
        "steps: [{step: found, date: 2026-11-01, by: A.B.}, "
        '{step: located, date: 2026-11-25, by: A.B.}], cause: "frost: lid open"}'
    )
    assert faults(records) == FAULTS.replace(old, new)


def test_a_step_out_of_order_has_to_be_meant(tmp_path: Path) -> None:
    records = shed(tmp_path)
    result = typed_in(records, "fault shed F-10", ["retested", "2026-11-03"])
    assert result.exit_code == 2
    assert "retested without located and repaired before that; record located first" in (
        result.stderr
    )
    result = typed_in(records, "fault shed F-10", ["3", "2026-11-01", "A.B."])
    assert result.exit_code == 2
    assert "located on 2026-11-01, and made safe only on 2026-11-02" in result.stderr
    assert faults(records) == FAULTS


def test_a_retest_wants_what_shows_the_fault_and_better_than_before(tmp_path: Path) -> None:
    records = shed(tmp_path)
    for step in (LOCATED, ("repaired", *LOCATED[1:])):
        assert typed_in(records, "fault shed F-10", step).exit_code == 0
    retest = ("retested", "2026-11-04", "A.B.", "")
    worse = ("insulation", "0.09 Mohm", "1", "500 V", "20 C", "it-1")
    better = ("insulation", "450 Mohm", "hot to ground", "500 V", "18 C", "IT-1")
    lines = [*retest, *worse, "", "<", *better, "", "", "", "", "yes", ""]
    result = typed_in(records, "fault shed F-10", lines)
    assert result.exit_code == 0, result.output
    assert "wanted is insulation resistance" in result.stdout
    assert "before: insulation resistance, 0.1 Mohm, hot to ground, 500 V" in result.stdout
    assert "at 20 °C the retest of 2026-11-04 gives 0.09 MΩ" in result.stdout
    assert "taken back: insulation resistance 0.09 Mohm" in result.stdout
    fault = load_records(records).buildings["shed"].records.faults["F-10"]
    assert [step.step for step in fault.steps][-1] == "retested"
    (measured,) = fault.steps[-1].measured
    assert (str(measured.value), measured.instrument) == ("450 Mohm", "IT-1")


def test_a_retest_without_a_measurement_is_told_before_it_is_written(tmp_path: Path) -> None:
    records = shed(tmp_path)
    for step in (LOCATED, ("repaired", *LOCATED[1:])):
        assert typed_in(records, "fault shed F-10", step).exit_code == 0
    lines = ["retested", "", "A.B.", "", "", "", "", "", "", "no"]
    result = typed_in(records, "fault shed F-10", lines)
    assert result.exit_code == 0
    assert "measure next: measure insulation resistance" in result.stdout
    assert "fault records no insulation resistance" in " ".join(result.stdout.split())


def test_units_that_cannot_be(tmp_path: Path) -> None:
    records = shed(tmp_path)
    for value, said in {
        "24 ms": "is no insulation resistance",
        "220": "is no insulation resistance",
        "220 mohm": "220 mohm is 0.22 ohm: hardly an insulation resistance",
        "much": '"much" is not a measured value',
    }.items():
        lines = ["located", "", "A.B.", "", "insulation resistance", value, "", ""]
        result = typed_in(records, "fault shed F-10", lines)
        assert result.exit_code == 2
        assert said in result.stderr


def test_a_new_fault_and_at_once_that_it_was_made_safe(tmp_path: Path) -> None:
    records = shed(tmp_path, faults=None)
    lines = [
        *("new", "", "short", "P1/1", "r-1", "S1", "trips at once", "", "", "A.B.", "", "", "", ""),
        *("", "", "", "yes", "yes"),
        *("made safe", "", "A.B.", "locked open: red 3", "voltage", "0 V", "all", "", "", "", ""),
        *("yes", ""),
    ]
    result = typed_in(records, "fault shed", lines)
    assert result.exit_code == 0, result.output
    assert "it was found" not in result.stdout
    assert faults(records) == (
        "faults:\n"
        "  F-01:\n"
        "    kind: short\n"
        "    circuit: P1/1\n"
        "    load: R-1\n"
        "    room: S1\n"
        "    description: trips at once\n"
        "    steps:\n"
        "      - {step: found, date: 2026-11-25, by: A.B.}\n"
        '      - {step: made safe, date: 2026-11-25, by: A.B., what: "locked open: red 3", '
        "measured: {quantity: voltage, value: 0 V, between: all}}\n"
    )


def test_an_end_of_input_after_a_fault_was_written_is_no_failure(tmp_path: Path) -> None:
    records = shed(tmp_path)
    result = typed_in(records, "fault shed F-10", LOCATED[:-1])
    assert result.exit_code == 0
    assert "Written: F-10" in result.stdout


def test_open_faults_are_listed_to_choose_from(tmp_path: Path) -> None:
    records = shed(tmp_path)
    result = typed_in(records, "fault shed", ["3", *LOCATED])
    assert result.exit_code == 0, result.output
    assert "3 F-10  ground fault, P1/3: made safe" in result.stdout
    assert "step: located" in faults(records)
    result = typed_in(records, "fault shed", ["F-77"])
    assert result.exit_code == 2
    assert 'there is no fault "F-77"' in result.stderr


def test_dry_run_prints_the_step_alone(tmp_path: Path) -> None:
    records = shed(tmp_path)
    result = typed_in(records, "fault shed F-10", LOCATED[:-2], "--dry-run")
    assert result.exit_code == 0
    assert [step["step"] for step in yaml.safe_load(result.stdout)] == ["located"]
    assert faults(records) == FAULTS


def test_a_fault_that_cannot_be_added_to_safely_is_left_alone(tmp_path: Path) -> None:
    linked = FAULTS.replace("- {step: made safe", "- &m {step: made safe").replace(
        "by: A.B.}   # locked\n", "by: A.B.}\n      - *m\n"
    )
    records = shed(tmp_path, linked)
    result = typed_in(records, "fault shed F-10", LOCATED)
    assert result.exit_code == 1
    assert "at the end of `steps:` of F-10" in result.stderr
    assert "- {step: located, date: 2026-11-03" in result.stderr
    assert faults(records) == linked

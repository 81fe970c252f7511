from pathlib import Path

from recordgen.checks import changed_from_normal
from tests.checks.running import examples, found_by, told, with_circuit

SINCE = "since: 2026-11-02"


def test_the_passing_example(tmp_path: Path) -> None:
    circuit = "14: {device: 20 A, loads: none}"
    assert examples(changed_from_normal, "Passing") == ["present"]
    assert found_by(changed_from_normal, tmp_path, with_circuit(circuit)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(changed_from_normal, "Failing")
    problems = found_by(changed_from_normal, tmp_path, with_circuit(example))
    # At the value of `present`.
    assert told(problems) == [(6, 35, "note", "not-normal")]
    assert "LP-1/14 stands open now" in problems[0].message
    assert problems[0].subjects == ("home:LP-1/14",)


def test_mains_equipment_locks_and_temporary_feeds(tmp_path: Path) -> None:
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB:
    kind: switchboard
    main: 100 A
    fed_from: UTIL
    main_present: {{position: open, {SINCE}}}
    circuits: {{1: {{device: 60 A, lock_in_force: {{{SINCE}, by: shift engineer}}}}}}
    temporary_feeds: [{{fed_from: DS, {SINCE}}}]
equipment:
  DS:
    kind: disconnect
    fed_from: UTIL
    present: {{position: open, {SINCE}}}
    lock_in_force: {{{SINCE}, by: shift engineer}}
"""
    problems = found_by(changed_from_normal, tmp_path, text)
    assert {(p.location.line, p.severity, p.code, p.subjects[0]) for p in problems} == {
        (9, "note", "not-normal", "home:MSB"),
        (10, "note", "lock-in-force", "home:MSB/1"),
        (11, "warning", "temporary-feed", "home:MSB"),
        (16, "note", "not-normal", "home:DS"),
        (17, "note", "lock-in-force", "home:DS"),
    }

"""`recordgen fit`, asked of the demo as somebody would type it."""

import pytest

from tests.test_cli import _read_once, about, as_json  # noqa: F401  # the fixture is for all

LARGE = ("clinic", "LP-2", "--load", "7.2 kVA", "--poles", "2")


def test_the_answer_comes_first() -> None:
    first, second, *rest = about("fit", *LARGE).stdout.splitlines()
    # 7,200 VA over 208 V, and the next standard rating of NEC 240.6(A).
    assert first == "7.2 kVA on LP-2, 2 poles: 34.6 A, a device of 35 A at least"
    assert second == "  IT DOES NOT FIT."
    assert rest[0].startswith("  ! LP-2: ")
    assert max(map(len, [first, second, *rest])) <= 80
    assert "licensed engineer" in " ".join(rest)


def test_text_and_json_agree() -> None:
    found = as_json("fit", *LARGE)
    text = about("fit", *LARGE).stdout
    assert found["answer"] == "does not fit"
    assert found["load_a"] == pytest.approx(7200 / 208, abs=0.001)
    for place in found["places"][:6]:
        assert place["positions"] in text
    for one in found["upstream"]:
        assert one["tag"].removeprefix("clinic:") in text
    assert [one["tag"] for one in found["upstream"]][-1] == "clinic:MSB"


def test_a_motor_is_asked_by_its_horsepower() -> None:
    """NEC table 430.250 (2014): 5 hp at 460 V draws 7.6 A."""
    found = as_json("fit", "clinic", "MCC-1", "--load", "5 hp", "--poles", "3", "--kind", "motor")
    assert found["load_a"] == pytest.approx(7.6, abs=0.001)


@pytest.mark.parametrize(
    ("question", "said"),
    [
        (("clinic", "T-1", "--load", "1 kVA"), "T-1 is no panel"),
        (("clinic", "LP-9", "--load", "1 kVA"), "did you mean"),
        (("clinic", "LP-2", "--load", "much"), '"much" is not a power'),
        (("clinic", "LP-2", "--load", "5"), "has no unit"),
        (("clinic", "LP-2", "--load", "0 VA"), "above zero"),
        (("clinic", "LP-2", "--load", "1 kVA", "--length", "60 ft"), "--raceway together"),
        (("clinic", "LP-2", "--load", "1 kVA", "--poles", "4"), "4 is not in the range"),
        (("workshop", "LC-1", "--load", "1 kVA", "--poles", "3"), "no device of 3 poles"),
    ],
    ids=lambda value: value if isinstance(value, str) else " ".join(value),
)
def test_what_cannot_be_asked(question: tuple[str, ...], said: str) -> None:
    result = about("fit", *question)
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stdout == ""
    assert "Traceback" not in result.stderr


def test_voltage_drop_on_its_own_circuit() -> None:
    """12 AWG copper in steel (NEC chapter 9 table 9), 10 A over 80 ft at 120 V: 2.7 %."""
    own = ("--conductors", "12 AWG Cu", "--length", "80 ft", "--raceway", "3/4 in EMT")
    found = as_json("fit", "clinic", "EQ-1", "--load", "1.2 kVA", *own)
    drop = found["voltage_drop"]
    assert drop["own_circuit_at_most"]["percent"] == pytest.approx(2.67, abs=0.01)
    assert drop["together_percent"] > 2.67
    assert "its own circuit 2.7 %" in about(
        "fit", "clinic", "EQ-1", "--load", "1.2 kVA", *own
    ).stdout.replace("\n    ", " ")

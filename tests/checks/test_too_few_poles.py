from pathlib import Path

import pytest

from recordgen.checks import too_few_poles
from tests.checks.running import examples, found_by, told, with_section

# A three-pole circuit, its disconnect, and a panel of a system behind them.
LINE = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{kind: switchboard, system: 480Y/277, main: lugs, fed_from: UTIL,
    circuits: {{1: {{device: {{rating: 60 A, poles: {poles}}}}}}}}}
  DP: {{kind: panelboard, {system} main: lugs, fed_from: DS}}
equipment:
  DS: {{kind: disconnect, fed_from: MSB/1, {switch} lockable: yes}}
"""


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(too_few_poles, "Passing")
    assert found_by(too_few_poles, tmp_path, with_section(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(too_few_poles, "Failing")
    problems = found_by(too_few_poles, tmp_path, with_section(example))
    assert [told([p])[0][2:] for p in problems] == [("stop", "too-few-poles")]
    assert problems[0].subjects == ("home:LP-1/main",)


# A three-phase wye has three ungrounded conductors, a three-wire single-phase system two (common
# knowledge of the trade). Nothing is concluded from what is not recorded.
@pytest.mark.parametrize(
    ("poles", "switch", "system", "named"),
    [
        (3, "poles: 3,", "system: 480Y/277,", []),
        (3, "poles: 2,", "system: 480Y/277,", ["home:DS"]),
        (3, "poles: 2,", "", ["home:DS"]),
        (3, "", "system: 480Y/277,", []),
        (2, "poles: 3,", "", []),
        (2, "poles: 2,", "system: 480Y/277,", ["home:DS"]),
        (1, "poles: 3,", "", []),
    ],
)
def test_poles_are_held_against_the_conductors_of_the_line(
    tmp_path: Path, poles: int, switch: str, system: str, named: list[str]
) -> None:
    text = LINE.format(poles=poles, switch=switch, system=system)
    problems = found_by(too_few_poles, tmp_path, text)
    assert [tag for p in problems for tag in p.subjects] == named


def test_a_feeder_with_too_few_poles_for_its_panel(tmp_path: Path) -> None:
    text = LINE.format(poles=2, switch="", system="").replace(
        "main: lugs, fed_from: DS}", "system: 480Y/277, main: lugs, fed_from: MSB/1}"
    )
    problems = found_by(too_few_poles, tmp_path, text)
    assert [p.subjects for p in problems] == [("home:MSB/1",)]

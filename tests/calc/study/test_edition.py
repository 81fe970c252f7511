import pytest

from recordgen.calc.answer import NoValue
from recordgen.calc.study.edition import edition_of
from recordgen.records.building import Building

# The code is published every third year: 2005, 2008 ... 2023 (common knowledge of the trade).


@pytest.mark.parametrize(
    ("text", "edition"),
    [
        ("NEC 2020", 2020),
        ("NEC 2020 as adopted by the state; essential system built to NEC 2017", 2020),
        ("nec 2018", 2017),
        ("NEC  2005", 2005),
        ("NEC 2026", 2023),
    ],
)
def test_the_first_edition_named_or_the_last_before_it(text: str, edition: int) -> None:
    assert edition_of(Building(name="House", code_edition=text), "home") == edition


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (None, "not recorded"),
        ("older than any edition we could find", "names no edition of the NEC"),
        ("2020", "names no edition of the NEC"),
        ("NEC 20200", "names no edition of the NEC"),
        ("NEC 1999", "begin with the edition of 2005"),
    ],
)
def test_what_names_no_edition_is_no_edition(text: str | None, why: str) -> None:
    answer = edition_of(Building(name="House", code_edition=text), "home")
    assert isinstance(answer, NoValue)
    (need,) = answer.needs
    assert (need.tag, need.field) == ("home:building", "code_edition")
    assert why in str(need)

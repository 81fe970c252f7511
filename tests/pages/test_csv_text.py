"""CSV as RFC 4180 has it, read back by the standard library, and safe in a spreadsheet."""

import csv
import io

import pytest

from recordgen.pages.csv_text import csv_text, plain_text

ODD = ['a "quoted" word', "one, two", "first\r\nsecond", " spaced ", "Ω 漢字 °C", "", "it's"]


def read_back(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def test_what_is_written_is_read_back_letter_for_letter() -> None:
    text = csv_text(["a", "b"], [[cell, 1] for cell in ODD])
    assert read_back(text) == [["a", "b"], *([cell, "1"] for cell in ODD)]


def test_lines_end_as_the_standard_says_and_the_letters_are_told() -> None:
    text = csv_text(["a"], [["b"]])
    assert text == "\ufeffa\r\nb\r\n"
    assert text.encode().startswith(b"\xef\xbb\xbf")


# What a spreadsheet takes for the start of a formula: OWASP, "CSV Injection" (from memory).
FORMULAS = [
    '=HYPERLINK("http://a.example","b")',
    "+1+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1",
    "\u200b=1",
    "\u202e+1",
    "＝1",
    "＠A1",
]


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_becomes_text(formula: str) -> None:
    assert plain_text(formula) == f"'{formula}"
    ((cell,),) = read_back(csv_text(["a"], [[formula]]))[1:]
    assert cell == f"'{formula}"


@pytest.mark.parametrize("text", ["a=b", "2026-01-01", "1-2", "", "'=1", "  a", "(+1)"])
def test_other_text_stays_as_it_is(text: str) -> None:
    assert plain_text(text) == text


def test_a_number_below_zero_stays_a_number() -> None:
    assert read_back(csv_text(["temperature_degC"], [[-5.0]])) == [["temperature_degC"], ["-5.0"]]


def test_a_row_of_another_length_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="2 cells in 1 columns"):
        csv_text(["a"], [["b", "c"]])

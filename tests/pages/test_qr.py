"""QR codes: the same as segno's own, and read back by a reader that others wrote."""

import re

import pytest
import segno
import zxingcpp
from hypothesis import example, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from recordgen.pages.qr import QUIET_ZONE, Code, Codes

START = "https://records.example.org/"
TAIL = st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1, max_size=90)


def drawn(code: Code, scale: int = 6) -> Image.Image:
    """Return a code as a picture, from its path alone."""
    picture = Image.new("L", (code.side * scale, code.side * scale), 255)
    pen = ImageDraw.Draw(picture)
    x = y = 0.0
    for command, numbers in re.findall(r"([Mmh])([\d. -]+)", code.path):
        values = [float(number) for number in numbers.split()]
        if command == "M":
            x, y = values
        elif command == "m":
            x += values[0]
        else:
            box = (x, y - 0.5, x + values[0], y + 0.5)
            left, top, right, bottom = (round(edge * scale) for edge in box)
            pen.rectangle((left, top, right - 1, bottom - 1), fill=0)
            x += values[0]
    return picture


# Each bit is asked of segno at 6 ms, and Hypothesis tries many.
@settings(deadline=None, max_examples=8)
@given(st.lists(TAIL, min_size=2, max_size=6))
@example(["clinic/lockout/AHU-1.html", "clinic/lockout/AHU-2.html", "clinic/lockout/AHU-9.html"])
def test_a_code_is_the_one_that_segno_makes(tails: list[str]) -> None:
    codes = Codes()
    # Likes of each other in length, so that all but the first are put together.
    for tail in (*tails, *(tail[::-1] for tail in tails)):
        address = START + tail
        made = segno.make_qr(address, error="m", mode="byte", mask=2, boost_error=False)
        found = codes.code(address)
        assert found.side == made.symbol_size(border=QUIET_ZONE)[0]
        rows = [[bool(m & 1) for m in row] for row in made.matrix]
        picture = drawn(found, 1)
        inner = range(QUIET_ZONE, found.side - QUIET_ZONE)
        assert [[picture.getpixel((x, y)) == 0 for x in inner] for y in inner] == rows


def test_codes_of_a_building_are_read_back() -> None:
    codes = Codes()
    for number in range(200):
        address = f"{START}clinic/lockout/LP-2A/{number}.html#print={number * 7919:08x},2026-11-25"
        (read,) = zxingcpp.read_barcodes(drawn(codes.code(address)))
        assert (read.text, read.ec_level) == (address, "M")


def test_nothing_is_drawn_into_the_quiet_zone() -> None:
    code = Codes().code(START)
    picture = drawn(code, 1)
    assert picture.getbbox() is not None
    inverted = picture.point(lambda value: 255 - value)
    end = code.side - QUIET_ZONE
    assert inverted.getbbox() == (QUIET_ZONE, QUIET_ZONE, end, end)


def test_an_address_that_no_code_can_hold_is_an_error() -> None:
    with pytest.raises(UnicodeEncodeError):
        Codes().code("https://records.example.org/büro")
    with pytest.raises(ValueError, match="fits no code"):
        Codes().code("x" * 3000)

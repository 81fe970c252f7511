"""The hand-written pages: what they show works, and every site has them."""

import re
from datetime import date
from pathlib import Path

import pytest

from recordgen.pages import lockout
from recordgen.pages.wording import OUTCOME_CLASS
from recordgen.portfolio import load_portfolio
from recordgen.records.building import BuildingRecords
from recordgen.site.guide import guide_folder
from recordgen.site.offline import HERE

GUIDE = guide_folder()


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Return a records folder with the first building of the guide in it."""
    example = re.findall(r"```yaml\n(.*?)```", (GUIDE / "records.md").read_text(), re.DOTALL)[0]
    (tmp_path / "shed").mkdir()
    (tmp_path / "shed" / "shed.yaml").write_text(example)
    return tmp_path


def test_the_first_building_has_nothing_wrong(shed: Path) -> None:
    assert load_portfolio(shed, date(2026, 3, 1)).problems == []


def test_every_section_is_named(shed: Path) -> None:
    text = (GUIDE / "records.md").read_text()
    assert [name for name in BuildingRecords.model_fields if f"`{name}`" not in text] == []


def test_every_outcome_is_explained_with_the_mark_that_the_style_sheet_gives_it() -> None:
    text = (GUIDE / "how-to-read-a-sheet.md").read_text()
    css = (HERE / "assets/recordgen.css").read_text()
    for outcome, name in OUTCOME_CLASS.items():
        (mark,) = re.findall(rf'rg-outcome--{name}::before {{\n  content: "(.+?)" /', css)
        if mark.startswith("\\"):
            mark = chr(int(mark[1:], 16))
        assert f"| {mark} {outcome} |" in text


def test_every_headline_of_a_lockout_sheet_is_explained() -> None:
    text = (GUIDE / "how-to-read-a-sheet.md").read_text()
    headlines = [words.split("{")[0].strip() for words in lockout._ANSWER.values()]
    assert len(headlines) == 3
    assert [words for words in headlines if f"**{words}**" not in text] == []


def test_every_site_has_the_guide(sample_site: Path) -> None:
    for page in GUIDE.glob("*.md"):
        assert (sample_site / page.with_suffix(".html").name).is_file()

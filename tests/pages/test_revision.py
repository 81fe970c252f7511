"""Same records, same pages; and a sheet's revision follows every record it leans on.

The buildings are copies of the demo's: the clinic for itself, the workshop and the garage that is
fed from it.
"""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import load_portfolio
from tests.conftest import AS_OF, ROOT

Copy = Callable[..., Path]
Revisions = dict[str, str]
ANSWERS = ("/lockout/", "/downstream/", "/notice/", "/panels/")

DIGESTS = """
import datetime, hashlib, json, sys
from pathlib import Path
from recordgen.pages.table import all_pages
from recordgen.portfolio import load_portfolio
portfolio = load_portfolio(Path(sys.argv[1]), datetime.date(2026, 11, 25), shown_as="buildings")
pages = all_pages(portfolio)
print(json.dumps({p.path: hashlib.sha256(repr(p).encode()).hexdigest() for p in pages}))
"""


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> Revisions:
    """Return the revisions of the workshop and the garage as they are."""
    folder = tmp_path_factory.mktemp("before")
    for building in ("workshop", "garage"):
        shutil.copytree(ROOT / "buildings" / building, folder / "buildings" / building)
    return revisions(folder / "buildings")


@pytest.fixture
def copied(tmp_path: Path) -> Copy:
    def copy(*buildings: str, name: str = "buildings") -> Path:
        for building in buildings:
            shutil.copytree(ROOT / "buildings" / building, tmp_path / name / building)
        return tmp_path / name

    return copy


def revisions(folder: Path) -> Revisions:
    portfolio = load_portfolio(folder, AS_OF, shown_as="buildings")
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return {page.path: page.revision for page in all_pages(portfolio)}


def changed(before: Revisions, after: Revisions) -> set[str]:
    assert set(before) == set(after)
    return {path for path in before if before[path] != after[path]}


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, (path, old)
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_the_same_records_make_the_same_pages(copied: Copy) -> None:
    """In other processes, with other orders of hashing, from another folder."""
    first, second = copied("workshop", "garage"), copied("workshop", "garage", name="elsewhere")
    found = []
    for seed, folder in (("1", first), ("2", second)):
        made = subprocess.run(
            [sys.executable, "-c", DIGESTS, str(folder)],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), "TZ": f"UTC+{seed}"},
            capture_output=True,
            text=True,
            check=True,
        )
        found.append(json.loads(made.stdout))
    assert len(found[0]) > 300
    assert list(found[0].items()) == list(found[1].items())


def test_another_layout_of_the_files_changes_no_sheet(copied: Copy, before: Revisions) -> None:
    """Files renamed, moved into folders, and two sections parted: the records are the same."""
    folder = copied("workshop", "garage")
    workshop, garage = folder / "workshop", folder / "garage"
    (workshop / "a" / "deep").mkdir(parents=True)
    (workshop / "loads.yaml").rename(workshop / "a" / "deep" / "machines.yaml")
    (workshop / "panels" / "power.yaml").rename(workshop / "zz.yaml")
    text = (garage / "records.yaml").read_text(encoding="utf-8")
    head, equipment = text.split("\nequipment:\n")
    (garage / "records.yaml").write_text(head + "\n", encoding="utf-8")
    (garage / "0-disconnect.yaml").write_text(f"equipment:\n{equipment}", encoding="utf-8")
    after = revisions(folder)
    portfolio = load_portfolio(folder, AS_OF, shown_as="buildings")
    # What cites a record says where it stands now, and is another page.
    citing = {page.path for page in all_pages(portfolio) if ".yaml:" in page.html}
    # (Indexes list things in the order of the files.)
    answers = {path for path in before if any(part in path for part in ANSWERS)}
    assert (changed(before, after) & answers) - citing == set()
    assert len(answers - citing) > 200


def test_a_sheet_follows_a_record_far_away(copied: Copy, page_list: list[Page]) -> None:
    """The length of the feeder from the utility to the switchboard, for a monitor three panels,
    two transformers and a UPS further down; the workshop shares nothing with the clinic."""
    folder = copied("clinic", "workshop", "garage")
    before = {page.path: page.revision for page in page_list}
    edit(folder / "clinic" / "service.yaml", "length: 85 ft", "length: 86 ft")
    found = changed(before, revisions(folder))
    assert {"clinic/lockout/UP-1/3.html", "clinic/downstream/UP-1/3.html"} <= found
    sheets = {path for path in before if "/lockout/" in path or "/downstream/" in path}
    assert {p for p in sheets if p.startswith("clinic/")} <= found
    assert not {p for p in found if p.startswith(("workshop/", "garage/"))}


def test_a_sheet_follows_a_record_of_the_building_that_feeds_it(
    copied: Copy, before: Revisions
) -> None:
    folder = copied("workshop", "garage")
    edit(folder / "workshop" / "services.yaml", "length: 72 ft", "length: 73 ft")
    found = changed(before, revisions(folder))
    assert {"garage/lockout/EV-1.html", "garage/downstream/GP-1/main.html"} <= found


def test_the_day_alone_changes_no_revision(copied: Copy, before: Revisions) -> None:
    """Sheets printed yesterday hold today, where nothing has aged."""
    folder = copied("workshop", "garage")
    later = load_portfolio(folder, AS_OF.replace(day=26), shown_as="buildings")
    after = {page.path: page.revision for page in all_pages(later)}
    assert {p for p in changed(before, after) if "/lockout/" in p} == set()


def test_a_stop_changes_the_sheet(copied: Copy, before: Revisions) -> None:
    folder = copied("workshop", "garage")
    # Settle the one contradiction.
    edit(
        folder / "workshop" / "field" / "traces.yaml",
        "    confirmed_by_opening: no\n    conclusion: the floor socket",
        "    resolved: opened on a free day\n    conclusion: the floor socket",
    )
    found = changed(before, revisions(folder))
    assert "workshop/lockout/LC-1/19.html" in found

"""`recordgen labels`: one file to print, rows for a label printer, and what is typed wrongly."""

import csv
import io
import json
import re
from pathlib import Path

import pytest
import zxingcpp
from click.testing import CliRunner, Result
from PIL import Image
from playwright.sync_api import Browser
from pypdf import PdfReader

from recordgen.cli import main
from tests.network.asking import portfolio
from tests.pages.label_house import YARD, records

ADDRESS = "https://records.example.org"


@pytest.fixture(scope="module")
def buildings(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return portfolio(tmp_path_factory.mktemp("shop"), records(), yard=YARD).folder


def labels(buildings: Path, *words: str) -> Result:
    shared = ("--records", str(buildings), "--as-of", "2026-11-25", "--address", ADDRESS)
    return CliRunner().invoke(main, ["labels", *words, *shared])


def rows(result: Result) -> list[dict[str, str]]:
    assert result.exit_code == 0, result.output
    text = result.stdout_bytes.decode()
    # RFC 4180: every line ends in CR LF.
    assert text.count("\n") == text.count("\r\n")
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"))))


@pytest.mark.parametrize(
    ("sheet", "pages", "inches"),
    [("letter-30", 2, (8.5, 11)), ("a4-24", 3, (8.27, 11.69))],
)
def test_one_file_prints_the_labels_after_those_that_are_used_up(
    buildings: Path, tmp_path: Path, browser: Browser, sheet: str, pages: int, inches: tuple[float]
) -> None:
    target = tmp_path / "labels.html"
    words = ("home", "LP-1", "--sheet", sheet, "--skip", "7", "--output", str(target))
    result = labels(buildings, *words)
    assert result.exit_code == 0, result.output
    assert "42 labels" in result.stderr
    text = target.read_text(encoding="utf-8")
    assert not re.search(r"(?:src|href)=|url\(|@import", text)
    page = browser.new_page(viewport={"width": 816, "height": 1056}, device_scale_factor=2)
    page.goto(target.as_uri())
    paper = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    assert len(paper.pages) == pages
    size = [float(edge) / 72 for edge in paper.pages[0].mediabox[2:]]
    assert size == pytest.approx(inches, abs=0.02)
    assert "100 %" not in paper.pages[0].extract_text()
    page.emulate_media(media="print")
    first = page.locator(".rg-label:not(.rg-label-free)").first
    box = first.bounding_box()
    assert box is not None
    # The eighth place: third row, second column.
    left, top = (4.7625 + 69.85, 12.7 + 2 * 25.4) if sheet == "letter-30" else (70, 4.5 + 2 * 36)
    assert box["x"] * 25.4 / 96 == pytest.approx(left, abs=0.5)
    assert box["y"] * 25.4 / 96 == pytest.approx(top, abs=0.5)
    (read,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(first.screenshot())))
    assert read.text == f"{ADDRESS}/home/panels/LP-1.html#position-1"
    page.close()


def test_rows_for_a_label_printer_hold_no_formula(buildings: Path) -> None:
    found = rows(labels(buildings, "home", "lp-2", "--format", "csv"))
    assert [row["head"] for row in found] == ["LP-2/1", "LP-2/2"]
    assert found[0]["text"].startswith("'=cmd|' /C calc'!A0 <b>bold</b>; 20 A")
    assert (found[0]["stop"], found[1]["stop"]) == ("STOP", "")
    assert found[0]["address"] == f"{ADDRESS}/home/panels/LP-2.html#position-1"
    assert found[0]["as_of"] == "2026-11-25"
    assert found[1]["text"] == "Spare; rating not recorded"


def test_a_panel_says_what_is_recorded_and_what_is_not(buildings: Path) -> None:
    first, second = rows(labels(buildings, "home", "--of", "panels", "--format", "csv"))
    assert (first["system"], first["fed_from"]) == ("208Y/120", "UTIL")
    assert first["fault_current"] == "14.2 kA, 2024-03-01"
    assert first["sources"] == "UTIL, yard:U2"
    assert first["arc_flash"] == "study date: 2023-05-01; PPE: category 2"
    assert second["fed_from"] == "LP-1/41 and yard:YP/1"
    assert (second["system"], second["fault_current"]) == ("not recorded", "not recorded")
    assert second["arc_flash"] == ""


def test_outlets_name_their_circuit_and_how_well_it_is_known(buildings: Path) -> None:
    result = labels(buildings, "home", "--of", "outlets", "--format", "json")
    held = json.loads(result.stdout)
    found = {label["tag"]: label for label in held["labels"]}
    assert len(found) == 41
    assert found["home:R-3"]["head"] == "LP-1/3"
    assert found["home:R-3"]["lines"][-1] == {"name": "Evidence", "text": "unverified"}
    # The one of unknown source comes last, and says so.
    assert held["labels"][-1]["tag"] == "home:R-LOST"
    assert held["labels"][-1]["head"] == "circuit not recorded"


def test_equipment_and_fixed_loads(buildings: Path) -> None:
    found = rows(labels(buildings, "home", "--of", "equipment", "--format", "csv"))
    assert [row["tag"] for row in found] == ["home:UTIL", "home:PV", "home:DS-1", "home:AHU-1"]
    assert found[2]["fed_from"] == "LP-1/39"
    here = rows(labels(buildings, "home", "LP-1", "--of", "equipment", "--format", "csv"))
    assert [row["tag"] for row in here] == ["home:DS-1"]


def test_html_escapes_what_is_recorded(buildings: Path) -> None:
    text = labels(buildings, "home", "LP-2").stdout
    assert "<b>bold</b>" not in text
    assert "&lt;b&gt;bold&lt;/b&gt;" in text


def test_without_an_address_there_is_no_code_and_it_says_so(
    buildings: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["labels", "home", "LP-2", "--records", str(buildings), "--as-of", "2026-11-25"]
    result = CliRunner().invoke(main, [*words, "--output", "labels.html"])
    assert "no address of the site is configured" in result.stderr
    text = (tmp_path / "labels.html").read_text(encoding="utf-8")
    assert "no address of the site is configured" in text
    assert "<svg" not in text


def test_the_address_is_that_of_the_configuration_beside(
    buildings: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = buildings.parent
    monkeypatch.chdir(folder)
    (folder / "docs").mkdir(exist_ok=True)
    (folder / "mkdocs.yml").write_text(
        f"site_name: x\nsite_url: {ADDRESS}/from-mkdocs/\nplugins: [recordgen]\n"
    )
    found = rows(CliRunner().invoke(main, ["labels", "home", "LP-2", "--format", "csv"]))
    assert found[0]["address"] == f"{ADDRESS}/from-mkdocs/home/panels/LP-2.html#position-1"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("house",), 'no building "house"'),
        (("home", "LP-9"), 'no panel "LP-9" in home'),
        (("yard", "--of", "outlets"), "no outlets to label are recorded in yard"),
        (("home", "--sheet", "a4-24", "--skip", "24"), "a sheet holds 24"),
        (("home", "--address", "ftp://x"), "expected an address like"),
        (("home", "--address", "http://127.0.0.1:8000"), "that other devices reach"),
        (("home", "--output", "/nowhere/labels.html"), "/nowhere/labels.html"),
    ],
)
def test_what_is_typed_wrongly(buildings: Path, words: tuple[str, ...], said: str) -> None:
    shared = ("--records", str(buildings), "--as-of", "2026-11-25")
    result = CliRunner().invoke(main, ["labels", *words, *shared])
    assert result.exit_code in (1, 2)
    assert said in result.stderr
    assert "Traceback" not in result.output

"""A small house with runs, cables and traces along them, written by hand."""

from pathlib import Path

from recordgen.pages.page import Page
from recordgen.pages.view import View
from tests.network.asking import portfolio
from tests.pages.reading import Element, read

RECORDS = """
rooms: {A1: {name: Plant room}, A2: {name: Yard}}
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits:
      1: {device: 20 A, description: Yard lights}
      3: {device: 20 A}
instruments: {TRACER: {kind: tracer}}
"""
HEAD = "date: 2026-05-01, by: A.B., instrument: TRACER"


def view(folder: Path, text: str, **others: str) -> View:
    return View(portfolio(folder, RECORDS + text, **others))


def only(pages: list[Page]) -> Element:
    (page,) = pages
    return read(page.html)

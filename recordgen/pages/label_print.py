"""Labels laid out for the sheets that they may be printed on: of the pages, and of the command."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from recordgen.pages.label_sheets import LabelSheet, fit_of
from recordgen.pages.label_values import CLAUSES, Label
from recordgen.pages.qr import Code
from recordgen.pages.view import View


@dataclass(frozen=True)
class PlacedLabel:
    """A label, or a place left free, ready to print.

    Attributes
    ----------
    label : Label or None
        None for a place whose label has been used up.
    code : Code or None
        None where the site has no address.
    classes : str
        For each sheet its letter with the size of the letters; where not all lines fit, also with
        `k` and how many do.
    refers : bool
        Whether it does so on any of the sheets.
    ends : str
        Classes of the sheets that are full after it, where more labels follow.
    """

    label: Label | None
    code: Code | None
    classes: str
    refers: bool
    ends: str


def placed_labels(
    view: View, labels: Iterable[Label], sheets: Sequence[LabelSheet], skip: int = 0
) -> list[PlacedLabel]:
    """Return labels with the size of their text on each sheet, after some free places."""
    all_of_them = [*([None] * skip), *labels]
    last = len(all_of_them)
    found = []
    for number, label in enumerate(all_of_them, start=1):
        ends = [f"rg-end-{s.key}" for s in sheets if number % s.count == 0 and number < last]
        if label is None:
            found.append(PlacedLabel(None, None, "", False, " ".join(ends)))
            continue
        lines = [(line.name, line.text) for line in label.lines]
        fits = [(sheet.key, fit_of(label.head, lines, sheet)) for sheet in sheets]
        classes = " ".join(
            f"{key}{fit.points}" + (f" {key}k{fit.kept}" if fit.kept < len(lines) else "")
            for key, fit in fits
        )
        refers = any(fit.kept < len(lines) for _, fit in fits)
        code = view.code_of(label.link)
        found.append(PlacedLabel(label, code, classes, refers, " ".join(ends)))
    return found


def print_file(
    view: View, title: str, labels: Sequence[Label], sheet: LabelSheet, style: str, skip: int = 0
) -> str:
    """Return labels as one HTML file that needs no other.

    Parameters
    ----------
    view : View
    title : str
    labels : sequence of Label
    sheet : LabelSheet
        That they are printed on.
    style : str
        The style sheet of labels.
    skip : int
        How many labels of the first sheet are used up.
    """
    return view.templates.get_template("label_print.html").render(
        title=title,
        labels=placed_labels(view, labels, [sheet], skip),
        sheet=sheet,
        style=style,
        date=view.portfolio.as_of.isoformat(),
        stops=sum(label.stop for label in labels),
        address=view.address,
        clauses=CLAUSES,
    )

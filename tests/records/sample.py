"""Records written for one test: a folder `buildings/depot` and what the reader makes of it."""

from pathlib import Path
from typing import Any

from recordgen.records.loader import LoadedRecords, load_records

HEAD = "building:\n  name: Depot\n"


def loaded(folder: Path, *texts: str | bytes, head: str = HEAD) -> LoadedRecords:
    depot = folder / "buildings" / "depot"
    depot.mkdir(parents=True, exist_ok=True)
    (depot / "building.yaml").write_text(head, encoding="utf-8")
    for number, text in enumerate(texts):
        data = text.encode() if isinstance(text, str) else text
        (depot / f"records-{number}.yaml").write_bytes(data)
    return load_records(folder / "buildings")


def records(folder: Path, *texts: str | bytes, head: str = HEAD) -> Any:
    """Return the records of the depot, which must hold no mistake."""
    found = loaded(folder, *texts, head=head)
    assert not found.problems, [str(problem) for problem in found.problems]
    return found.buildings["depot"].records

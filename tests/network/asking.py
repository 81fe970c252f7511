"""Small portfolios written by hand, and short ways of asking them."""

import datetime as dt
from pathlib import Path

from recordgen.network.downstream import Affected, downstream
from recordgen.network.isolation import Isolation, isolate, target_of
from recordgen.network.ways import Positions
from recordgen.portfolio import Portfolio, load_portfolio

AS_OF = dt.date(2026, 11, 25)
HOME = "home"


def loaded(folder: Path, text: str, about: str = "", **others: str) -> Portfolio:
    """Write record files and load them, errors and all.

    `about` is more to say of the buildings; `others` is building id → its records.
    """
    for building, records in {HOME: text, **others}.items():
        place = folder / "buildings" / building
        place.mkdir(parents=True)
        record_file = place / "records.yaml"
        record_file.write_text(f"building: {{name: House{about}}}\n{records}", encoding="utf-8")
    return load_portfolio(folder / "buildings", AS_OF, shown_as="buildings")


def portfolio(folder: Path, text: str, about: str = "", **others: str) -> Portfolio:
    """Write record files that hold no error, and load them."""
    found = loaded(folder, text, about, **others)
    assert [str(p) for p in found.problems if p.severity == "error"] == []
    return found


def affected(found: Portfolio, *opened: str, positions: Positions = "normal") -> list[Affected]:
    supply = found.supply if positions == "normal" else found.present_supply
    return list(downstream(supply, found.hazard, map(_full, opened)).affected)


def outcomes(found: Portfolio, *opened: str, positions: Positions = "normal") -> dict[str, str]:
    """Return load → outcome, for the loads that are not unaffected."""
    return {_short(a.load): a.outcome for a in affected(found, *opened, positions=positions)}


def again(found: Portfolio, *opened: str) -> dict[str, bool]:
    """Return load → whether something may energize it again."""
    return {_short(a.load): a.again for a in affected(found, *opened)}


def isolation(found: Portfolio, tag: str) -> Isolation:
    return isolate(found.hazard, target_of(found.network, _full(tag)))


def locks(found: Portfolio, tag: str) -> tuple[str, set[str]]:
    """Return the verdict and the tags to lock."""
    answer = isolation(found, tag)
    return answer.verdict, {_short(point.device) for point in answer.points}


def sources(found: Portfolio, tag: str) -> set[str]:
    return {_short(source) for source in isolation(found, tag).sources}


def way(found: Portfolio, tag: str) -> list[tuple[str | None, tuple[str, ...]]]:
    """Return (source, devices) of each feed path of a load."""
    return [
        (path.source and _short(path.source), tuple(map(_short, path.devices)))
        for path in found.feed_paths.of_load(_full(tag))
    ]


def _full(tag: str) -> str:
    return tag if ":" in tag else f"{HOME}:{tag}"


def _short(tag: str) -> str:
    return tag.removeprefix(f"{HOME}:")

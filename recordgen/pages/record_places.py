"""Which record a place in the files belongs to, so that a finding can lead to its page."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from functools import cached_property

from recordgen.problems import Location
from recordgen.records.loader import LoadedBuilding


class RecordPlaces:
    """The places of all records; `buildings` is building id → its records."""

    def __init__(self, buildings: Mapping[str, LoadedBuilding]) -> None:
        self._buildings = buildings

    @cached_property
    def _by_file(self) -> Mapping[str, list[tuple[Location, str, str]]]:
        """File → where each of its records begins, its section and full tag, in order."""
        found: dict[str, list[tuple[Location, str, str]]] = {}
        for loaded in self._buildings.values():
            for section, tag in loaded.entries:
                place = loaded.where(section, tag)
                found.setdefault(place.path, []).append((place, section, f"{loaded.id}:{tag}"))
        return {path: sorted(places) for path, places in found.items()}

    def at(self, place: Location) -> tuple[str, str] | None:
        """Return section and full tag of the record that a place stands in; None outside any."""
        begun = self._by_file.get(place.path, [])
        index = bisect_right(begun, place, key=lambda each: each[0])
        return begun[index - 1][1:] if index else None

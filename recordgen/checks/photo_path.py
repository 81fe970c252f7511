r"""Photos whose path works on one machine only, or leads out of the building's folder.

Passing: `photos: [photos/panel-lp-1.jpg]`
Failing: `photos: ['C:\photos\panel-lp-1.jpg']`

Words that say what a photo shows are fine too. A site is read offline and on other machines, so an
address or a drive leads nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.problems import Problem

# A backslash, an address or a drive, the root, or a step upwards.
_ELSEWHERE = re.compile(r"\\|^[a-z][a-z0-9+.-]*:|^/|(?:^|/)\.\.(?:/|$)", re.IGNORECASE)


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each photo of a trace or a fault that cannot be found elsewhere."""
    for loaded in facts.buildings.values():
        for section in ("traces", "faults"):
            for tag, record in getattr(loaded.records, section).items():
                for index, photo in enumerate(record.photos):
                    if _ELSEWHERE.search(photo):
                        yield Problem(
                            "warning",
                            "photo-path",
                            f'{tag}: the photo "{photo}" cannot be found from another machine',
                            loaded.where(section, tag, "photos", index),
                            "write its path from the building's folder, with / between the parts",
                            subjects=concerned(facts.buildings, loaded, record),
                        )

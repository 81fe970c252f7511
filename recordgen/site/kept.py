"""What a browser keeps of a site for use without signal: its lists, and the worker that keeps it.

For each building a list of its pages and their data, by size and digest, lies beside its overview.
The service worker at the top of the site holds the list of what every building needs, and the
digest of the site: another site is another worker, and the same records make the same bytes.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import Final

from recordgen.pages.page import Page

HERE = Path(__file__).parent
LIST: Final = "offline.json"
"""Name of the list of a building, beside its overview."""
WORKER: Final = "sw.js"
FALLBACK: Final = "offline.html"
"""What is shown for a page that is not kept."""
SEARCH: Final = "search/search_index.json"
_SHARED: Final = frozenset((".html", ".css", ".js", ".svg", ".png", ".ico", ".woff2"))
# The worker of a browser would have to fetch both at each page anyway, and a page not found has
# nothing to say. The index as a script is for files.
_NEVER: Final = frozenset(("404.html", "search/search_index.js", WORKER))

# A file: path in the site, length in bytes, digest.
Entry = tuple[str, int, str]


def write_kept(site: Path, pages: Sequence[Page], languages: Sequence[str] = ("en",)) -> None:
    """Write the lists of the buildings and the service worker into a finished site.

    Parameters
    ----------
    site : Path
        Folder of the site, everything else in it.
    pages : sequence of Page
        All pages of records.
    languages : sequence of str
        Of the theme's search; its word stems are needed for any but English.
    """
    buildings = building_files(pages)
    digests: dict[str, Entry] = {}
    held: dict[str, str] = {}
    for building, files in buildings.items():
        entries = [_entry(site, path, digests) for path in files]
        written = _json(
            {
                "building": building,
                "digest": _digest(_json(entries).encode()),
                "bytes": sum(size for _, size, _ in entries),
                "pages": sum(path.endswith(".html") for path, *_ in entries),
                "files": entries,
            }
        )
        place = site / building / LIST
        place.parent.mkdir(exist_ok=True)
        place.write_bytes(written.encode())
        held[building] = _digest(written.encode())
    shared = [
        _entry(site, path, digests)
        for path in shared_files(site, buildings, stems=list(languages) != ["en"])
    ]
    facts = {
        "site": _digest(_json([held, shared]).encode()),
        "digest": _digest(_json(shared).encode()),
        "buildings": building_names(pages),
        "files": shared,
    }
    worker = (HERE / "service_worker.js").read_text(encoding="utf-8")
    (site / WORKER).write_bytes(worker.replace("{{site}}", _json(facts)).encode())


def building_names(pages: Sequence[Page]) -> dict[str, str]:
    """Return building id → what its overview calls it, in the order of the pages."""
    found: dict[str, str] = {}
    for page in pages:
        if page.building is not None:
            found.setdefault(page.building, page.building)
            if page.path == f"{page.building}/index.html":
                found[page.building] = page.nav or page.title
    return found


def building_files(pages: Sequence[Page]) -> dict[str, list[str]]:
    """Return building id → paths of its pages and of the data that they answer from.

    Lists to take away (.csv) are left out: a copy of them could not say how old it is.
    """
    found: dict[str, dict[str, None]] = {}
    for page in pages:
        if page.building is None:
            continue
        files = found.setdefault(page.building, {})
        files[page.path] = None
        data = (file.path for file in page.files)
        for path in (*data, *page.scripts):
            if path.endswith(".js") and not path.startswith("assets/"):
                files[path] = None
    return {building: list(files) for building, files in found.items()}


def shared_files(site: Path, buildings: Mapping[str, object], *, stems: bool) -> Iterator[str]:
    """Yield the paths of what every building needs: assets, guide, overview of all buildings."""
    pages: list[str] = []
    pictures: list[str] = []
    for place in sorted(site.rglob("*")):
        path = place.relative_to(site).as_posix()
        parts = PurePosixPath(path).parts
        if parts[0] in buildings or path in _NEVER or not place.is_file():
            continue
        if path == SEARCH or (place.suffix in _SHARED and parts[0] == "assets"):
            if stems or "lunr" not in parts:
                yield path
        elif place.suffix == ".html":
            pages.append(path)
        elif place.suffix in _SHARED:
            pictures.append(path)
    yield from pages
    text = "".join((site / path).read_text(encoding="utf-8") for path in pages)
    yield from (path for path in pictures if f'src="{path}"' in text or f"/{path}" in text)


def _entry(site: Path, path: str, digests: dict[str, Entry]) -> Entry:
    if path not in digests:
        content = (site / path).read_bytes()
        digests[path] = (path, len(content), _digest(content))
    return digests[path]


def _digest(content: bytes) -> str:
    """Return enough of a digest to tell one version of a file from the next."""
    return hashlib.sha256(content).hexdigest()[:16]


def _json(facts: object) -> str:
    return json.dumps(facts, separators=(",", ":"), ensure_ascii=True)

"""Two small buildings on a real server, below a path, that can be stopped and built anew."""

from __future__ import annotations

import datetime as dt
import functools
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from recordgen.site.build import build_site
from tests.pages.fault_house import HOUSE

AS_OF = dt.date(2026, 11, 25)
BELOW = "records/site"
ANNEX = """
building: {name: Annex}
sources: {UTIL: {kind: utility}}
panels:
  AP: {kind: panelboard, main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A, loads: none}}}
"""


class Place:
    """A folder with records and, below it, what a server gives away."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.root = folder / "served"
        self.site = self.root / BELOW
        self.port = 0
        self._server: ThreadingHTTPServer | None = None
        self._failing = 0
        self._waits = threading.Event()
        self._seconds = 0.0

    @property
    def url(self) -> str:
        """Return the address of the site, with a slash at its end."""
        return f"http://127.0.0.1:{self.port}/{BELOW}/"

    def write(self, building: str, text: str) -> None:
        place = self.folder / "buildings" / building
        place.mkdir(parents=True, exist_ok=True)
        (place / "records.yaml").write_text(text, encoding="utf-8")

    def build(self) -> None:
        build_site(folder=self.folder, site_dir=self.site, as_of=AS_OF)

    def answer_with(self, status: int) -> None:
        """Let the server fail from now on; 0 to let it work."""
        self._failing = status

    def answer_after(self, seconds: float) -> None:
        """Let the server work, and take its time from now on."""
        self._failing, self._seconds = 0, seconds
        if not seconds:
            self._waits.set()

    def start(self) -> None:
        root, place = self.root, self

        class Handler(SimpleHTTPRequestHandler):
            def log_message(self, format: str, *args: object) -> None:  # noqa: A002
                pass

            def do_GET(self) -> None:
                if place._seconds:
                    place._waits.wait(place._seconds)
                if place._failing:
                    super().send_error(place._failing)
                else:
                    super().do_GET()

            def send_error(
                self, code: int, message: str | None = None, explain: str | None = None
            ) -> None:
                if code != 404:
                    super().send_error(code, message, explain)
                    return
                page = (root / BELOW / "404.html").read_bytes()
                self.send_response(404)
                self.send_header("Content-Type", "text/html; charset=utf-8")
                self.send_header("Content-Length", str(len(page)))
                self.end_headers()
                self.wfile.write(page)

        handler = functools.partial(Handler, directory=str(root))
        self._server = ThreadingHTTPServer(("127.0.0.1", self.port), handler)
        self.port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def stop(self) -> None:
        if self._server:
            self._server.shutdown()
            self._server.server_close()
            self._server = None


@contextmanager
def two_buildings(folder: Path, model: Place | None = None) -> Iterator[Place]:
    """Serve a house with faults, runs and traces, and an annex; as a copy of a model if given."""
    place = Place(folder)
    made = model or place
    if not made.site.exists():
        made.write("home", f"building: {{name: House}}\n{HOUSE}")
        made.write("annex", ANNEX)
        made.build()
    if model:
        shutil.copytree(model.folder, folder, dirs_exist_ok=True)
    place.start()
    try:
        yield place
    finally:
        place.stop()

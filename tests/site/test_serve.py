"""The live server, as a person uses it: edit, look, break something, mend it."""

import logging
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from recordgen.site.build import SiteNotBuilt, serve_site
from tests.site.conftest import Publish

# A records folder whose one file says what is on the page; "broken" cannot be read.
SERVER = """
import logging, sys
from pathlib import Path
from recordgen.problems import Location, Problem
from recordgen.site import plugin
from recordgen.site.build import serve_site
from tests.site.sample import SamplePortfolio, page

def load(folder, as_of, shown_as):
    text = (folder / "a.yml").read_text()
    place = Location("a.yml", 1, 1)
    wrong = [Problem("error", "made-up", "it is broken", place)] if "broken" in text else []
    return SamplePortfolio(tuple(wrong), (page("index.html", text),))

plugin.load_portfolio = load
plugin.all_pages = lambda portfolio, address: iter(portfolio.pages)
logging.basicConfig(level=logging.INFO, stream=sys.stderr, format="%(message)s")
serve_site(folder=Path(sys.argv[1]), address=("127.0.0.1", int(sys.argv[2])))
"""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def get(url: str) -> str:
    with urllib.request.urlopen(url, timeout=20) as answer:  # noqa: S310
        text: str = answer.read().decode()
        return text


def eventually(holds: object, seconds: float = 30) -> None:
    """Wait until the function returns something true; fail when it never does."""
    assert callable(holds)
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "did not happen in time"
        time.sleep(0.1)


@pytest.fixture
def running(owner: Path) -> Iterator[tuple[str, Path]]:
    """Yield address of a server for the folder, and the file that it logs to."""
    (owner / "buildings/a.yml").write_text("first words")
    port, log = free_port(), owner / "log.txt"
    with log.open("wb") as output:
        server = subprocess.Popen(
            [sys.executable, "-c", SERVER, str(owner), str(port)],
            cwd=Path(__file__).parents[2],
            stderr=output,
        )
        try:
            eventually(lambda: "Serving on" in log.read_text() or server.poll() is not None)
            yield f"http://127.0.0.1:{port}/", log
        finally:
            server.terminate()
            server.wait(timeout=20)


def test_an_edit_reloads_and_a_broken_file_keeps_the_last_good_pages(
    running: tuple[str, Path], owner: Path
) -> None:
    address, log = running
    records = owner / "buildings/a.yml"
    assert "first words" in get(address)
    assert "livereload(" in get(address)
    # The policy lets that script in, and a site that changes with every save is not kept.
    assert "script-src 'self' file: 'unsafe-inline'" in get(address)
    assert "keep-offline.js" not in get(address)

    records.write_text("second words")
    eventually(lambda: "second words" in get(address))

    records.write_text("broken words")
    eventually(lambda: "a.yml:1:1: error[made-up]: it is broken" in log.read_text())
    eventually(lambda: "The last good pages stay" in log.read_text())
    assert "second words" in get(address)

    records.write_text("mended words")
    eventually(lambda: "mended words" in get(address))
    assert "Traceback" not in log.read_text()


def test_an_address_that_is_taken_is_one_message(owner: Path, publish: Publish) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(SiteNotBuilt, match="in use"):
            serve_site(folder=owner, address=("127.0.0.1", other.getsockname()[1]))


def test_records_that_cannot_be_read_at_the_start_stop_it(
    owner: Path, publish: Publish, caplog: pytest.LogCaptureFixture
) -> None:
    (owner / "mkdocs.yml").write_text("site_name: S\nplugins: []\n")
    (owner / "docs").mkdir()
    with caplog.at_level(logging.INFO), pytest.raises(SiteNotBuilt, match="recordgen"):
        serve_site(folder=owner, address=("127.0.0.1", free_port()))

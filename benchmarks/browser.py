"""Run `python -m benchmarks.browser [PANELS]`: how a large building feels on a slow phone.

One building is made and published; Chromium opens it from the file system, slowed down four times.
Printed are the seconds until the finder answers for the first time, and later; and the weight of
every kind of page. Needs Chromium, as the tests do.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path
from statistics import mean

from benchmarks.generate import write_portfolio
from recordgen.site.build import build_site
from tests.browser import launched

AS_OF = dt.date(2026, 11, 25)
THROTTLE = 4
TYPED = ("lp-73 14", "r40-3 recpt", "lighting 57", "lp12 31", "kitchn r99-2")
ANSWERED = """text => {
  const box = document.querySelector("#find-box");
  const status = document.querySelector(".rg-finder [role=status]");
  const start = performance.now();
  return new Promise(resolve => {
    new MutationObserver((_, observer) => {
      if (!/found|recorded/.test(status.textContent)) return;
      observer.disconnect();
      resolve([performance.now() - start, status.textContent]);
    }).observe(status, { childList: true, characterData: true, subtree: true });
    box.value = text;
    box.dispatchEvent(new Event("input"));
  });
}"""


def main(panels: int) -> None:
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        write_portfolio(folder / "buildings", panels, a_building=panels)
        started = time.process_time()
        site = build_site(folder=folder, as_of=AS_OF)
        print(f"built in {time.process_time() - started:.0f} CPU s", flush=True)
        for line in weights(site):
            print(line)
        for line in finder(site):
            print(line, flush=True)


def weights(site: Path) -> list[str]:
    """Return number, mean and greatest weight of each kind of page, by folder or name."""
    found: dict[str, list[int]] = defaultdict(list)
    for page in site.glob("b000/**/*.html"):
        inside = page.relative_to(site / "b000").parts
        found[inside[0] if len(inside) > 1 else page.name].append(page.stat().st_size)
    for data in site.glob("b000/*.js"):
        found[data.name].append(data.stat().st_size)
    return [
        f"{kind:24} {len(sizes):6} x {mean(sizes) / 1e3:7.0f} kB, most {max(sizes) / 1e3:6.0f} kB"
        for kind, sizes in sorted(found.items())
    ]


def finder(site: Path) -> list[str]:
    """Return how long the finder takes."""
    lines = []
    with launched() as browser:
        page = browser.new_page(viewport={"width": 390, "height": 844})
        session = page.context.new_cdp_session(page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": THROTTLE})
        started = time.monotonic()
        page.goto((site / "b000" / "index.html").as_uri())
        lines.append(f"page loaded after {time.monotonic() - started:.1f} s")
        for number, text in enumerate(TYPED):
            took_ms, said = page.evaluate(ANSWERED, text)
            first = " (with loading the data)" if not number else ""
            lines.append(f"{text!r} answered after {took_ms / 1e3:.2f} s{first}: {said}")
    return lines


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)

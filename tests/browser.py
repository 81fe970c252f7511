"""A real browser for the tests of what people see, on screen and on paper."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

# The names that the Makefile looks for, too.
NAMES = (
    "chromium-headless-shell",
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextmanager
def launched() -> Iterator[Browser]:
    """Run Chromium or Chrome with an empty profile; a machine without one fails the tests."""
    found = [path for path in map(shutil.which, NAMES) if path]
    if not found:
        raise RuntimeError(f"no browser for the page tests, none of {NAMES}; see `make browser`")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found[0], args=list(QUIET))
        try:
            yield browser
        finally:
            browser.close()

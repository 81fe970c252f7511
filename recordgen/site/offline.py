"""Settings without which a site would ask another host for something, or not open from a stick."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel

HERE = Path(__file__).parent
STYLES = (
    "assets/recordgen.css",
    "assets/recordgen-tables.css",
    "assets/recordgen-planner.css",
    "assets/recordgen-faults.css",
    "assets/recordgen-strip.css",
    "assets/recordgen-proven.css",
    "assets/recordgen-diagram.css",
    "assets/recordgen-finder.css",
    "assets/recordgen-print.css",
    "assets/recordgen-worksheets.css",
    "assets/recordgen-door.css",
    "assets/recordgen-offline.css",
    "assets/recordgen-codes.css",
    "assets/recordgen-labels.css",
)
# The offline plugin of the theme loads this shim from the net unless a polyfill has this name.
WORKER_SHIM = "assets/iframe-worker.js"


def settle_offline(config: MkDocsConfig) -> Iterator[str]:
    """Change the configuration so that the site needs nobody else, and yield what was wrong.

    What has a harmless setting is set, whatever the owner wrote: a lockout sheet has to open in
    a basement without signal.
    """
    config.use_directory_urls = False
    config.theme["font"] = False
    config.extra["generator"] = False
    polyfills = [str(script) for script in config.extra.get("polyfills", [])]
    config.extra["polyfills"] = [WORKER_SHIM, *polyfills]
    config.extra_css = [*STYLES, *config.extra_css]
    if "material/search" in config.plugins and "material/offline" not in config.plugins:
        yield "plugins: without 'offline', search does not work when the site is opened from a file"
    if config.repo_url:
        yield f"repo_url: left out, the theme would ask {config.repo_url} for figures on every page"
        config.repo_url = None
    if config.extra.pop("analytics", None):
        yield "extra.analytics: left out, it would report every page to another host"
    requested = [*polyfills, *config.extra_css, *map(str, config.extra_javascript)]
    for address in requested:
        if address.startswith(("http://", "https://", "//")):
            yield f"{address}: is loaded from another host; put a copy into {config.docs_dir}"


def is_live(config: MkDocsConfig) -> bool:
    """Return whether the site is made for the live server, which sets the address to its own."""
    return bool(config.site_url) and str(config.site_url).startswith(f"http://{config.dev_addr}/")


def search_languages(config: MkDocsConfig) -> list[str]:
    """Return the languages of the theme's search; English if it has no word to say."""
    search = config.plugins.get("material/search") or config.plugins.get("search")
    asked = search.config.get("lang") if search else None
    return list(asked or ["en"])


def add_assets(files: Files, config: MkDocsConfig) -> None:
    """Put style sheets and scripts, with licences of what is not ours, among the files."""
    for path in sorted((HERE / "assets").iterdir()):
        name = f"assets/{path.name}"
        if files.get_file_from_path(name) is None:
            files.append(
                File(
                    name,
                    str(HERE),
                    config.site_dir,
                    use_directory_urls=False,
                    inclusion=InclusionLevel.NOT_IN_NAV,
                )
            )

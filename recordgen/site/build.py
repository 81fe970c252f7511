"""Building and serving a site from a configuration: what the commands call."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlsplit

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import get_plugin_logger

from recordgen.site.address import site_address
from recordgen.site.guide import guide_folder
from recordgen.site.plugin import RecordgenPlugin, RecordsUnreadable
from recordgen.site.swap import ForeignFolder, built_aside

log = get_plugin_logger("recordgen")

CONFIG_NAMES = ("mkdocs.yml", "mkdocs.yaml")


class SiteNotBuilt(Exception):
    """Nothing was built and the earlier site is as it was; the log or the message says why."""


def site_config(
    config_file: Path | None = None, *, folder: Path | None = None, as_of: date | None = None
) -> MkDocsConfig:
    """Read the configuration of a site.

    Parameters
    ----------
    config_file : Path or None
        The owner's `mkdocs.yml`; None to look for one in `folder`, and to do without if there is
        none.
    folder : Path or None
        Where `buildings/` is, if there is no `config_file`; the current folder if None.
    as_of : date or None
        Date to compute for, before that of the configuration.

    Raises
    ------
    SiteNotBuilt
        If the configuration is wrong, or does not name this plugin.
    """
    folder = (folder or Path.cwd()).resolve()
    found = [folder / name for name in CONFIG_NAMES if (folder / name).is_file()]
    owners = config_file or next(iter(found), None)
    try:
        config = load_config(str(owners)) if owners else _default_config(folder)
    except (Abort, ConfigurationError) as error:
        raise SiteNotBuilt(f"the configuration of the site cannot be used: {error}") from error
    plugin = config.plugins.get("recordgen")
    if not isinstance(plugin, RecordgenPlugin):
        raise SiteNotBuilt(f"{owners}: expected 'recordgen' in the list of plugins")
    if as_of:
        plugin.config.as_of = as_of.isoformat()
    # While the site is served, its `site_url` is that of this machine.
    plugin.config.address = plugin.config.address or site_address(None, config.site_url)
    return config


def _default_config(folder: Path) -> MkDocsConfig:
    text = Path(__file__).with_name("default_mkdocs.yml").read_bytes()
    return load_config(
        io.BytesIO(text),
        config_file_path=str(folder / CONFIG_NAMES[0]),
        docs_dir=str(guide_folder()),
        site_dir=str(folder / "site"),
    )


def build_site(
    config_file: Path | None = None,
    site_dir: Path | None = None,
    *,
    folder: Path | None = None,
    as_of: date | None = None,
    strict: bool = False,
) -> Path:
    """Build the site and return its folder; on any failure the earlier site stays as it was.

    Findings are logged below the logger `mkdocs`, as MkDocs does with all it has to say.

    Parameters
    ----------
    config_file, folder, as_of
        As for `site_config`.
    site_dir : Path or None
        Where to put the site, instead of the place that the configuration names.
    strict : bool
        Whether warnings, findings among them, keep the site from being built.

    Raises
    ------
    RecordsUnreadable
        If the records have errors; it carries them. MkDocs has logged them already.
    SiteNotBuilt
        If something else is wrong; also if the folder of the site holds what we have not made.
    """
    config = site_config(config_file, folder=folder, as_of=as_of)
    config.strict = config.strict or strict
    target = (site_dir or Path(config.site_dir)).resolve()
    with _failures_named(), built_aside(target) as new:
        config.site_dir = str(new)
        config.plugins.on_startup(command="build", dirty=False)
        try:
            build(config)
        finally:
            config.plugins.on_shutdown()
    return target


@contextmanager
def _failures_named() -> Iterator[None]:
    """Turn MkDocs' way of giving up, a kind of SystemExit, into our exceptions."""
    try:
        yield
    except Abort as stop:
        # MkDocs logs a BuildError and raises this in its place.
        if isinstance(stop.__context__, RecordsUnreadable):
            raise stop.__context__ from None
        reason = stop.__context__ or stop
        raise SiteNotBuilt(str(reason)) from stop
    except (ForeignFolder, OSError) as error:
        raise SiteNotBuilt(str(error)) from error


def serve_site(
    config_file: Path | None = None,
    *,
    folder: Path | None = None,
    as_of: date | None = None,
    address: tuple[str, int] | None = None,
    open_in_browser: bool = False,
) -> None:
    """Serve the site on this machine and build it again whenever a file changes, until Ctrl-C.

    If a change makes the records unreadable, the errors are logged and the last good pages stay.

    Parameters
    ----------
    config_file, folder, as_of
        As for `site_config`.
    address : (str, int) or None
        Host and port, instead of what the configuration names.
    open_in_browser : bool
        Whether to open the site in the browser of this machine.

    Raises
    ------
    RecordsUnreadable, SiteNotBuilt
        As for `build_site`, from the first build, or if the address is taken.
    """
    config = site_config(config_file, folder=folder, as_of=as_of)
    host, port = address or (str(config.dev_addr.host), int(config.dev_addr.port))
    with TemporaryDirectory(prefix="recordgen-") as scratch:
        shown = Path(scratch) / "site"

        def build_again(config: MkDocsConfig | None = None) -> None:
            try:
                _build_shown(
                    config or site_config(config_file, folder=folder, as_of=as_of),
                    shown,
                    server.url,
                )
            # Raising would make the server wait for a good build and answer nobody until then.
            except (RecordsUnreadable, SiteNotBuilt):
                log.error("The last good pages stay until this is mended")  # noqa: TRY400
            except Exception:
                log.exception("The last good pages stay; this is a mistake in the program")

        server = LiveReloadServer(
            builder=build_again,
            host=host,
            port=port,
            root=str(shown),
            mount_path=urlsplit(config.site_url or "/").path,
        )
        config.plugins.on_startup(command="serve", dirty=False)
        try:
            _build_shown(config, shown, server.url)
            _watch(server, config, build_again)
            with _failures_named():
                server.serve(open_in_browser=open_in_browser)
        except KeyboardInterrupt:
            log.info("Stopped")
        finally:
            server.shutdown()
            config.plugins.on_shutdown()


def _build_shown(config: MkDocsConfig, shown: Path, url: str) -> None:
    config.site_url = url
    config.dev_addr = type(config.dev_addr)(*_host_and_port(url))
    with _failures_named(), built_aside(shown) as new:
        config.site_dir = str(new)
        build(config, serve_url=url)


def _host_and_port(url: str) -> tuple[str, int]:
    host, _, port = urlsplit(url).netloc.rpartition(":")
    return host, int(port)


def _watch(server: LiveReloadServer, config: MkDocsConfig, builder: Callable[..., None]) -> None:
    server.watch(config.docs_dir)
    if config.config_file_path and Path(config.config_file_path).is_file():
        server.watch(config.config_file_path)
    config.plugins.on_serve(server, config=config, builder=builder)
    for path in config.watch:
        server.watch(path)

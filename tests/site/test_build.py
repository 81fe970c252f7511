import hashlib
import logging
import shutil
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from recordgen.problems import Location, Problem, Severity
from recordgen.site import plugin
from recordgen.site.build import SiteNotBuilt, build_site
from recordgen.site.plugin import RecordsUnreadable
from tests.site.conftest import Publish
from tests.site.sample import page

CONFIG = "site_name: S\ntheme: material\nplugins: [search, offline, recordgen]\n"


def problem(severity: Severity, line: int = 3) -> Problem:
    return Problem(severity, f"made-up-{severity}", "it is so", Location("a.yml", line, 7))


def contents(site: Path) -> dict[str, str]:
    """Return path → digest of the bytes, of every file of the site."""
    return {
        path.relative_to(site).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(site.rglob("*"))
        if path.is_file()
    }


def test_unreadable_records_leave_the_earlier_site_and_say_all_that_is_wrong(
    owner: Path, publish: Publish, caplog: pytest.LogCaptureFixture
) -> None:
    before = contents(build_site(folder=owner))
    publish(problems=(problem("error", 9), problem("warning"), problem("error", 2)))
    with pytest.raises(RecordsUnreadable) as raised:
        build_site(folder=owner)
    assert [p.location.line for p in raised.value.problems] == [2, 9]
    assert "2 errors\na.yml:2:7: error[made-up-error]: it is so\na.yml:9:7:" in caplog.text
    assert contents(owner / "site") == before
    assert sorted(p.name for p in owner.iterdir()) == ["buildings", "site"]


def test_findings_are_published_and_logged_where_mkdocs_counts_them(
    owner: Path, publish: Publish, caplog: pytest.LogCaptureFixture
) -> None:
    publish(problems=(problem("stop"), problem("warning"), problem("note")))
    with caplog.at_level(logging.INFO):
        build_site(folder=owner)
    levels = {
        record.getMessage().split("[")[1].split("]")[0]: (record.levelname, record.name)
        for record in caplog.records
        if "made-up" in record.getMessage()
    }
    logger = "mkdocs.plugins.recordgen"
    assert levels == {
        "made-up-stop": ("WARNING", logger),
        "made-up-warning": ("WARNING", logger),
        "made-up-note": ("INFO", logger),
    }


def test_strict_builds_nothing_when_there_are_findings(owner: Path, publish: Publish) -> None:
    before = contents(build_site(folder=owner, strict=True))
    publish((page("index.html", "changed"),), problems=(problem("stop"),))
    with pytest.raises(SiteNotBuilt, match="1 warning"):
        build_site(folder=owner, strict=True)
    assert contents(owner / "site") == before


@pytest.mark.parametrize("failure", [RuntimeError("a mistake"), KeyboardInterrupt()])
def test_a_failure_half_way_through_the_pages_leaves_the_earlier_site(
    owner: Path,
    publish: Publish,
    monkeypatch: pytest.MonkeyPatch,
    failure: BaseException,
) -> None:
    before = contents(build_site(folder=owner))

    def fail(*args: object, **kwargs: object) -> None:
        raise failure

    monkeypatch.setattr(plugin.RecordgenPlugin, "on_post_build", fail)
    with pytest.raises(type(failure)):
        build_site(folder=owner)
    assert contents(owner / "site") == before
    assert sorted(p.name for p in owner.iterdir()) == ["buildings", "site"]


def test_a_folder_of_somebody_else_is_left_alone(owner: Path, publish: Publish) -> None:
    with pytest.raises(SiteNotBuilt, match="has not made"):
        build_site(folder=owner, site_dir=owner)
    assert [p.name for p in owner.iterdir()] == ["buildings"]


def test_a_site_of_plain_mkdocs_with_our_plugin_may_be_replaced(
    owner: Path, publish: Publish
) -> None:
    build_site(folder=owner)
    (owner / "site" / "stray.html").write_text("")
    build_site(folder=owner)
    assert not (owner / "site" / "stray.html").exists()


def test_same_records_same_bytes(
    owner: Path, publish: Publish, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On another day, in another folder, with files of another age, in another process."""
    (owner / "mkdocs.yml").write_text(CONFIG + "site_url: http://records.invalid/\n")
    (owner / "docs").mkdir()
    (owner / "docs" / "rules.md").write_text("# Rules")
    first = contents(build_site(folder=owner, as_of=date(2026, 3, 1)))
    other = owner / "elsewhere" / "deeper"
    shutil.copytree(owner / "buildings", other / "buildings")
    shutil.copytree(owner / "docs", other / "docs")
    shutil.copyfile(owner / "mkdocs.yml", other / "mkdocs.yml")
    later = time.time() + 400 * 86400
    with monkeypatch.context() as clock:
        clock.setattr(time, "time", lambda: later)
        clock.setenv("SOURCE_DATE_EPOCH", str(int(later)))
        second = contents(build_site(folder=other, as_of=date(2026, 3, 1)))
    assert second == first
    assert "sitemap.xml.gz" in first
    assert "2026-03-01" in (owner / "site" / "sitemap.xml").read_text()
    third = contents(build_site(folder=owner, as_of=date(2026, 3, 2)))
    assert third != first


@pytest.mark.parametrize(
    ("option", "epoch", "chosen", "expected"),
    [
        ("as_of: 2026-01-01", "0", date(2026, 2, 2), date(2026, 2, 2)),
        ("as_of: 2026-01-01", "0", None, date(2026, 1, 1)),
        ("as_of: '2026-01-01'", "0", None, date(2026, 1, 1)),
        ("records: buildings", "0", None, date(1970, 1, 1)),
    ],
)
def test_the_date_and_the_folder_are_handed_to_the_records(
    owner: Path,
    publish: Publish,
    monkeypatch: pytest.MonkeyPatch,
    option: str,
    epoch: str,
    chosen: date | None,
    expected: date,
) -> None:
    asked: list[tuple[Path, date, str]] = []
    publish(asked=asked)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    (owner / "docs").mkdir()
    config = owner / "mkdocs.yml"
    config.write_text(
        f"site_name: S\ntheme: material\nplugins: [search, offline, recordgen: {{{option}}}]\n"
    )
    build_site(config, as_of=chosen)
    assert asked == [(owner / "buildings", expected, "buildings")]


@pytest.mark.parametrize(
    ("config", "message"),
    [
        ("site_name: S\ntheme: material\n", "expected 'recordgen' in the list of plugins"),
        ("site_name: S\nplugins: [recordgen: {records: nowhere}]\n", "configuration error"),
        ("site_name: S\nplugins: [recordgen: {as_of: 1 March}]\n", "expected YYYY-MM-DD"),
        ("site_name: [\n", "cannot be used"),
    ],
)
def test_a_wrong_configuration_is_one_message(
    owner: Path, publish: Publish, config: str, message: str
) -> None:
    (owner / "docs").mkdir()
    (owner / "mkdocs.yml").write_text(config)
    with pytest.raises(SiteNotBuilt, match=message):
        build_site(folder=owner)


def test_without_records_there_is_no_site(tmp_path: Path) -> None:
    with pytest.raises(SiteNotBuilt):
        build_site(folder=tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_named_configuration_that_is_missing_is_no_reason_to_do_without(owner: Path) -> None:
    with pytest.raises(SiteNotBuilt, match="does not exist"):
        build_site(owner / "mkdocs.yaml")


def plain_mkdocs(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run MkDocs itself, as installed, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


def test_plain_mkdocs_finds_the_plugin_and_misses_the_records(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text(CONFIG)
    done = plain_mkdocs(tmp_path)
    assert done.returncode == 1
    assert "buildings' isn't an existing directory" in done.stderr
    assert not (tmp_path / "site").exists()


def test_plain_mkdocs_keeps_the_earlier_site_when_real_records_cannot_be_read(
    tmp_path: Path,
) -> None:
    records = tmp_path / "buildings" / "shed" / "shed.yaml"
    records.parent.mkdir(parents=True)
    (tmp_path / "docs").mkdir()
    (tmp_path / "mkdocs.yml").write_text(CONFIG)
    records.write_text("building:\n  name: Shed\n")
    assert plain_mkdocs(tmp_path).returncode == 0
    before = contents(tmp_path / "site")
    assert "shed/index.html" in before
    records.write_text("building:\n  name: Shed\n  name: Barn\n")
    done = plain_mkdocs(tmp_path)
    assert done.returncode == 1
    assert "buildings/shed/shed.yaml:3:3: error[" in done.stderr
    assert "Traceback" not in done.stderr
    assert contents(tmp_path / "site") == before

from pathlib import Path

import pytest

from recordgen.site.swap import MARKER, ForeignFolder, built_aside, mark


def make(target: Path, text: str) -> None:
    with built_aside(target) as new:
        (new / "index.html").write_text(text)
        mark(new)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_new_folder_takes_the_place_of_the_earlier_one(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "site"
    make(target, "one")
    (target / "only-in-one.html").write_text("")
    make(target, "two")
    assert names(target) == [MARKER, "index.html"]
    assert (target / "index.html").read_text() == "two"
    assert names(target.parent) == ["site"]


@pytest.mark.parametrize("failure", [RuntimeError, KeyboardInterrupt, SystemExit])
def test_nothing_changes_when_the_build_fails(tmp_path: Path, failure: type[BaseException]) -> None:
    target = tmp_path / "site"
    make(target, "one")

    def fail() -> None:
        with built_aside(target) as new:
            (new / "index.html").write_text("half")
            raise failure

    with pytest.raises(failure):
        fail()
    assert (target / "index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


@pytest.mark.parametrize("failing", [1, 2])
def test_the_earlier_folder_is_back_when_the_exchange_is_interrupted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: int
) -> None:
    target = tmp_path / "site"
    make(target, "one")
    really_rename, calls = Path.rename, []

    def rename(self: Path, to: Path) -> Path:
        calls.append(to)
        if len(calls) == failing:
            raise KeyboardInterrupt
        return really_rename(self, to)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(KeyboardInterrupt):
        make(target, "two")
    assert (target / "index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


def test_a_build_that_was_killed_between_its_renames_is_put_right(tmp_path: Path) -> None:
    target = tmp_path / "site"
    make(target, "one")
    target.rename(tmp_path / ".site.earlier")

    def fail() -> None:
        with built_aside(target):
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert (target / "index.html").read_text() == "one"
    assert names(tmp_path) == ["site"]


def test_a_folder_with_something_else_in_it_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "thesis"
    target.mkdir()
    (target / "chapter-1.txt").write_text("years of work")
    with pytest.raises(ForeignFolder, match="holds something that recordgen has not made"):
        make(target, "two")
    assert names(target) == ["chapter-1.txt"]
    assert names(tmp_path) == ["thesis"]


def test_a_folder_that_became_foreign_during_the_build_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "site"

    def fill_meanwhile() -> None:
        with built_aside(target) as new:
            mark(new)
            target.mkdir()
            (target / "mine.txt").write_text("")

    with pytest.raises(ForeignFolder):
        fill_meanwhile()
    assert names(target) == ["mine.txt"]


def test_a_file_is_refused(tmp_path: Path) -> None:
    target = tmp_path / "site"
    target.write_text("mine")
    with pytest.raises(ForeignFolder, match="is a file"):
        make(target, "two")
    assert target.read_text() == "mine"


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    target = tmp_path / "site"
    target.mkdir()
    make(target, "one")
    assert (target / "index.html").read_text() == "one"


def test_a_link_goes_on_pointing_to_the_same_place(tmp_path: Path) -> None:
    place, link = tmp_path / "served", tmp_path / "site"
    place.mkdir()
    link.symlink_to(place)
    make(link, "one")
    assert link.is_symlink()
    assert (place / "index.html").read_text() == "one"


def test_others_may_read_the_folder_as_if_it_had_been_made_in_place(tmp_path: Path) -> None:
    (tmp_path / "usual").mkdir()
    make(tmp_path / "site", "one")
    assert (tmp_path / "site").stat().st_mode == (tmp_path / "usual").stat().st_mode

"""What the installed package says of itself."""

import tomllib
from importlib import metadata, resources
from pathlib import Path

import recordgen

ROOT = Path(__file__).parents[1]


def test_the_installed_version_is_that_of_the_source() -> None:
    assert metadata.version("recordgen") == recordgen.__version__


def test_the_package_carries_its_types() -> None:
    assert resources.files("recordgen").joinpath("py.typed").is_file()


def test_the_lock_pins_every_direct_dependency_and_names_no_host_or_path() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lock = (ROOT / "requirements-dev.txt").read_text()
    pinned = {
        line.split("==")[0].lower().replace("_", "-")
        for line in lock.splitlines()
        if "==" in line and not line.startswith((" ", "#"))
    }
    direct = project["dependencies"] + project["optional-dependencies"]["dev"]
    names = {
        requirement.split("[")[0].split(">")[0].split("=")[0].strip().lower()
        for requirement in direct
    }
    assert names <= pinned
    assert "://" not in lock
    assert "--find-links" not in lock

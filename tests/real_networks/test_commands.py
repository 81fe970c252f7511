"""Pages and commands on networks that nobody here drew (pandapower carries them)."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from recordgen.cli import main
from recordgen.pages.table import all_pages
from tests.real_networks.comparing import AS_OF, Case, case
from tests.real_networks.conversion import BUILDING
from tests.real_networks.nets import named

RING = "simple_mv_open_ring_net"


@pytest.mark.parametrize(
    ("name", "lockable"),
    [
        ("create_cigre_network_lv", False),
        ("simple_mv_open_ring_net", False),
        ("example_multivoltage", True),
        # With nothing lockable, each of its thousands of sheets would tell of the whole network.
        pytest.param("lv_schutterwald", True, marks=pytest.mark.long),
    ],
)
def test_every_panel_and_device_gets_its_page(tmp_path: Path, name: str, lockable: bool) -> None:
    found = case(tmp_path, named(name), lockable=lockable)
    network = found.portfolio.network
    paths = [page.path for page in all_pages(found.portfolio)]
    assert len(paths) == len(set(paths))
    panels = {f"net/panels/B-{bus}.html" for bus in found.standing.bus.index}
    switches = found.conversion.device_of.values()
    devices = {f"net/downstream/{tag.partition(':')[2]}.html" for tag in switches}
    sheets = {f"net/lockout/{tag.partition(':')[2]}.html" for tag in network.loads}
    assert panels | devices | sheets <= set(paths)


@pytest.fixture(scope="module")
def ring(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Case]:
    folder = tmp_path_factory.mktemp("ring")
    return folder, case(folder / "buildings", named(RING))


def test_check_finds_nothing_wrong(ring: tuple[Path, Case]) -> None:
    command = ["check", str(ring[0] / "buildings"), "--as-of", AS_OF.isoformat()]
    run = CliRunner().invoke(main, command)
    # Whether the switches can be locked is not recorded, nor what they are for: that is all.
    codes = {line.split("[")[1].split("]")[0] for line in run.stdout.splitlines() if "[" in line}
    assert (run.exit_code, codes) == (0, {"lockable-not-recorded", "entry-not-recorded"})


def test_downstream_names_the_loads_that_pandapower_finds_without_supply(
    ring: tuple[Path, Case],
) -> None:
    folder, found = ring
    for switches in [*found.one_by_one(), *found.several(2, 4)]:
        opened = [found.conversion.device_of[i].partition(":")[2] for i in switches]
        command = ["downstream", BUILDING, *opened, "--format", "json"]
        run = CliRunner().invoke(main, [*command, "--records", str(folder / "buildings")])
        assert run.exit_code == 0
        answer = json.loads(run.stdout)
        dark = {load["tag"] for load in answer["loads"] if load["outcome"] == "dark"}
        assert dark == found.lost(switches)
        assert answer["opened"] == opened


def test_build_publishes_what_each_switch_darkens(ring: tuple[Path, Case]) -> None:
    folder, found = ring
    program = Path(sys.executable).with_name("recordgen")
    run = subprocess.run(
        [program, "build", "--as-of", AS_OF.isoformat()],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    for switches in found.one_by_one():
        device = found.conversion.device_of[switches[0]].partition(":")[2]
        page = (folder / "site" / BUILDING / "downstream" / f"{device}.html").read_text("utf-8")
        for load in found.conversion.bus_of:
            name = load.partition(":")[2]
            assert (f">{name}</a>" in page) == (load in found.lost(switches)), (device, name)

"""What recorded raceways are made of; what the words mean is common practice."""

import pytest

from recordgen.calc.raceway_material import raceway_material


@pytest.mark.parametrize(
    ("text", "material"),
    [
        ("3/4 in EMT", "steel"),
        ("2 in RMC mast", "steel"),
        ("1 in IMC", "steel"),
        ("GRC", "steel"),
        ("2 in galvanized steel conduit", "steel"),
        ("steel", "steel"),
        ("PVC-coated RMC", "steel"),
        ("two 3 in steel conduits", "steel"),
        ("aluminium conductors in EMT", "steel"),
        ("EMT along the steel beam", "steel"),
        ("steel FMC", "steel"),
        ("3/4 in EMT to AC unit", "steel"),
        ("three 3 in PVC, in the ground", "PVC"),
        ("PVC along the steel beam", "PVC"),
        ("HDPE", "PVC"),
        ("ENT in the slab", "PVC"),
        ("1/2 in LFNC", "PVC"),
        ("NM-B", "PVC"),
        ("nonmetallic conduit", "PVC"),
        ("aluminum conduit", "aluminum"),
        ("2 in aluminium RMC", "aluminum"),
        ("Aluminum rigid conduit", "aluminum"),
        ("MC cable, aluminum armor", "aluminum"),
        ("aluminum-armored MC cable", "aluminum"),
    ],
)
def test_raceways_that_say_what_they_are_made_of(text: str, material: str) -> None:
    assert raceway_material(text) == material


@pytest.mark.parametrize(
    "text",
    [
        "",
        "two 4 in conduits",
        "MC cable",
        "1 in FMC",
        "LFMC",
        "AC cable",
        "wireway",
        "on the floor under cable ramps",
        "stainless steel RMC",
        "on steel beams",
        "aluminum conductors",
        "PVC-insulated wire",
        # Several on the way, and doubt.
        "EMT, then PVC in the ground",
        "EMT, then MC",
        "steel conduit, then FMC",
        "EMT and 6 ft of flex",
        "aluminum conduit, then EMT",
        "EMT or PVC",
        "EMT?",
        "probably EMT",
        "not EMT",
    ],
)
def test_raceways_that_do_not_stay_unknown(text: str) -> None:
    assert raceway_material(text) is None

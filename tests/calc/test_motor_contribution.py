import math

import pytest

from recordgen.calc.motor_contribution import motor_contribution_a, ship_fault_a
from tests.calc.worked_cases import expected, inputs


def test_rule_for_ships() -> None:
    # Case F10, 46 CFR 111.52-3, exact.
    case = inputs("F10")
    kinds = ("ship asymmetrical", "ship average", "ship direct current")
    currents = [ship_fault_a(case["gen_A"], case["mot_A"], kind) for kind in kinds]
    assert currents == expected("F10")


def test_motors_alone_give_what_the_asymmetrical_rule_for_ships_gives_them() -> None:
    # Two sources say 4: 46 CFR 111.52-3 (read) and IEEE 141 (from memory).
    assert motor_contribution_a(600) == ship_fault_a(0, 600, "ship asymmetrical") == 2400


def test_no_motors_add_nothing() -> None:
    assert motor_contribution_a(0) == 0


def test_what_is_out_of_range_is_named() -> None:
    for current in (-1, math.nan, math.inf):
        with pytest.raises(ValueError, match="full-load current"):
            motor_contribution_a(current)
    with pytest.raises(ValueError, match="no practice called harbour"):
        ship_fault_a(1, 1, "harbour")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="nothing about generators"):
        ship_fault_a(1, 1, "first cycle")  # type: ignore[arg-type]

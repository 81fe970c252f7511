"""Smallest equipment grounding and grounding electrode conductors."""

from __future__ import annotations

from recordgen.calc.conductor_area import circular_mils
from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize, Metal, read_conductor_size


def minimum_ground(device_a: float, metal: Metal) -> ConductorSize:
    """Return the smallest wire-type equipment grounding conductor behind a device.

    Parameters
    ----------
    device_a : float
        Rating or setting of the overcurrent device ahead [A].
    metal : "Cu" or "Al"
        Metal of the grounding conductor.

    Returns
    -------
    ConductorSize
        Size, with its metal.

    Raises
    ------
    ValueError
        The rating is not above zero, or beyond the table, 6000 A.

    Notes
    -----
    NEC table 250.122, 2014 edition; aluminium at 5000 and 6000 A is 1250 kcmil in later editions
    (from memory). A rating between two rows has the next row. Never larger than the circuit's own
    conductors (250.122(A)); with those increased, increased too (`increased_ground_circular_mils`);
    in each of several raceways in parallel, full size (250.122(F)). Metal raceway may itself be the
    ground (250.118), so a ground that is not recorded is no fault by itself.

    Examples
    --------
    >>> str(minimum_ground(100, "Cu")), str(minimum_ground(100, "Al"))
    ('8 AWG Cu', '6 AWG Al')
    """
    if not device_a > 0:
        raise ValueError(f"a device of {device_a:g} A cannot be")
    for row in rows("equipment_grounds"):
        if device_a <= float(row["device_up_to_a"]):
            return read_conductor_size(f"{row[f'{metal.lower()}_size']} {metal}")
    raise ValueError(f"the table of grounding conductors ends below {device_a:g} A")


def at_least(size: ConductorSize, other: ConductorSize) -> bool:
    """Return whether a conductor has at least the cross-section of another of the same metal.

    Parameters
    ----------
    size, other : ConductorSize
        Conductors of one metal, AWG, kcmil or mm2.

    Returns
    -------
    bool
        Whether `size` is as large as `other` or larger.

    Raises
    ------
    ValueError
        A metal is not recorded, or the metals differ: then the area alone says nothing.

    Notes
    -----
    By circular mils; mm² as `recordgen.calc.conductor_area.circular_mils` converts them.

    Examples
    --------
    >>> at_least(ConductorSize("4/0", "AWG", "Cu"), ConductorSize("250", "kcmil", "Cu"))
    False
    """
    for conductor in (size, other):
        if conductor.metal is None:
            raise ValueError(f"the metal of the {conductor} conductor is not recorded")
    if size.metal != other.metal:
        raise ValueError(f"{size} and {other} are of different metals")
    return circular_mils(size) >= circular_mils(other)


def increased_ground_circular_mils(
    minimum: ConductorSize, installed: ConductorSize, needed: ConductorSize
) -> float:
    """Return the area that a ground needs where the circuit's conductors were increased [cmil].

    Parameters
    ----------
    minimum : ConductorSize
        Smallest grounding conductor, from `minimum_ground`.
    installed : ConductorSize
        Ungrounded conductor as installed.
    needed : ConductorSize
        Smallest ungrounded conductor with enough ampacity, of the same metal.

    Returns
    -------
    float
        Area [circular mils].

    Raises
    ------
    ValueError
        The installed conductor is smaller than the one needed, a metal is not recorded, or the
        metals differ.

    Notes
    -----
    NEC 250.122(B), from memory: in proportion to the circular mils of the ungrounded conductors,
    where these are larger than their ampacity asks (for voltage drop, say). From the 2020 edition
    on an increase for ambient temperature or conductor count alone does not count, so `needed` is
    the size after correction and adjustment.

    Examples
    --------
    A 60 A circuit run in 3 AWG instead of 6 AWG for its length; 10 AWG grows to 6 AWG (26,240):

    >>> cu = lambda number: ConductorSize(number, "AWG", "Cu")
    >>> round(increased_ground_circular_mils(cu("10"), cu("3"), cu("6")))
    20815
    """
    if not at_least(installed, needed):
        raise ValueError(f"{installed} is smaller than {needed}, the smallest for its current")
    return circular_mils(minimum) * circular_mils(installed) / circular_mils(needed)


def minimum_grounding_electrode_conductor(
    service: ConductorSize, parallel: int = 1
) -> ConductorSize:
    """Return the smallest copper grounding electrode conductor of a service in copper.

    Parameters
    ----------
    service : ConductorSize
        Largest ungrounded service conductor, copper.
    parallel : int
        Conductors in parallel per phase; their areas are added.

    Returns
    -------
    ConductorSize
        Size, copper.

    Raises
    ------
    ValueError
        The service conductor is not recorded as copper, or none is in parallel.

    Notes
    -----
    NEC table 250.66, its copper columns; the aluminium columns were not seen in print, so they
    are not here. To rods, pipes or plates alone 6 AWG is enough, to concrete-encased electrodes
    4 AWG (250.66(A) and (B), from memory).

    Examples
    --------
    >>> str(minimum_grounding_electrode_conductor(ConductorSize("4/0", "AWG", "Cu")))
    '2 AWG Cu'
    """
    if service.metal != "Cu":
        raise ValueError(f"only services in copper are in the table here, not {service}")
    if parallel < 1:
        raise ValueError(f"{parallel} conductors in parallel cannot be")
    area = circular_mils(service) * parallel
    for row in rows("grounding_electrode_conductors"):
        up_to = row["service_cu_up_to_size"]
        if not up_to or area <= circular_mils(read_conductor_size(up_to)):
            return read_conductor_size(f"{row['cu_size']} Cu")
    raise ValueError(f"the table of grounding electrode conductors has no {service}")

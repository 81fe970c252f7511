"""Murray loop: distance to a fault to ground from the balance of a bridge."""

from __future__ import annotations

from recordgen.calc.interval import Interval, above_zero


def equivalent_loop_m(
    faulty_length_m: Interval,
    sound_length_m: Interval,
    faulty_ohm_per_km: float,
    sound_ohm_per_km: float,
) -> Interval:
    """Return the loop as a length of the faulty conductor alone [m].

    Parameters
    ----------
    faulty_length_m, sound_length_m : Interval
        Lengths of the faulty conductor and of the sound one that closes the loop [m]: of the
        conductors, slack and risers included, not of the route.
    faulty_ohm_per_km, sound_ohm_per_km : float
        Resistances at one temperature [Ω/km].

    Returns
    -------
    Interval
        Length of faulty conductor that has the resistance of the whole loop [m]. Twice the run
        where both conductors are alike.

    Raises
    ------
    ValueError
        A length or resistance that is not above zero.

    Notes
    -----
    L + L_sound × r_sound / r_faulty (Ohm's law). The jumper at the far end counts as nothing: bolt
    it on, of the conductors' size or larger (common practice). Both conductors at one temperature.

    Examples
    --------
    >>> run = Interval(595, 600, 605)
    >>> equivalent_loop_m(run, run, 0.727, 0.727)
    Interval(low=1190.0, best=1200.0, high=1210.0)
    """
    if not (faulty_ohm_per_km > 0 and sound_ohm_per_km > 0):
        raise ValueError("the resistance of a conductor is above zero")
    above_zero(faulty_length_m, "the length of the faulty conductor")
    above_zero(sound_length_m, "the length of the sound conductor")
    ratio = sound_ohm_per_km / faulty_ohm_per_km
    return Interval(
        faulty_length_m.low + ratio * sound_length_m.low,
        faulty_length_m.best + ratio * sound_length_m.best,
        faulty_length_m.high + ratio * sound_length_m.high,
    )


def distance_m(
    sound_arm_ohm: Interval, faulty_arm_ohm: Interval, loop_m: Interval, faulty_length_m: Interval
) -> Interval:
    """Return how far along the faulty conductor the fault lies, from the bridge [m].

    Parameters
    ----------
    sound_arm_ohm : Interval
        P: the arm of the bridge that is joined to the sound conductor, at balance [Ω].
    faulty_arm_ohm : Interval
        Q: the arm that is joined to the faulty conductor, at balance [Ω].
    loop_m : Interval
        The loop as a length of the faulty conductor, see `equivalent_loop_m` [m].
    faulty_length_m : Interval
        Length of the faulty conductor, from bridge to jumper [m].

    Returns
    -------
    Interval
        Distance from the bridge [m], with everything the uncertainties allow. It may reach beyond
        the far end: then the end itself is suspect.

    Raises
    ------
    ValueError
        An arm or length that is not above zero, or a best figure beyond the far end of the faulty
        conductor: the arms are taken the wrong way round, or the fault is on the other conductor.

    Notes
    -----
    Q / (P + Q) × loop: at balance the two parts of the loop are to each other as the arms. Some
    pages print (P + Q) / Q; that is beyond the loop. Source: textbooks on electrical measurement;
    the formula read in a published examination question. For one fault, to ground or to a sound
    third conductor, whose own resistance falls out of the balance as long as the instrument still
    moves; no use for an open conductor. On conductors that are isolated and proven dead.

    Examples
    --------
    P = 3 Ω, Q = 1 Ω and a cable of 600 m, each known to 1 %:

    >>> run = Interval(594, 600, 606)
    >>> loop = equivalent_loop_m(run, run, 0.727, 0.727)
    >>> found = distance_m(Interval(2.97, 3, 3.03), Interval(0.99, 1, 1.01), loop, run)
    >>> found.best, round(found.low), round(found.high)
    (300.0, 293, 308)
    """
    above_zero(sound_arm_ohm, "an arm of the bridge")
    above_zero(faulty_arm_ohm, "an arm of the bridge")
    above_zero(loop_m, "the length of the loop")
    above_zero(faulty_length_m, "the length of the faulty conductor")
    # It grows with Q and the loop, and shrinks as P grows: so the ends go with the ends.
    found = Interval(
        _share(sound_arm_ohm.high, faulty_arm_ohm.low) * loop_m.low,
        _share(sound_arm_ohm.best, faulty_arm_ohm.best) * loop_m.best,
        _share(sound_arm_ohm.low, faulty_arm_ohm.high) * loop_m.high,
    )
    if found.best > faulty_length_m.high:
        raise ValueError(
            f"{found.best:g} m is beyond the faulty conductor, which ends at "
            f"{faulty_length_m.best:g} m: arms swapped, or the fault is on the other conductor"
        )
    return found


def _share(sound_arm_ohm: float, faulty_arm_ohm: float) -> float:
    return faulty_arm_ohm / (sound_arm_ohm + faulty_arm_ohm)

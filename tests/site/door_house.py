"""Panels of every size, with long descriptions in every circuit, and a load of thirty feeds."""

LONG = "Receptacles along the north wall of the workroom, bench {n}"
"""Describes a circuit at some length: 58 letters, two lines on a card with its room."""


def circuits(first: int, last: int) -> str:
    """Return circuits of one pole with long descriptions, from one position to another."""
    return "\n".join(
        f"      {n}: {{description: '{LONG.format(n=n)}', device: {{rating: 20 A, poles: 1}}, "
        f"loads: {{R-{n}-{last}: {{kind: receptacle, room: {100 + n}}}}}}}"
        for n in range(first, last + 1)
    )


_ROOMS = "\n".join(f"  {n}: Workroom {n}" for n in range(101, 185))
_FEEDS = ", ".join(f"P30/{n}" for n in range(1, 31))
_THIRTY = "\n".join(f"      {n}: {{device: {{rating: 20 A, poles: 1}}}}" for n in range(1, 31))
DOORS = f"""
rooms:
  E1: Electrical room
  R9: Roof
{_ROOMS}
sources: {{U: {{kind: utility, system: 208Y/120}}, G: {{kind: generator}}}}
panels:
  MSB:
    kind: switchboard
    system: 208Y/120
    fed_from: U
    room: E1
    directions: behind the door at the end of the corridor
    circuits:
      1: {{description: Panel P42, device: {{rating: 225 A, poles: 3}}}}
      2: {{description: Panel P84}}
      4: {{description: Panel P30}}
      3: {{description: Standby, normal: open, backfed_from: G, device: 200 A}}
  P42:
    kind: panelboard
    name: Workroom power
    system: 208Y/120
    bus_rating: 225 A
    main: lugs
    positions: 42
    numbering: odd left
    room: E1
    directions: left of the door
    fed_from: MSB/1
    circuits:
      1-3-5:
        description: Saw
        device: {{rating: 60 A, poles: 3}}
        loads: {{SAW: {{kind: motor}}}}
      2:
        description: Fan of the roof
        device: {{rating: 20 A, poles: 1}}
        normal: open
        lock_in_force: {{since: 2026-11-19, by: R.T.}}
      4A: {{description: Bell, device: 15 A, loads: none}}
      4B: {{description: Clock, device: 15 A, loads: unknown}}
{circuits(6, 37)}
      39: spare
      40: space
      42: {{loads: {{X-42: {{kind: fan, room: R9}}}}}}
  P84:
    kind: panelboard
    positions: 84
    fed_from: MSB/2
    circuits:
{circuits(1, 40)}
      41-43-45: {{description: Compressor, device: {{rating: 100 A, poles: 3}}, loads: none}}
{circuits(46, 84)}
  P30:
    kind: panelboard
    main: lugs
    lockable: yes
    room: E1
    directions: third from the door
    key: K7
    fed_from: MSB/4
    circuits:
{_THIRTY}
loads:
  RACK: {{kind: IT, connection: fixed, fed_from: [{_FEEDS}]}}
"""

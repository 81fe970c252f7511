"""Made-up runs, readings and located stretches, of every difficult kind a strip has to draw."""

from hypothesis import strategies as st

from recordgen.evidence.run_places import Stretch, places
from recordgen.pages.run_strip import run_strip
from recordgen.pages.strip_parts import Band, Strip
from recordgen.records.field import Reading, Run

UNITS = ("ft", "m", "in", "cm")


@st.composite
def strips(draw: st.DrawFn) -> Strip:
    """Draw a run: crowded or empty, with and without distances, ground, readings and bands."""
    unit = draw(st.sampled_from(UNITS))
    longest = draw(st.sampled_from((0.4, 30.0, 450.0, 20_000.0)))
    distance = st.floats(0, longest).map(lambda value: f"{value:.2f} {unit}")
    landmark = st.fixed_dictionaries(
        {"what": st.sampled_from(("box", "sleeve", "elbow, down"))},
        optional={
            "at": distance,
            "underground": st.sampled_from(("yes", "no")),
            "depth": st.sampled_from(("18 in", "24 in", "0.6 m", "3 ft")),
        },
    )
    marks = draw(st.lists(landmark, max_size=40))
    reading = st.fixed_dictionaries(
        {
            "at": st.one_of(distance, st.just("box"), st.just("behind the tank")),
            "values": st.one_of(
                st.lists(st.integers(0, 99).map(str), min_size=1, max_size=3),
                st.sampled_from(("1.5 V", "140", "-3")),
            ),
        },
        optional={"sensitivity": st.sampled_from(("1", "4", "8", "10"))},
    )
    run = Run.model_validate({"of": "LP-1/3", "landmarks": marks}) if marks else None
    read = [Reading.model_validate(each) for each in draw(st.lists(reading, max_size=25))]
    ends = st.tuples(st.floats(-2, longest), st.floats(0, longest)).map(sorted)
    names = st.sampled_from(("Fault in 90 of 100 cases", "Bridge", "Not shown by a reading"))
    kinds = st.sampled_from(("located", "bounds", "gap"))
    bands = draw(st.lists(st.builds(_band, names, ends, kinds), max_size=6))
    joined = draw(st.one_of(st.none(), st.floats(0, longest)))
    return run_strip(
        run,
        anchor="case",
        title="A run",
        readings=places(read, run),
        bands=bands,
        transmitter_m=joined,
    )


def _band(name: str, ends: list[float], kind: str) -> Band:
    return Band(name, Stretch(ends[0], ends[1]), kind)  # type: ignore[arg-type]

"""What is put into a file, and that nothing else of it changes."""

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from recordgen.records.yaml_insert import NotSafe, with_item, with_key, with_record

BUILDINGS = Path(__file__).parents[2] / "buildings"
STEP = {"step": "closed", "by": "R.T."}


def load(text: str) -> Any:
    """Return what PyYAML makes of a text, by its faster parser."""
    return yaml.load(text, Loader=yaml.CSafeLoader)  # it is a safe one


def added(old: str, new: str) -> str:
    """Return what stands in the new text between two unchanged parts of the old one."""
    before = next((i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), len(old))
    after = len(old) - before
    assert new[:before] == old[:before]
    assert new[len(new) - after :] == old[before:]
    return new[before : len(new) - after]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("", "traces:\n  T-2:\n    by: A\n", id="nothing yet"),
        pytest.param("# c\n", "# c\n\ntraces:\n  T-2:\n    by: A\n", id="comment alone"),
        pytest.param(
            "traces:\n  T-1: {by: B}\n", "traces:\n  T-1: {by: B}\n  T-2:\n    by: A\n", id="block"
        ),
        pytest.param(
            "traces:\n  T-1: {by: B} # why\n  # of T-1\n\n# of the rest\nfaults:\n  F: {}\n",
            "traces:\n  T-1: {by: B} # why\n  # of T-1\n  T-2:\n    by: A\n\n"
            "# of the rest\nfaults:\n  F: {}\n",
            id="comments",
        ),
        pytest.param(
            "traces:\n    T-1:\n        by: B",
            "traces:\n    T-1:\n        by: B\n    T-2:\n      by: A\n",
            id="no line end, other indentation",
        ),
        pytest.param("traces: {T-1: {by: B}}\n", "traces: {T-1: {by: B}, T-2: {by: A}}\n", id="{}"),
        pytest.param("traces: {}\n", "traces: {T-2: {by: A}}\n", id="empty braces"),
        pytest.param("traces:\nx: 1\n", "traces:\n  T-2:\n    by: A\nx: 1\n", id="empty section"),
        pytest.param(
            "traces:\n  T-1:\n    by: |\n      two\n      lines\n\nx: 1\n",
            "traces:\n  T-1:\n    by: |\n      two\n      lines\n\n  T-2:\n    by: A\nx: 1\n",
            id="block scalar",
        ),
        pytest.param(
            "x: 1\r\ntraces:\r\n  T-1: {by: 😀}\r\n",
            "x: 1\r\ntraces:\r\n  T-1: {by: 😀}\r\n  T-2:\r\n    by: A\r\n",
            id="line ends of another kind, and a wide character",
        ),
        pytest.param("x: 1", "x: 1\n\ntraces:\n  T-2:\n    by: A\n", id="other sections"),
    ],
)
def test_a_record_goes_to_the_end_of_its_section(text: str, expected: str) -> None:
    found = with_record(text, "traces", "T-2", {"by": "A"})
    assert found.text == expected
    line = found.text.splitlines()[found.line - 1]
    assert line.strip().startswith(("T-2", "traces"))


@pytest.mark.parametrize(
    "text",
    [
        "- a\n",
        "traces: [a]\n",
        "traces: ~\n",
        "x: &a {by: B}\ntraces:\n  T-1: *a\n",
        "traces:\n  T-1: {by: B}\n...\n" + "---\n",
        "x: 1\n...\n",
        "a: [\n",
        "{x: 1}\n",
    ],
)
def test_where_it_cannot_be_told_nothing_is_put_in(text: str) -> None:
    with pytest.raises(NotSafe):
        with_record(text, "traces", "T-2", {"by": "A"})


def test_a_tag_that_is_there_is_not_written_over() -> None:
    with pytest.raises(NotSafe):
        with_record("traces:\n  T-2: {by: B}\n", "traces", "T-2", {"by": "A"})


FAULTS = {
    "block of flow": (
        "faults:\n  F-1:\n    steps:\n      - {step: found} # seen\n    notes: n\n",
        "      - {step: closed, by: R.T.}\n",
    ),
    "block of block": (
        "faults:\n  F-1:\n    steps:\n    -   step: found\n        by: A\n\n    notes: n\n",
        "    -   {step: closed, by: R.T.}\n",
    ),
    "flow": (
        "faults:\n  F-1: {kind: open, steps: [{step: found}]}\n  F-2: {}\n",
        ", {step: closed, by: R.T.}",
    ),
    "flow over lines": (
        "faults:\n  F-1: {steps: [{step: found},\n    {step: located},\n  ], notes: n}\n",
        ", {step: closed, by: R.T.}",
    ),
    "empty flow": ("faults:\n  F-1:\n    steps: []\n    notes: n\n", "{step: closed, by: R.T.}"),
    "no value": (
        "faults:\n  F-1:\n    steps:\n    notes: n\n",
        "      - {step: closed, by: R.T.}\n",
    ),
    "no key": (
        "faults:\n  F-1:\n    kind: open\n\n  F-2: {}\n",
        "    steps:\n      - {step: closed, by: R.T.}\n",
    ),
    "no key in braces": (
        "faults: {F-1: {kind: open}}\n",
        ", steps: [{step: closed, by: R.T.}]",
    ),
    "last of the file": (
        "faults:\n  F-1:\n    steps:\n      - {step: found}",
        "\n      - {step: closed, by: R.T.}\n",
    ),
}


@pytest.mark.parametrize("kind", FAULTS)
def test_a_step_goes_to_the_end_of_its_list(kind: str) -> None:
    old, piece = FAULTS[kind]
    found = with_item(old, ("faults", "F-1"), "steps", STEP)
    at = found.text.index(piece)
    assert found.text[:at] + found.text[at + len(piece) :] == old
    assert load(found.text)["faults"]["F-1"]["steps"][-1] == STEP
    assert "closed" in found.text.splitlines()[found.line - 1 :][piece.count("steps:\n")]


@pytest.mark.parametrize(
    "text",
    [
        "x: &s {step: found}\nfaults:\n  F-1:\n    steps:\n      - *s\n",
        "x: &l [{step: found}]\nfaults:\n  F-1:\n    steps: *l\n",
        "x: &f {steps: []}\nfaults:\n  F-1: *f\n",
        "faults:\n  F-1:\n    steps:\n      -\n        step: found\n",
        "faults:\n  F-1: {steps: none}\n",
        "faults:\n  F-9: {}\n",
    ],
)
def test_a_step_that_cannot_be_placed_is_refused(text: str) -> None:
    with pytest.raises(NotSafe):
        with_item(text, ("faults", "F-1"), "steps", STEP)


def test_a_key_goes_to_the_end_of_its_record() -> None:
    old = "faults:\n  F-1:\n    kind: open # sic\n  F-2: {kind: open}\n"
    found = with_key(old, ("faults", "F-1"), "cause", "frost")
    assert found.text == old.replace("# sic\n", "# sic\n    cause: frost\n")
    found = with_key(old, ("faults", "F-2"), "cause", "frost: thaw")
    assert found.text == old.replace("{kind: open}", '{kind: open, cause: "frost: thaw"}')
    with pytest.raises(NotSafe):
        with_key(old, ("faults", "F-1"), "kind", "short")


FILES = sorted(BUILDINGS.rglob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(BUILDINGS)))
def test_every_demo_file_takes_a_trace_and_a_step_and_keeps_every_other_byte(path: Path) -> None:
    old = path.read_bytes().decode()
    new = with_record(old, "traces", "NEW-1", {"by": "A", "readings": [{"at": "x"}]}).text
    assert "NEW-1" in added(old, new)
    before: dict[str, Any] = load(old)
    after = load(new)
    assert after["traces"].pop("NEW-1") == {"by": "A", "readings": [{"at": "x"}]}
    assert after == {"traces": {}, **before}
    for tag in before.get("faults", {}):
        new = with_item(old, ("faults", tag), "steps", STEP).text
        assert added(old, new).strip() == "- {step: closed, by: R.T.}"
        assert load(new)["faults"][tag]["steps"][-1] == STEP


scalars = st.text(st.characters(blacklist_categories=["Cs", "Cc"]), max_size=8) | st.integers()
records = st.recursive(
    scalars,
    lambda inside: (
        st.lists(inside, max_size=3) | st.dictionaries(st.text("ab-1", max_size=3), inside)
    ),
    max_leaves=12,
)


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(st.sampled_from(["traces", "faults", "x"]), st.dictionaries(
        st.from_regex(r"[A-Z]-[1-8]", fullmatch=True), st.dictionaries(
            st.sampled_from(["steps", "kind", "notes"]), records, max_size=3), max_size=3)),
    st.sampled_from([True, False, None]),
    st.integers(2, 6),
    st.text("ab: #-'\"", min_size=1, max_size=8),
)  # fmt: skip
def test_whatever_pyyaml_writes_takes_a_record_or_is_refused_unharmed(
    data: Any, style: bool | None, indent: int, text: str
) -> None:
    old = yaml.safe_dump(data, default_flow_style=style, indent=indent, allow_unicode=True)
    try:
        new = with_record(old, "traces", "T-9", {"by": text}).text
    except NotSafe:
        assert old.startswith("{"), "only what is all in braces may be refused"
        return
    assert "T-9" in added(old, new) or not old.strip("{}\n")
    after = load(new)
    assert after["traces"].pop("T-9") == {"by": text}
    assert after == {"traces": {}, **data}

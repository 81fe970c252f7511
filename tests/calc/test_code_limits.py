"""Single figures of the code."""

import pytest

from recordgen.calc.code_limits import code_limit
from recordgen.calc.published import rows


def test_limits_are_read_by_name() -> None:
    # 310.10(G): 1/0 AWG and larger; from memory.
    assert code_limit("parallel_smallest_size") == "1/0 AWG"
    with pytest.raises(KeyError):
        code_limit("parallel_largest_size")


def test_every_limit_names_its_clause_and_stands_once() -> None:
    limits = [row["limit"] for row in rows("code_limits")]
    assert len(set(limits)) == len(limits)
    assert all(row["clause"] for row in rows("code_limits"))

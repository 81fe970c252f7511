"""Cases of voltage drop and fault current worked elsewhere; each names its source."""

import json
from pathlib import Path
from typing import Any

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case
    for case in json.loads(
        (Path(__file__).parent / "data" / "drop_and_fault_cases.json").read_text("utf-8")
    )
}


def inputs(case: str) -> dict[str, Any]:
    return CASES[case]["inputs"]


def expected(case: str) -> Any:
    return CASES[case]["expected"]

"""Cases worked elsewhere; each names its source and whether that was read or is from memory."""

import json
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent / "data"
CASES: dict[str, dict[str, Any]] = {
    case["id"]: case
    for path in sorted(DATA.glob("*_cases.json"))
    for case in json.loads(path.read_text("utf-8"))
}


def inputs(case: str) -> dict[str, Any]:
    return CASES[case]["inputs"]


def expected(case: str) -> Any:
    return CASES[case]["expected"]

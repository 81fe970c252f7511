"""Run `python -m benchmarks [PANELS ...]`: time, memory and growth of each stage.

Each stage of each size runs in a process of its own, so that memory is that stage's and nothing is
warm from the one before. Nothing is written but temporary folders.
"""

from __future__ import annotations

import math
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from benchmarks.generate import write_portfolio
from benchmarks.stages import STAGES, measured

SIZES = (10, 100, 300)


def main(sizes: tuple[int, ...]) -> None:
    before: dict[str, tuple[int, float]] = {}
    print("panels  stage         wall s    CPU s  peak MB  growth  made", flush=True)
    for size in sizes:
        with tempfile.TemporaryDirectory() as scratch:
            write_portfolio(Path(scratch) / "buildings", size)
            for stage in STAGES:
                with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
                    found = process.submit(measured, stage, scratch).result()
                growth = ""
                if stage in before:
                    smaller, took = before[stage]
                    growth = f"{math.log(found.cpu_s / took) / math.log(size / smaller):.2f}"
                before[stage] = (size, found.cpu_s)
                print(
                    f"{size:6}  {stage:12} {found.wall_s:7.1f} {found.cpu_s:8.1f}"
                    f" {found.peak_mb:8.0f}  {growth:>6}  {found.made}",
                    flush=True,
                )


if __name__ == "__main__":
    main(tuple(int(word) for word in sys.argv[1:]) or SIZES)

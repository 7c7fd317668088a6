"""Measure what the plan promises, side by side in one run: medians of interleaved runs, stated as ratios."""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

IMPORTS = "import yaml, sqlite3"


def environment(home: Path) -> dict[str, str]:
    """Return a measured process's environment: a home of its own, and modules kept compiled, as installed."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "DIAGNOSE_HOME": str(home)}


def seconds(code: list[str], home: Path) -> float:
    """Return the wall time of one process."""
    before = time.perf_counter()
    subprocess.run(code, check=True, capture_output=True, env=environment(home))
    return time.perf_counter() - before


def side_by_side(runs: int, home: Path, **commands: list[str]) -> dict[str, float]:
    """Return the median seconds of each command, run in turns; each is run once before, unmeasured."""
    times: dict[str, list[float]] = {name: [] for name in commands}
    for command in commands.values():
        seconds(command, home)
    for _ in range(runs):
        for name, command in commands.items():
            times[name].append(seconds(command, home))
    return {name: statistics.median(taken) for name, taken in times.items()}


def main() -> int:
    """Print the table; write JSON when asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", type=Path, help="write the figures here too")
    parser.add_argument("--runs", type=int, default=15)
    options = parser.parse_args()
    from club import costs
    from long_journal import milliseconds as long_journal
    from orders import ratios
    from phones_bench import measured
    from screens import BARE, OURS, key_to_paint
    from searching import milliseconds
    from tune import opened

    from diagnose.graph.load import load

    figures: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        python = [sys.executable, "-c"]
        case = HERE.parents[1] / "demo" / "needle-at-once.yaml"
        walk = [sys.executable, "-m", "diagnose", "walk", "--answers", str(case), "--json"]
        told = side_by_side(options.runs, home, walk=walk, imports=[*python, IMPORTS])
        figures["walk --answers / import yaml, sqlite3"] = told["walk"] / told["imports"]
        told = side_by_side(options.runs, home, ours=[*python, OURS], bare=[*python, BARE])
        figures["first screen / bare app"] = told["ours"] / told["bare"]
        figures.update(asyncio.run(key_to_paint(home)))
        before = time.perf_counter()
        knowledge = load(cache=None)
        cold = time.perf_counter() - before
        load(cache=home / "cache")
        before = time.perf_counter()
        load(cache=home / "cache")
        figures["load unchanged / load and prove"] = (time.perf_counter() - before) / cold
        figures.update(milliseconds(knowledge))
        figures.update(long_journal(knowledge, home, options.runs))
        figures.update(ratios(knowledge))
        figures.update(opened(knowledge, home))
        figures.update(costs(home))
        figures.update(measured(environment(home)))
    width = max(map(len, figures))
    for name, figure in figures.items():
        print(f"{name:<{width}}  {figure:10.4g}")
    if options.json:
        options.json.write_text(json.dumps(figures, indent=2) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

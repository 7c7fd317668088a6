"""Measure what learning is worth on simulated clubs: python tests/bench/clubs.py --seed 44 --clubs 6."""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from functools import partial
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1])]


def main() -> int:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", default="41")
    parser.add_argument("--clubs", type=int, default=4)
    parser.add_argument("--cars", type=int, default=150)
    parser.add_argument("--outings", type=int, nargs="+", default=[100, 400, 1600])
    parser.add_argument("--spread", type=float)
    parser.add_argument("--strength", type=float)
    parser.add_argument("--cores", type=int, default=2)
    options = parser.parse_args()
    from diagnose.graph.load import load
    from diagnose.measure.clubs import SPREAD, Clubs, outcome, report
    from diagnose.reason.learned import STRENGTH

    spread = SPREAD if options.spread is None else options.spread
    plan = Clubs(
        options.seed,
        options.clubs,
        tuple(options.outings),
        options.cars,
        spread=spread,
        strength=options.strength or STRENGTH,
    )
    with multiprocessing.get_context("spawn").Pool(options.cores) as pool:
        found = report(plan, pool.imap(partial(outcome, load(), plan), range(plan.clubs), 1))
    rows = {"outings that count": found.confirmed, "of these, naming what was wrong": found.right}
    rows |= {f"minutes over the files', {way}": figure for way, figure in found.minutes.items()}
    rows |= {f"cured, {way}": figure for way, figure in found.cured.items()}
    for what, figure in rows.items():
        print(f"{what:50} {figure.value:.3f}  {figure.low:.3f} to {figure.high:.3f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())

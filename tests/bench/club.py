"""What a club's own knowledge costs: the proof with twenty symptoms more, an entry seen, and a change reviewed."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import yaml

from diagnose.graph.load import read_all

SYMPTOMS = 20
WEIGHT = "format: 1\npressure-line-off:\n  keep the rest: true\n  explains: {revs-hang: 9}\n"


def folder(at: Path) -> Path:
    """Write a club's folder with symptoms of its own: shipped ones under other ids, with a case each."""
    found = read_all()
    chosen = list(found.knowledge.symptoms)[:SYMPTOMS]
    symptoms = {f"own-{name}": {**found.entries["symptoms"][name], "name": f"own {name}"} for name in chosen}
    faults = {
        name: {"keep the rest": True, "explains": more}
        for name, fault in found.knowledge.faults.items()
        if (more := {f"own-{one}": min(weight + 1, 40) for one, weight in fault.explains.items() if one in chosen})
    }
    (at / "cases").mkdir(parents=True)
    for kind, entries in (("symptoms", symptoms), ("faults", faults)):
        (at / f"{kind}.yaml").write_text(
            yaml.safe_dump({"format": 1, **entries}, allow_unicode=True, sort_keys=False, width=1000), "utf-8"
        )
    for name in chosen:
        case = next(entry for entry in found.entries["cases"].values() if entry["symptom"] == name)
        text = yaml.safe_dump({**case, "symptom": f"own-{name}"}, allow_unicode=True, sort_keys=False, width=1000)
        (at / "cases" / f"own-{name}.yaml").write_text(text, "utf-8")
    return at


def processor(arguments: list[str], home: Path, wanted: int = 0) -> float:
    """Return the seconds of processor time of one command, with its children."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = [sys.executable, "-m", "diagnose", *arguments]
    done = subprocess.run(
        run, capture_output=True, text=True, env={**os.environ, "DIAGNOSE_HOME": str(home)}, check=False
    )
    assert done.returncode == wanted, done.stdout[-2000:] + done.stderr[-2000:]
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def costs(home: Path) -> dict[str, float]:
    """Return the figures: a ratio of two proofs, and seconds of an entry seen and of one weight reviewed."""
    own, weight = folder(home / "own"), home / "weight"
    weight.mkdir()
    (weight / "faults.yaml").write_text(WEIGHT, "utf-8")
    plain, more = (
        min(times)
        for times in zip(
            *([processor(["prove"], home), processor(["prove", str(own)], home)] for _ in range(2)), strict=True
        )
    )
    shown = ["--knowledge", str(weight), "preview", "pressure-line-off"]
    first, *again = (processor(shown, home / "fresh") for _ in range(6))
    before = time.perf_counter()
    cpu = processor(["review", str(weight)], home)
    return {
        f"prove with {SYMPTOMS} symptoms of a club / without": more / plain,
        "preview, seconds of processor time": min(again),
        "the first preview ever, seconds of processor time": first,
        "review of one weight, seconds of processor time": cpu,
        "review of one weight, seconds on the clock": time.perf_counter() - before,
    }


if __name__ == "__main__":
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as made:
        for name, figure in costs(Path(made)).items():
            print(f"{name:<52} {figure:8.3g}")

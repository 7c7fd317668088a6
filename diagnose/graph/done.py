"""Everything that hands do: checks, mends, preparations and re-tests, each as one thing that is done to the car."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from diagnose.graph.model import Knowledge, Work


class Deed(NamedTuple):
    """Something that hands do: where it stands in the knowledge, what it does to the car, and its text."""

    path: tuple[str, ...]
    work: Work
    text: tuple[str, ...]

    @property
    def name(self) -> str:
        """What it is called in a problem."""
        return f"the re-test of '{self.path[1]}'" if self.path[-1] == "retest" else f"'{self.path[1]}'"


def everything(known: Knowledge) -> Iterator[Deed]:
    """Yield every check, mend, preparation and re-test; a screw that is tuned is turned by an adjustment."""
    yield from (Deed(("checks", name), check, check.how) for name, check in known.checks.items())
    for name, fault in known.faults.items():
        if fault.turned:
            continue
        recheck = (fault.mend.recheck,) if fault.mend.recheck else ()
        yield Deed(("faults", name, "mend"), fault.mend, (*fault.mend.do, *recheck))
    yield from (Deed(("preparations", name), step, step.do) for name, step in known.preparations.items())
    yield from (Deed(("symptoms", n, "retest"), one.retest, one.retest.do) for n, one in known.symptoms.items())


def cautions_of(known: Knowledge, deed: Deed) -> tuple[str, ...]:
    """Return the hazards that a deed lists."""
    kind, name = deed.path[:2]
    match kind:
        case "checks":
            return known.checks[name].cautions
        case "faults":
            return known.faults[name].mend.cautions
        case "preparations":
            return known.preparations[name].cautions
        case _:
            return known.symptoms[name].retest.cautions

"""The rules of the table of parts: every name exists, and what a row says holds of the fault that stands for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.graph.link import Book
from diagnose.graph.model import Failing, Knowledge, fault_of
from diagnose.graph.problem import Place, Problem, did_you_mean

if TYPE_CHECKING:
    from diagnose.graph.read import FilesRead
    from diagnose.graph.routes import Proof  # with networkx


def links(book: Book) -> Iterator[Problem]:
    """Yield each name in a row that nothing has, and each row with neither a fault nor a reason, or with both."""
    for name, row in book.knowledge.failings.items():
        here = ("failings", name)
        yield from book.unknown("parts", row.part, *here, "part")
        for number, symptom in enumerate(row.symptoms):
            yield from book.unknown("symptoms", symptom, *here, "symptoms", str(number))
        if row.look is not None:
            yield from book.unknown("checks", row.look, *here, "look")
        if row.fault is not None:
            yield from book.no_hypothesis(row.fault, *here, "fault")
        if "-" in row.taken_for and " " not in row.taken_for:
            yield from book.unknown("faults", row.taken_for, *here, "taken for")
        yield from _stands(book, name, row)


def _stands(book: Book, name: str, row: Failing) -> Iterator[Problem]:
    """See that a row has either a fault and a look at it, or a reason."""
    if row.fault is None and row.because is None:
        what = f"no fault stands for '{name}': name it with 'fault:', or say why none does with 'because:'"
        yield book.problem("failing-stands", what, "failings", name)
    elif row.fault is not None and row.because is not None:
        what = f"a fault stands for '{name}', so that 'because:' has nothing to say"
        yield book.problem("failing-stands", what, "failings", name, "because")
    elif row.fault is not None and row.look is None and not _unseen(book.knowledge, row.fault):
        what = f"'{name}' does not say which 'look:' shows '{row.fault}'"
        yield book.problem("failing-look", what, "failings", name)


def _unseen(known: Knowledge, hypothesis: str) -> bool:
    """Say whether this is a form that says itself why no look shows it."""
    fault = known.faults.get(fault_of(hypothesis))
    form = fault.hypotheses(fault_of(hypothesis)).get(hypothesis) if fault else None
    return form is not None and form.because is not None


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each row whose fault does not explain its complaints, or whose look can't show its fault."""
    known = proof.knowledge
    for name, row in known.failings.items():
        if row.fault is None:
            continue
        fault = known.faults[fault_of(row.fault)]
        for number, symptom in enumerate(row.symptoms):
            if symptom not in fault.explains:
                what = f"'{row.fault}' does not explain '{symptom}'{did_you_mean(symptom, fault.explains)}"
                yield proof.problem("failing-symptom", what, "failings", name, "symptoms", str(number))
        if row.look is not None and not shown(known, row.look, row.fault):
            able = [look for look in known.checks if shown(known, look, row.fault)]
            what = f"'{row.look}' can't show '{row.fault}'; {_listed(able)}"
            yield proof.problem("failing-look", what, "failings", name, "look")


def shown(known: Knowledge, look: str, fault: str) -> bool:
    """Say whether a look can show a fault or a form: as a check does, or, of a screw, as a sign of how it is set."""
    check, about = known.checks[look], known.faults[fault_of(fault)]
    set_so = (about.screw, about.setting)
    return fault in known.shown_by(check) or any(set_so in answer.sign.items() for answer in check.answers.values())


def without_row(found: FilesRead) -> Iterator[Problem]:
    """Yield each fault that no row stands for."""
    for fault in unlisted(found.knowledge):
        where = found.places.get(("faults", fault), Place("knowledge", 1, 1))
        yield Problem(where, "fault-without-part", f"no row of the table of parts stands for '{fault}'")


def unlisted(known: Knowledge) -> Iterator[str]:
    """Yield the faults that no row stands for; none where there is no table."""
    listed = {fault_of(row.fault) for row in known.failings.values() if row.fault}
    return (name for name in known.faults if listed and name not in listed)


def _listed(able: list[str]) -> str:
    return f"these can: {', '.join(able)}" if able else "no look can"

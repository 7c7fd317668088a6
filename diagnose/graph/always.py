"""What is so whatever else is written: the first looks that are always owed, and the findings that ground the engine.

Both are labels that the walk reads where they stand, at the fault and at the answer. One that is lost there would
disarm a rule, and nothing else would miss it. So ``always.yaml`` says them once more, and the two are held against each
other, both ways.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from diagnose.graph.link import Book
from diagnose.graph.problem import Problem, did_you_mean

if TYPE_CHECKING:
    from diagnose.graph.routes import Proof  # with networkx, which reading does not need


def links(book: Book) -> Iterator[Problem]:
    """Yield each fault, check and answer that does not exist."""
    for name, one in book.knowledge.always.items():
        here = ("always", name)
        for number, fault in enumerate(one.first_look):
            yield from book.unknown("faults", fault, *here, "first look", str(number))
        for check, answers in one.answers.items():
            yield from book.unknown("checks", check, *here, "answers", check)
            known = book.knowledge.checks[check].answers if check in book.knowledge.checks else answers
            for number, answer in enumerate(answers):
                if answer not in known and ("checks", check) not in book.replaced:
                    what = f"'{check}' has no answer '{answer}'{did_you_mean(answer, known)}"
                    yield book.problem("unknown-name", what, *here, "answers", check, str(number))


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each label that is not as ``always.yaml`` says, and each that it does not know of."""
    yield from _first_looks(proof)
    yield from _grounds(proof)


def _first_looks(proof: Proof) -> Iterator[Problem]:
    known = proof.knowledge
    owed = {fault for one in known.always.values() for fault in one.first_look}
    for name, fault in known.faults.items():
        if name in owed and fault.first_look != "always":
            what = f"'{name}' is owed whatever the symptom, as always.yaml says; write 'first look: always'"
            yield proof.problem("always-owed", what, "faults", name, "first look")
        if name not in owed and fault.first_look == "always":
            what = f"'{name}' has 'first look: always', and no entry of always.yaml lists it under 'first look:'"
            yield proof.problem("always-owed", what, "faults", name, "first look")


def _grounds(proof: Proof) -> Iterator[Problem]:
    known = proof.knowledge
    listed: dict[tuple[str, str], set[str]] = {}
    for one in known.always.values():
        for asked, answers in one.answers.items():
            for title in answers if one.grounds else ():
                listed.setdefault((asked, title), set()).add(str(one.grounds))
    for name, check in known.checks.items():
        for title, answer in check.answers.items():
            wanted = listed.get((name, title), set())
            at = ("checks", name, "answers", title)
            if wanted and answer.grounds not in wanted:
                what = f"'{title}' always grounds the engine, as always.yaml says; write 'grounds: {min(wanted)}'"
                yield proof.problem("always-grounds", what, *at, "grounds")
            elif answer.grounds and not wanted:
                what = f"'{title}' grounds the engine ({answer.grounds}), and no entry of always.yaml lists it"
                yield proof.problem("always-grounds", what, *at, "grounds")

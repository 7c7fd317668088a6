"""Rule 9, proven: nothing cranks or runs the engine with something open, except a step that says why.

The walk closes up by itself before such a step, by what was really done. The proof sees to it that it can, and that
the knowledge says of every step what it takes off: a text that does so without the label is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from diagnose.graph.done import Deed, everything
from diagnose.graph.model import CLOSE, RUNNING, Knowledge, Opening, Work
from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof
from diagnose.graph.safety import listed

_CRANKS = re.compile(
    r"\b(?:turn(?: it| the engine)? with the starter|pull the cord|switch the starter on for"
    r"|let (?:it|the starter|the box) turn (?:it|the engine)|pull slowly a few times)\b",
    re.IGNORECASE,
)
_RUNS = re.compile(r"(?:^|[.:,] |\band )(?:run|start) (?:it|the engine)\b", re.IGNORECASE)
_PUTS_BACK = re.compile(
    r"\b(?:re)?fit(?: \w+)|\bput\b.* (?:back|together|on)\b|\bhome\b|\b(?:close|shut|mesh|tighten|unclamp|hook)\b"
    r"|\btake the (?:clamp|rag)s? off\b|\btake the rag out\b|\b(?:then|and) snug\b|\bsnug it\b",
    re.IGNORECASE,
)
_VERBS = {"open": ("open",), "clamped": ("clamp",)}
_SENTENCE = re.compile(r"(?<=[.!?:;])\s+")


class Breach(NamedTuple):
    """What is wrong with a step."""

    rule: str
    what: str


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield every way to break one of these rules."""
    known = proof.knowledge
    steps = list(everything(known))
    for step in steps:
        for found in (*_labels(step, known), *_texts(step, known)):
            yield proof.problem(found.rule, f"{step.name} {found.what}", *step.path)
    yield from _closed(proof, steps)


def _labels(step: Deed, known: Knowledge) -> Iterator[Breach]:
    """See that what is open while the engine turns is meant, and that a bench state opens what it is named for."""
    work = step.work
    if work.engine == "off" and work.may_be_open:
        yield Breach("open-while-turning", "neither cranks nor runs the engine: 'may be open:' says nothing there")
    if work.engine != "off":
        left = [n for n in work.takes_off if n not in work.puts_back and n not in work.may_be_open]
        if left:
            what = (
                f"{_turns(work)} the engine and leaves {listed(left)} open; put it back, or say why in 'may be open:'"
            )
            yield Breach("open-while-turning", what)
    if step.path[0] == "faults" and work.state in RUNNING:
        yield Breach(
            "mend-runs", "is a mend made with the engine running; only looks, re-tests and preparations run it"
        )
    for name, opening in known.openings.items():
        if opening.state == work.state and name not in work.takes_off:
            yield Breach("opening-unsaid", f"is made in the state '{work.state}'; say 'takes off: [{name}]'")
        left_before = opening.state is not None and step.path[0] == "checks"
        if name in work.puts_back and name not in work.takes_off and not left_before:
            yield Breach("opening-unsaid", f"puts back '{name}', which it does not take off; say so in 'takes off:'")
    if known.openings and work.state == "stripped" and not work.takes_off:
        yield Breach("opening-unsaid", "is made in the state 'stripped', and has no 'takes off:'")


def _texts(step: Deed, known: Knowledge) -> Iterator[Breach]:
    """See that the labels say what the text does."""
    sentences = [sentence for text in step.text for sentence in _SENTENCE.split(text)]
    for name, opening in known.openings.items():
        said = next((one for one in sentences if name not in step.work.takes_off and takes_off(opening, one)), None)
        if said is not None:
            yield Breach("opening-unsaid", f"says \"{said}\" and not 'takes off: [{name}]'")
    if step.work.puts_back and not any(_PUTS_BACK.search(one) for one in sentences):
        yield Breach(
            "opening-unsaid", f"'puts back:' {listed(list(step.work.puts_back))}, and its text puts nothing back"
        )
    cranked = next((one for one in sentences if _CRANKS.search(one) and "never" not in one), None)
    if cranked is not None and not step.work.cranks:
        yield Breach("cranks-unsaid", f"says \"{cranked}\" and not 'cranks: true'")
    started = next((one for one in sentences if _RUNS.search(one)), None)
    if started is not None and step.path[0] == "faults":
        yield Breach("mend-runs", f'says "{started}"; a mend ends with the engine off, and the re-test starts it')


def takes_off(opening: Opening, sentence: str) -> bool:
    """Say whether a sentence of a text takes this part off, or opens it: what to look for, `open` ends in."""
    nouns, ways = _ways(opening.open, (opening.name, *opening.also))
    lower = sentence.lower()
    if any(said.lower() in lower for said in opening.said):
        return True
    return any(noun in lower for noun in nouns) and any(way.search(sentence) for way in ways)


@lru_cache(256)
def _ways(told: str, names: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[re.Pattern[str], ...]]:
    """Return what an opening is called, and the ways in which a text can open it."""
    nouns = tuple(name.removeprefix("the ").lower() for name in names)
    noun, last = "|".join(map(re.escape, nouns)), told.split()[-1]
    verbs = ["unhook", "unscrew", "remove", *_VERBS.get(last, ())]
    ways = [rf"\b(?:{'|'.join(verbs)})(?: the| its| both)?(?: fuel| pressure)? (?:{noun})\b"]
    if last in ("off", "out"):
        ways += [
            rf"\b(?:take|lift|pull|push|draw)\b(?: \w+){{0,3}} (?:{noun})\b(?: \w+){{0,5}}? {last}\b",
            rf"(?<!switch the )\b(?:{noun})\b(?:,| is)?(?: cold and)? {last}\b(?! of)",
            rf"\b(?:{noun})\b[^.]*\b(?:take|lift) it {last}\b",
        ]
    return nouns, tuple(re.compile(way, re.IGNORECASE) for way in ways)


def _closed(proof: Proof, steps: list[Deed]) -> Iterator[Problem]:
    """See that the walk can close up: else tell of a step that turns the engine after one that leaves it open."""
    close = proof.knowledge.preparations.get(CLOSE)
    if close is not None and close.engine == "off" and not close.takes_off and not close.head and not close.back:
        return
    for opener in steps:
        for name in opener.work.open_after(()):
            turning = (one for one in steps if one.work.engine != "off" and name not in one.work.may_be_open)
            if (after := next(turning, None)) is not None:
                what = (
                    f"after {opener.name} {proof.knowledge.openings[name].open}, and {after.name} {_turns(after.work)}"
                )
                what += f" the engine: the program needs a preparation '{CLOSE}', made with the engine off"
                yield proof.problem("close-up-missing", what, *opener.path)
                return


def _turns(work: Work) -> str:
    return "cranks" if work.cranks else "runs"

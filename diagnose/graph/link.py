"""Cross references: every name that an entry uses is one that exists, and what is written fits together.

Each rule takes the `Book` and yields problems. What a route can lead to is another matter, and proven elsewhere.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from diagnose.graph.model import (
    RUNNING,
    Adjust,
    Ask,
    Case,
    Check,
    Fault,
    Knowledge,
    Node,
    Only,
    Prepare,
    Refer,
    Sweep,
)
from diagnose.graph.places import Path
from diagnose.graph.problem import Place, Problem, did_you_mean
from diagnose.graph.say import REFERENCE

NOT_ANSWERS = ("can't tell", "no tool now")
"""Offered with every check, and so never written as its answers."""

RETEST = "re-test"
"""Under this key a case says how the re-tests come out; other keys are checks, preparations and mended faults."""

WAYS = {"idle stop": ("in", "out")}
"""The ways that a screw turns; a needle goes leaner or richer."""

PICTURE_WIDTH, PICTURE_HEIGHT = 40, 12


class Book(NamedTuple):
    """What the rules look at."""

    knowledge: Knowledge
    """The entries that fit the model."""
    names: Mapping[str, Iterable[str]]
    """Every id of each kind, those too whose entry does not fit."""
    areas: Iterable[str]
    """Every area that a fault has."""
    raw: Mapping[str, Mapping[str, Any]]
    """The entries as written."""
    places: Mapping[Path, Place]
    broken: Iterable[str] = ()
    """The kinds of which a file can't be read: what it would name is not known to be missing."""
    replaced: Collection[Path] = ()
    """The entries that stand in place of an earlier layer's."""

    def at(self, path: Path) -> Place:
        """Return where `path` stands, or the nearest part above it that stands somewhere."""
        while path and path not in self.places:
            path = path[:-1]
        return self.places.get(path, Place("knowledge", 1, 1))

    def problem(self, rule: str, what: str, *path: str) -> Problem:
        """Return a problem of the part that `path` leads to."""
        return Problem(self.at(path), rule, what)

    def unknown(self, kind: str, name: str, *path: str) -> Iterator[Problem]:
        """Yield a problem if nothing of `kind` is called `name`."""
        known = self.areas if kind == "areas" else self.names.get(kind, ())
        if name not in known and ("faults" if kind == "areas" else kind) not in self.broken:
            one = "question" if kind == "history" else kind.removesuffix("s")
            yield self.problem(f"unknown-{one}", f"unknown {one} '{name}'{did_you_mean(name, known)}", *path)


def problems(book: Book) -> Iterator[Problem]:
    """Yield everything that does not fit together, in no order."""
    yield from _texts(book)
    yield from _faults(book)
    yield from _checks(book)
    yield from _routes(book)
    yield from _others(book)


def case_problems(case: Case, book: Book, *path: str) -> Iterator[Problem]:
    """Yield every name in a worked case that does not exist."""
    yield from book.unknown("symptoms", case.symptom, *path, "symptom")
    for question, answer in case.history.items():
        yield from book.unknown("history", question, *path, "history", question)
        yield from _answer(book, "history", question, answer, ("skipped",), *path, "history", question)
    for asked, given in case.answers.items():
        here = (*path, "answers", asked)
        if asked != RETEST and not any(asked in book.names[kind] for kind in ("preparations", "faults")):
            yield from book.unknown("checks", asked, *here)
        for one in given if isinstance(given, tuple) else [given]:
            if isinstance(one, str):
                yield from _answer(book, "checks", asked, one, NOT_ANSWERS, *here)
            elif (check := book.knowledge.checks.get(asked)) and check.reading is None:
                yield book.problem("reading", f"'{asked}' asks for no reading, so {one:g} answers nothing", *here)
    for number, fault in enumerate(case.faults or ()):
        for name in [fault] if isinstance(fault, str) else list(fault):
            yield from book.unknown("faults", name, *path, "faults", str(number))
    if case.expect is not None:
        yield from _names(book, "faults", case.expect.mended, *path, "expect", "mended")


def _answer(book: Book, kind: str, name: str, answer: str, others: tuple[str, ...], *path: str) -> Iterator[Problem]:
    """Yield a problem if `answer` is none of the answers of the check or question `name`."""
    asked = book.knowledge.checks.get(name) if kind == "checks" else book.knowledge.history.get(name)
    if asked is not None and answer not in asked.answers and answer not in others:
        hint = did_you_mean(answer, asked.answers)
        yield book.problem("unknown-answer", f"'{name}' has no answer '{answer}'{hint}", *path)


def _texts(book: Book) -> Iterator[Problem]:
    """See that every <fact-id> in a text names a fact."""

    def walk(data: Any, path: Path) -> Iterator[Problem]:
        if isinstance(data, str):
            for found in REFERENCE.finditer(data):
                yield from book.unknown("facts", found[1], *path)
        elif isinstance(data, dict):
            for key, part in data.items():
                if key != "picture":
                    yield from walk(part, (*path, key))
        elif isinstance(data, list):
            for number, part in enumerate(data):
                yield from walk(part, (*path, str(number)))

    for kind, entries in book.raw.items():
        yield from walk(entries, (kind,))


def _names(book: Book, kind: str, names: Iterable[str], *path: str) -> Iterator[Problem]:
    """Yield a problem for each item of a list that is no name of `kind`."""
    for number, name in enumerate(names):
        yield from book.unknown(kind, name, *path, str(number))


def _drawing(book: Book, where: str | None, *path: str) -> Iterator[Problem]:
    """Yield a problem if `where` is no drawing."""
    if where is not None:
        yield from book.unknown("drawings", where, *path)


def _faults(book: Book) -> Iterator[Problem]:
    for name, fault in book.knowledge.faults.items():
        here = ("faults", name)
        for symptom in fault.explains:
            yield from book.unknown("symptoms", symptom, *here, "explains", symptom)
        yield from _names(book, "cautions", fault.mend.cautions, *here, "mend", "cautions")
        yield from _names(book, "areas", fault.mend.touches, *here, "mend", "touches")
        yield from _drawing(book, fault.mend.where, *here, "mend", "where")
        if fault.first_look == "none" and fault.because is None:
            what = f"'{name}' has no first look; say why with 'because:'"
            yield book.problem("first-look-because", what, *here, "first look")
        yield from _screw(book, name, fault)


def _screw(book: Book, name: str, fault: Fault) -> Iterator[Problem]:
    """See that a screw's fault says which screw and how it is set, and another fault neither."""
    said = fault.screw is not None and fault.setting is not None
    if fault.kind == "screw" and not said:
        yield book.problem("screw-setting", f"'{name}' is a screw's: it needs 'screw:' and 'setting:'", "faults", name)
    elif fault.mechanical and (fault.screw or fault.setting):
        what = f"'{name}' is mechanical: it has no 'screw:' and no 'setting:'"
        yield book.problem("screw-setting", what, "faults", name)
    elif said:
        fits = ("open", "shut") if fault.screw == "idle stop" else ("rich", "lean", "off")
        if fault.setting not in fits:
            what = f"the {fault.screw} can't be '{fault.setting}', only {' or '.join(fits)}"
            yield book.problem("screw-setting", what, "faults", name, "setting")


def _checks(book: Book) -> Iterator[Problem]:
    guards: dict[str, str] = {}
    for name, check in book.knowledge.checks.items():
        here = ("checks", name)
        yield from _names(book, "cautions", check.cautions, *here, "cautions")
        yield from _drawing(book, check.where, *here, "where")
        if (check.look == "strip") != (check.opens is not None):
            what = "a strip-down says what it 'opens:'" if check.look == "strip" else "a first look opens nothing"
            yield book.problem("opens", what, *here, "look")
        if check.guard is not None:
            yield from _guard(book, name, check)
            if check.guard in guards:
                what = f"'{guards[check.guard]}' is the {check.guard} guard already"
                yield book.problem("guard", what, *here, "guard")
            guards[check.guard] = name


def _guard(book: Book, name: str, check: Check) -> Iterator[Problem]:
    """See that a guard is a first look, made with the engine off, on every engine."""
    if check.state in RUNNING or check.look != "first" or check.only != Only():
        what = f"'{name}' is a guard: a first look, made with the engine off, on every engine"
        yield book.problem("guard", what, "checks", name, "guard")


def _routes(book: Book) -> Iterator[Problem]:
    for name, symptom in book.knowledge.symptoms.items():
        here = ("symptoms", name)
        yield from _names(book, "cautions", symptom.cautions, *here, "cautions")
        yield from _names(book, "cautions", symptom.retest.cautions, *here, "retest", "cautions")
        for title, node in symptom.route.items():
            at = (*here, "route", title)
            for key, target in _targets(node):
                known = [*symptom.route, *(book.names["symptoms"] if isinstance(node, Ask) and key != "else" else ())]
                if target not in known and not (isinstance(node, Ask) and "symptoms" in book.broken):
                    yield book.problem(
                        "unknown-node", f"the route has no node '{target}'{did_you_mean(target, known)}", *at, key
                    )
            yield from _node(book, node, *at)


def _targets(node: Node) -> Iterator[tuple[str, str]]:
    """Yield the keys of a node that lead on, each with where it leads."""
    exits: dict[str, str | None] = {"else": node.otherwise}
    match node:
        case Sweep():
            exits["then"] = node.then
        case Ask():
            exits |= node.branches
        case Adjust():
            exits |= {"better": node.better, "same": node.same, "worse": node.worse}
        case Prepare():
            exits |= {"then": node.then, "too cool": node.too_cool, "too hot": node.too_hot, "won't run": node.wont_run}
        case Refer():
            pass
    for key, target in exits.items():
        if target is not None:
            yield key, target


def _node(book: Book, node: Node, *at: str) -> Iterator[Problem]:
    if (node.only == Only()) != (node.otherwise is None):
        yield book.problem("node-else", f"'{at[-1]}': 'only:' and 'else:' go together", *at)
    match node:
        case Sweep():
            yield from _names(book, "areas", node.sweep, *at, "sweep")
        case Ask():
            yield from book.unknown("checks", node.ask, *at, "ask")
            for answer in node.branches:
                yield from _answer(book, "checks", node.ask, answer, NOT_ANSWERS, *at, answer)
            check = book.knowledge.checks.get(node.ask)
            if check is not None and check.guard is not None:
                yield book.problem("guard", "the guards come by themselves; routes don't name them", *at, "ask")
        case Prepare():
            yield from book.unknown("preparations", node.prepare, *at, "prepare")
        case Adjust():
            yield from _adjust(book, node, *at)
        case Refer():
            pass


def _adjust(book: Book, node: Adjust, *at: str) -> Iterator[Problem]:
    """See to one screw, at most one hour; only the idle stop follows, and only the low needle."""
    steps = [(node.adjust, node.way, node.hours, at)]
    for screw, step in node.follow.items():
        steps.append((screw, step.way, step.hours, (*at, "follow", screw)))
        if (node.adjust, screw) != ("low needle", "idle stop"):
            what = "two screws in one step; only the idle stop follows, and only the low needle"
            yield book.problem("follow", what, *at, "follow", screw)
    for screw, way, hours, path in steps:
        ways = WAYS.get(screw, ("leaner", "richer"))
        if way not in ways:
            yield book.problem("way", f"the {screw} goes {' or '.join(ways)}, not {way}", *path, "way")
        if not 0 < hours <= 1:
            what = f"{hours:g} hours; an adjustment turns a screw by at most one hour"
            yield book.problem("one-hour", what, *path, "hours")


def _others(book: Book) -> Iterator[Problem]:
    for name, preparation in book.knowledge.preparations.items():
        yield from _names(book, "cautions", preparation.cautions, "preparations", name, "cautions")
    for name, settings in book.knowledge.engines.items():
        yield from _drawing(book, settings.where, "engines", name, "where")
    for name, drawing in book.knowledge.drawings.items():
        rows = drawing.picture.splitlines()
        widest = max(map(len, rows), default=0)
        if widest > PICTURE_WIDTH:
            what = f"the picture is {widest} columns wide; at most {PICTURE_WIDTH} fit"
            yield book.problem("picture-width", what, "drawings", name, "picture")
        if len(rows) > PICTURE_HEIGHT:
            what = f"the picture is {len(rows)} lines high; at most {PICTURE_HEIGHT} fit"
            yield book.problem("picture-height", what, "drawings", name, "picture")
    yield from _states(book)


def _states(book: Book) -> Iterator[Problem]:
    """See that every bench state that something is made in says how long it takes to get there."""
    k = book.knowledge
    used: list[tuple[str, Path]] = [(check.state, ("checks", name, "state")) for name, check in k.checks.items()]
    used += [(fault.mend.state, ("faults", name, "mend", "state")) for name, fault in k.faults.items()]
    used += [(symptom.retest.state, ("symptoms", name, "retest", "state")) for name, symptom in k.symptoms.items()]
    used += [(step.state, ("preparations", name, "state")) for name, step in k.preparations.items()]
    for state, path in used:
        if state not in book.names["bench"] and "bench" not in book.broken:
            yield book.problem("unknown-state", f"bench.yaml has no entry '{state}'", *path)

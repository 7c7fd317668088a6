"""The file in which a mentor writes down the engine of a class by hand."""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated

from msgspec import Meta, field

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.model.base import Model, Name
from diagnose.graph.places import parse
from diagnose.graph.problem import KnowledgeError, Place, Problem, did_you_mean
from diagnose.graph.shape import fitted
from diagnose.practice.allowed import MOST_AT_ONCE
from diagnose.practice.class_set import LONGEST_STORY, MOST_FAULTS, ClassWish, together
from diagnose.practice.feedback import EVERY_SCREW
from diagnose.practice.happenings import Begun

HowBad = Annotated[float, Meta(gt=0, le=1, description="how badly, over 0 to 1")]
HoursOff = Annotated[float, Meta(ge=-MOST_AT_ONCE, le=MOST_AT_ONCE, description="signed hours; richer is positive")]


class ClassFile(Model, frozen=True):
    """What a class file says."""

    symptom: Name
    faults: Annotated[dict[Name, HowBad], Meta(min_length=1, max_length=MOST_FAULTS)]
    seed: Annotated[str, Meta(min_length=1, max_length=60)]
    owner_says: Annotated[str, Meta(max_length=LONGEST_STORY)] = field(default="", name="owner says")
    needles_off: dict[str, HoursOff] = field(default_factory=dict, name="needles off")


def read_class(file: str, text: str, known: Knowledge) -> Begun:
    """Return the engine that a class file asks for. Raises `KnowledgeError` with every problem and its place."""
    parsed = parse(file, text)

    def at(path: tuple[str, ...]) -> Place:
        while path and path not in parsed.places:
            path = path[:-1]
        return parsed.places.get(path, Place(file, 1, 1))

    if parsed.problems:
        raise KnowledgeError(parsed.problems)
    if parsed.data is None:
        what = "the file says nothing: write down a symptom, faults and a seed"
        raise KnowledgeError([Problem(at(()), "missing-field", what)])
    found, problems = fitted(parsed.data, ClassFile, at)
    if found is None:
        raise KnowledgeError(problems)
    problems += _unknown("symptom", [found.symptom], known.symptoms, at(("symptom",)))
    for fault in found.faults:
        problems += _unknown("fault", [fault], known.faults, at(("faults", fault)))
    for screw, hours in found.needles_off.items():
        if screw not in EVERY_SCREW:
            what = f"there is no screw '{screw}', only {', '.join(EVERY_SCREW)}"
            problems.append(Problem(at(("needles off", screw)), "unknown-name", what))
        elif not hours:
            what = f"the {screw} is off by 0 hours: leave it out, or say by how many"
            problems.append(Problem(at(("needles off", screw)), "out-of-range", what))
    if not found.owner_says.isprintable():
        what = "what the owner says is one line; put it into one"
        problems.append(Problem(at(("owner says",)), "wrong-type", what))
    if problems:
        raise KnowledgeError(problems)
    turned = {screw: found.needles_off[screw] for screw in EVERY_SCREW if screw in found.needles_off}
    wish = ClassWish(found.symptom, found.faults, found.seed, found.owner_says, turned)
    try:
        return together(known, wish)
    except DiagnoseError as error:
        raise DiagnoseError(f"{at(('symptom',))}: {error}") from error


def _unknown(kind: str, names: Collection[str], known: Collection[str], place: Place) -> list[Problem]:
    return [
        Problem(place, "unknown-name", f"there is no {kind} '{name}'{did_you_mean(name, known)}")
        for name in names
        if name not in known
    ]

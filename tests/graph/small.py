"""A small knowledge that keeps every rule, for tests that break one at a time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec
from msgspec.structs import replace

from diagnose.graph.model import Knowledge, Node
from diagnose.graph.problem import Place
from diagnose.graph.prove import prove

HERE = "hangs"

_LOOK = {"name": "a look", "ask": "Well?", "how": ["Look."], "why": "To know.", "minutes": 1, "good for": "tank"}


def look(shows: Mapping[str, float], *, kind: str = "first", state: str = "parked", **more: Any) -> dict[str, Any]:
    """Return a check with one answer that is not healthy."""
    bad = {"say": "bad", "if": dict(shows), "else": 0.03, **more.pop("bad", {})}
    opens = {"opens": "engine"} if kind == "strip" else {}
    return {**_LOOK, "state": state, "look": kind, "answers": {"fine": FINE, "bad": bad}, **opens, **more}


def fault(area: str, **more: Any) -> dict[str, Any]:
    """Return a mechanical fault that explains the symptom."""
    base = {"name": "a fault", "area": area, "kind": "mechanical", "what": "Broken.", "explains": {HERE: 3}}
    return {**base, "mend": {"do": ["Mend it."], "minutes": 2, "touches": [area]}, **more}


AT_THE_THROTTLE = {"do": ["Mend it."], "minutes": 2, "touches": ["linkage"]}


def screw(which: str, setting: str) -> dict[str, Any]:
    """Return a screw that is set wrongly."""
    return fault("needles", kind="screw", screw=which, setting=setting)


def adjust(which: str, way: str, to: str, **more: Any) -> dict[str, Any]:
    """Return an adjustment by one hour whose exits all lead to one node."""
    minds = {"idle stop": {"way": "out" if way == "leaner" else "in", "hours": 1}} if which == "low needle" else {}
    base = {"node": "adjust", "adjust": which, "way": way, "hours": 1, "follow": minds}
    return {**base, "better": to, "same": to, "worse": to, **more}


def sweep(*areas: str, to: str, kind: str = "first", **more: Any) -> dict[str, Any]:
    """Return a sweep."""
    return {"node": "sweep", "sweep": areas, "look": kind, "then": to, **more}


def ask(check: str, **branches: str) -> dict[str, Any]:
    """Return a node that asks a check."""
    return {
        "node": "ask",
        "ask": check,
        "branches": {"can't tell" if key == "cant_tell" else key: to for key, to in branches.items()},
    }


OUT_HERE = {"good for": "outing"}
FINE = {"say": "fine", "healthy": True}
OUT = {"node": "refer", "refer": "Ask someone."}
RICH = {"sign": {"low needle": "rich"}}

RAW: dict[str, Any] = {
    "checks": {
        "barrel": look({"held-open": 0.9}, guard="barrel", bad={"grounds": "the throttle does not shut"}, **OUT_HERE),
        "fail-safe": look(
            {"no-fail-safe": 0.9}, guard="fail-safe", bad={"grounds": "the fail-safe does not shut it"}, **OUT_HERE
        ),
        "hold": look({"line-off": 0.9, "lid-leaks": 0.8}),
        "suds": look({"lid-leaks": 0.9}, state="running on the stand", cautions=["hot-metal"]),
        "filter": look({"filter-torn": 0.9}, where="filter", bad={"up to": "torn-most"}),
        "plug": look({"plug-tired": 0.9}, tools=["fuel"], cautions=["poison"]),
        "pinch": look({"low-rich": 0.8}, state="warm", cautions=["hot-metal"], bad=RICH),
        "open-up": look({"seal-leaks": 0.9}, kind="strip", state="stripped"),
    },
    "faults": {
        "held-open": fault("linkage", mend=AT_THE_THROTTLE, **{"first look": "always"}),
        "no-fail-safe": fault("linkage", mend=AT_THE_THROTTLE, explains={}),
        "line-off": fault("tank"),
        "lid-leaks": fault("tank"),
        "filter-torn": fault("air"),
        "plug-tired": fault("ignition"),
        "seal-leaks": fault("seals", because="It is inside.", **{"first look": "none"}),
        "low-rich": screw("low needle", "rich"),
    },
    "symptoms": {
        HERE: {
            "name": "revs hang",
            "when": "at idle",
            "does": "It hangs.",
            "sign": {"low needle": "rich"},
            "retest": {"do": ["Try <tries>."], "minutes": 1, "state": "warm", "cautions": ["hot-metal"]},
            "route": {
                "outside": sweep("linkage", "tank", "air", "ignition", to="pinch"),
                "pinch": ask("pinch", fine="back", bad="leaner"),
                "leaner": adjust("low needle", "leaner", "strip", worse="back"),
                "strip": sweep("seals", kind="strip", to="again"),
                "again": adjust("low needle", "leaner", "back"),
                "back": {"node": "prepare", "prepare": "going-back", "then": "out"},
                "out": OUT,
            },
        }
    },
    "preparations": {
        "going-back": {"name": "go back", "do": ["Go."], "minutes": 3, "state": "parked", "back": True},
        "bring-to-heat": {
            "name": "heat",
            "do": ["Warm it."],
            "minutes": 3,
            "state": "warm",
            "head": True,
            "cautions": ["hot-metal"],
        },
        "let-it-idle": {
            "name": "idle",
            "do": ["Idle."],
            "minutes": 2,
            "state": "warm",
            "head": True,
            "cautions": ["hot-metal"],
        },
        "let-it-cool": {"name": "cool", "do": ["Wait."], "minutes": 3, "state": "cooling"},
    },
    "facts": {
        name: {"unit": unit, "provenance": "from memory", "value": value}
        for name, unit, value in (
            ("tries", "times", 3),
            ("torn-most", "mm", 3),
            ("look-minutes", "min", 3),
            ("head-stop", "°C", 130),
            ("head-come-in", "°C", 120),
            ("head-floor", "°C", 82),
            ("head-ceiling", "°C", 104),
            ("warm-enough-to-look", "°C", 70),
            ("drop-gone", "s", 3),
        )
    },
    "always": {
        "first-looks": {"why": "So it is.", "first look": ["held-open"]},
        "throttle": {"why": "So it is.", "grounds": "the throttle does not shut", "answers": {"barrel": ["bad"]}},
        "fail-safe": {
            "why": "So it is.",
            "grounds": "the fail-safe does not shut it",
            "answers": {"fail-safe": ["bad"]},
        },
    },
    "cautions": {
        "hot-metal": {"name": "hot", "say": "Hot.", "owed": {"states": ["warm", "running on the stand"]}},
        "poison": {"name": "poison", "say": "Poison.", "owed": {"tools": ["fuel"]}},
        "fire": {"name": "fire", "say": "Fire.", "now": ["Step back."]},
    },
    "drawings": {"filter": {"picture": "[]", "words": "The filter."}},
    "words": {
        name: {"say": "A word."}
        for name in ("air", "engine", "fault", "fuel", "ignition", "linkage", "low needle", "needle", "seal", "tank")
    },
}

SMALL = msgspec.convert(RAW, Knowledge)


def small(known: Knowledge = SMALL, **changes: Mapping[str, Any]) -> Knowledge:
    """Return the small knowledge with entries of some kinds added or replaced; None takes an entry out."""
    for kind, entries in changes.items():
        made = msgspec.convert({kind: {k: e for k, e in entries.items() if e is not None}}, Knowledge)
        kept = {name: entry for name, entry in getattr(known, kind).items() if name not in entries}
        known = replace(known, **{kind: kept | getattr(made, kind)})
    return known


def edited(kind: str, name: str, known: Knowledge = SMALL, /, **fields: Any) -> Knowledge:
    """Return the small knowledge with some fields of one entry replaced."""
    entries = getattr(known, kind)
    return replace(known, **{kind: {**entries, name: replace(entries[name], **fields)}})


def routed(nodes: Mapping[str, Any], known: Knowledge = SMALL, **fields: Any) -> Knowledge:
    """Return the small knowledge with nodes of its route added or replaced; None takes one out."""
    made = {name: msgspec.convert(node, Node) for name, node in nodes.items() if node is not None}
    route = {name: made.pop(name, node) for name, node in known.symptoms[HERE].route.items() if nodes.get(name, 1)}
    return edited("symptoms", HERE, known, route=route | made, **fields)


def places(known: Knowledge) -> dict[tuple[str, ...], Place]:
    """Return made-up places: one file a kind, the nodes of a route in lines 11, 12, ..."""
    found = {}
    for kind in ("symptoms", "checks", "faults", "preparations", "facts", "cautions", "drawings", "lessons", "always"):
        for number, (name, entry) in enumerate(getattr(known, kind).items()):
            found[kind, name] = Place(f"{kind}.yaml", 1 + 100 * number, 1)
            for step, node in enumerate(getattr(entry, "route", ())):
                found[kind, name, "route", node] = Place(f"{kind}.yaml", 11 + 100 * number + step, 5)
    return found


def broken(known: Knowledge, rule: str) -> list[str]:
    """Return what the proof says about one rule, each with its line."""
    return [f"{p.place.file}:{p.place.line} {p.what}" for p in prove(known, places(known)) if p.rule == rule]


NO_AIR = sweep("linkage", "tank", "ignition", to="pinch")
"""A sweep that forgets an area."""

DEAD = edited("symptoms", HERE, runs=False)

NEXT_DOOR: dict[str, Any] = {
    "name": "next door",
    "when": "at idle",
    "does": "It asks.",
    "retest": {"do": ["Try."], "minutes": 1, "state": "parked"},
    "route": {"which": ask("hold", fine=HERE)},
}


def door(**branches: str) -> Knowledge:
    """Return the small knowledge with a door in front of its symptom."""
    outs = {"out": OUT} if "out" in branches.values() else {}
    return small(symptoms={"next": {**NEXT_DOOR, "route": {"which": ask("hold", **branches), **outs}}})


def guard(**more: Any) -> Knowledge:
    """Return the small knowledge with another barrel guard."""
    bad = {"grounds": "the throttle does not shut"}
    return small(checks={"barrel": look({"held-open": 0.9}, **{"guard": "barrel", "bad": bad, **OUT_HERE, **more})})

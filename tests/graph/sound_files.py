"""The small knowledge once more, as files that keep every rule: `diagnose prove` finds nothing wrong with them."""

from __future__ import annotations

from graph.knowledge_files import FILES

WORDS = ("barrel", "fail-safe", "knife", "line clamp", "linkage", "needle", "pressure line", "radio", "seal", "syringe")

CASE = "format: 1\nsymptom: revs-hang\nanswers: {{{answers}}}\nfaults: [{fault}]\nexpect: {{verdict: {verdict}}}\n"

_CASES = {
    "barrel-held-open": ("barrel-at-rest: held open", "cured"),
    "fail-safe-off": ("fail-safe: stays", "cured"),
    "front-seal-leaks": ("case-holds-pressure: bleeds", "cured"),
    "low-needle-lean": ("pinch-at-idle: dies at once", "cured"),
}

SOUND: dict[str, str] = {
    **FILES,
    "checks/fuel.yaml": FILES["checks/fuel.yaml"].replace("for ten seconds", "for <hold-seconds>"),
    "faults/mechanical.yaml": FILES["faults/mechanical.yaml"].replace("touches: [seals]", "touches: [seals, radio]"),
    "faults/screws.yaml": FILES["faults/screws.yaml"].replace("state: warm", "state: warm\n    cautions: [hot-metal]"),
    "preparations/more.yaml": "format: 1\nlet-it-cool: {name: let it cool, do: [Wait.], minutes: 9, state: cooling}\n"
    "let-it-idle: {name: let it idle, do: [Wait.], minutes: 2, state: warm, head: true, cautions: [hot-metal]}\n",
    "always.yaml": """\
format: 1
first-looks: {why: No needle helps., first look: [barrel-held-open, pressure-line-off]}
throttle: {why: It races., grounds: the throttle does not shut, answers: {barrel-at-rest: [held open]}}
fail-safe: {why: It drives off., grounds: the fail-safe does not shut it, answers: {fail-safe: [stays]}}
""",
    "bench/more.yaml": "format: 1\ncooling: {into: 0, out: 0, say: cooling down}\n",
    "words/more.yaml": "format: 1\n"
    + "".join(f"{word}: {{say: A word of the trade.}}\n" for word in (*WORDS, "tank pressure"))
    + "carburettor: {say: What mixes air and fuel., guarded: true}\n",
    "facts/more.yaml": """\
format: 1
head-ceiling: {value: 220, unit: °F, provenance: "common practice, no source"}
head-come-in: {value: 250, unit: °F, provenance: "common practice, no source"}
head-stop: {value: 270, unit: °F, provenance: "common practice, no source"}
warm-enough-to-look: {value: 158, unit: °F, provenance: "common practice, no source"}
drop-gone: {range: [2, 5], unit: s, provenance: "common practice, no source"}
""",
    **{
        f"cases/{fault}.yaml": CASE.format(fault=fault, answers=answers, verdict=verdict)
        for fault, (answers, verdict) in _CASES.items()
    },
}

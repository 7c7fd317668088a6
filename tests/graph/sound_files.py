"""The small knowledge once more, as files that keep every rule: `diagnose prove` finds nothing wrong with them."""

from __future__ import annotations

from graph.knowledge_files import FILES

WORDS = ("barrel", "fail-safe", "knife", "line clamp", "linkage", "needle", "pressure line", "radio", "seal", "syringe")

CASE = "format: 1\nsymptom: revs-hang\nanswers: {{{answers}}}\nfaults: [{fault}]\nexpect: {{verdict: cured, {done}}}\n"

_CASES = {
    "barrel-held-open": ("barrel-at-rest: held open", "mended: [barrel-held-open]"),
    "fail-safe-off": ("fail-safe: stays", "mended: [fail-safe-off]"),
    "front-seal-leaks": ("case-holds-pressure: bleeds", "mended: [front-seal-leaks]"),
    "low-needle-lean": ("pinch-at-idle: dies at once", "adjustments: 1"),
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
    "rounds.yaml": """\
format: 1
both-guards:
  {name: both guards, state: parked, checks: [barrel-at-rest, fail-safe], minutes: 0.75, because: The radio is on once.}
""",
    "parts.yaml": """\
format: 1
barrel: {name: the barrel, system: carburettor, does: Meters the air.}
pressure-line: {name: the pressure line, system: tank and lines, does: Brings pressure to the tank.}
receiver: {name: the receiver, system: radio, does: Hears the transmitter.}
""",
    "failings/all.yaml": """\
format: 1
barrel-linkage-long:
  {part: barrel, way: set wrongly, fails: is held off its stop, fault: barrel-held-open, symptoms: [revs-hang],
   when: [idling], seen by: look with the radio on, look: barrel-at-rest, taken for: low-needle-lean}
barrel-needle-lean:
  {part: barrel, way: set wrongly, fails: gets too little fuel, fault: low-needle-lean, symptoms: [revs-hang],
   seen by: pinch the line at idle, look: pinch-at-idle, taken for: a leak}
barrel-case-leaks:
  {part: barrel, way: wears, fails: is lean as the case leaks, fault: front-seal-leaks, symptoms: [revs-hang],
   seen by: press air into the case, look: case-holds-pressure, taken for: low-needle-lean}
pressure-line-off:
  {part: pressure-line, way: comes loose, fails: has come off, fault: pressure-line-off, symptoms: [revs-hang],
   seen by: press air in, look: tank-holds-pressure, taken for: low-needle-lean}
receiver-holds:
  {part: receiver, way: set wrongly, fails: holds the last position, fault: fail-safe-off, symptoms: [revs-hang],
   when: [far-away], seen by: switch the transmitter off, look: fail-safe, taken for: a weak battery}
receiver-wet:
  {part: receiver, way: fails, fails: is wet, because: It is renewed., symptoms: [revs-hang], seen by: look inside,
   taken for: a weak battery}
""",
    **{
        f"cases/{fault}.yaml": CASE.format(fault=fault, answers=answers, done=done)
        for fault, (answers, done) in _CASES.items()
    },
}

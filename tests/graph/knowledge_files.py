"""A small knowledge that is whole and sound, as the text of its files. Tests change it one line at a time."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from diagnose.graph.problem import KnowledgeError, Problem
from diagnose.graph.read import read

FILES: dict[str, str] = {
    "symptoms/idle.yaml": """\
format: 1
revs-hang:
  name: revs hang
  when: at idle
  does: After a blip the revs fall slowly.
  runs away: true
  sign: {low needle: lean}
  cautions: [hot-metal]
  few: This is a small knowledge, made for tests.
  retest:
    do: [Blip the throttle and listen to the revs fall.]
    minutes: retest-minutes
    state: running on the stand
    cautions: [hot-metal]
  route:
    outside: {sweep: [linkage, radio, tank pressure], then: pinch}
    pinch:
      ask: pinch-at-idle
      dies at once: richer
      short climb: strip
    richer: {adjust: low needle, way: richer, hours: 1, follow: {idle stop: {way: in, hours: 0.5}},
             better: strip, same: strip, worse: strip}
    strip: {sweep: [seals], look: strip, then: hand over}
    hand over: {refer: Take the engine to somebody with a pressure tester.}
""",
    "checks/guards.yaml": """\
format: 1
barrel-at-rest:
  name: barrel at rest
  ask: Does the barrel rest on its idle stop?
  how: [Look down the carburettor with the radio on and the trigger at rest.]
  why: A barrel that is held open makes the engine race when it fires.
  minutes: look-minutes
  state: parked
  look: first
  good for: outing
  guard: barrel
  cautions: [hot-metal]
  answers:
    rests: {say: it rests on the stop, healthy: true}
    held open:
      say: it is held open
      if: {barrel-held-open: 0.95}
      else: 0.02
      grounds: the throttle does not shut
fail-safe:
  name: fail-safe
  ask: Does the throttle shut when the transmitter is switched off?
  how: ["Engine off: open the throttle a little, then switch the transmitter off."]
  why: A car without signal must not run away.
  minutes: look-minutes
  state: parked
  look: first
  good for: outing
  guard: fail-safe
  answers:
    shuts: {say: it shuts, healthy: true}
    stays:
      say: it stays where it was
      if: {fail-safe-off: 0.95}
      else: 0.02
      grounds: the fail-safe does not shut it
""",
    "checks/fuel.yaml": """\
format: 1
tank-holds-pressure:
  name: tank pressure
  ask: Does the tank hold pressure?
  how:
    - Clamp the fuel line at the carburettor.
    - Blow into the pressure line with a syringe and wait <hold-seconds>.
  why: A tank that leaks starves the engine at speed.
  minutes: 2
  state: parked
  look: first
  good for: tank
  cautions: [fuel-is-poison]
  tools: [syringe, line clamp]
  where: tank
  answers:
    holds: {say: holds for ten seconds, healthy: true}
    bleeds:
      say: bleeds away
      if: {pressure-line-off: 0.9}
      else: 0.03
pinch-at-idle:
  name: pinch at idle
  ask: What do the revs do when the fuel line is pinched at idle?
  how: [Pinch the line close to the carburettor and count.]
  why: The time until it dies says how rich the low needle is.
  minutes: look-minutes
  state: warm
  look: first
  good for: start
  cautions: [hot-metal]
  answers:
    short climb: {say: "a short climb, then it dies", healthy: true}
    dies at once:
      say: it dies at once
      if: {low-needle-lean: 0.9}
      else: 0.05
      sign: {low needle: lean}
""",
    "checks/seals.yaml": """\
format: 1
case-holds-pressure:
  name: crankcase
  ask: Does the crankcase hold pressure?
  how: ["Take the carburettor off, seal its bore and the exhaust, and blow into the case."]
  why: A case that leaks draws air past the carburettor.
  minutes: 20
  state: stripped
  look: strip
  opens: the carburettor
  good for: day
  answers:
    holds: {say: it holds, healthy: true}
    bleeds:
      say: it bleeds away
      if: {front-seal-leaks: 0.9}
      else: 0.05
""",
    "faults/mechanical.yaml": """\
format: 1
barrel-held-open:
  name: barrel held open
  area: linkage
  kind: mechanical
  what: The linkage or the radio's trim holds the barrel off its stop.
  explains: {revs-hang: 4}
  first look: always
  mend:
    do: [Shorten the linkage until the barrel rests on its stop.]
    minutes: mend-minutes
    touches: [linkage]
fail-safe-off:
  name: fail-safe off
  area: radio
  kind: mechanical
  what: The receiver holds the last position when it hears nothing.
  explains: {revs-hang: 1}
  mend:
    do: [Set the fail-safe to a shut throttle.]
    minutes: mend-minutes
    touches: [radio]
pressure-line-off:
  name: pressure line off or split
  area: tank pressure
  kind: mechanical
  what: Exhaust pressure never reaches the tank.
  explains: {revs-hang: 3}
  first look: always
  mend:
    do: [Push the line home on both nipples., Renew it if it is split.]
    minutes: mend-minutes
    tools: [knife]
    parts: [pressure line]
    cautions: [hot-metal]
    touches: [tank pressure]
    where: tank
    recheck: Press air in and see that it holds.
front-seal-leaks:
  name: front seal leaks
  area: seals
  kind: mechanical
  what: Air comes in past the front bearing.
  explains: {revs-hang: 2}
  first look: none
  because: Only a pressure test of the open engine shows it.
  mend:
    do: [Renew the front bearing.]
    minutes: 40
    state: stripped
    touches: [seals]
""",
    "faults/screws.yaml": """\
format: 1
low-needle-lean:
  name: low needle lean
  area: needles
  kind: screw
  what: The low needle lets in too little fuel.
  explains: {revs-hang: 4}
  screw: low needle
  setting: lean
  mend:
    do: [Turn the low needle out.]
    minutes: mend-minutes
    state: warm
""",
    "preparations.yaml": """\
format: 1
bring-to-heat:
  name: bring to heat
  do: [Drive easy laps until the head reads more than <head-floor>.]
  minutes: heat-minutes
  state: warm
  cautions: [hot-metal]
  head: true
""",
    "history.yaml": """\
format: 1
changed:
  ask: What changed since it last ran well?
  answers:
    nothing: {say: nothing, healthy: true}
    opened: {say: something was opened, if: {front-seal-leaks: 0.4}, else: 0.1}
""",
    "bench.yaml": """\
format: 1
parked: {into: 0, out: 0, say: parked}
running on the stand: {into: 1, out: 0.5, say: running on the stand}
warm: {into: heat-minutes, out: 0.5, say: idling at heat}
stripped: {into: 15, out: 20, say: stripped}
""",
    "facts.yaml": """\
format: 1
hold-seconds: {range: [10, 15], unit: s, provenance: "common practice, no source"}
head-floor: {value: 180, unit: °F, provenance: "common practice, no source"}
look-minutes: {value: 0.5, unit: min, provenance: from memory}
mend-minutes: {value: 3, unit: min, provenance: from memory}
heat-minutes: {value: 4, unit: min, provenance: from memory}
retest-minutes: {value: 1, unit: min, provenance: from memory}
low-turns: {value: 2.5, unit: turns, provenance: published, source: a general handbook}
""",
    "words.yaml": """\
format: 1
lean: {say: Too little fuel for the air., also: [weak]}
""",
    "cautions.yaml": """\
format: 1
hot-metal:
  name: hot metal
  level: warning
  say: The head and the pipe burn the skin.
  now: [Hold the burn under cool running water.]
  owed: {states: [warm, running on the stand]}
fuel-is-poison: {name: fuel is poison, level: warning, say: "Never suck fuel through a line."}
""",
    "drawings.yaml": """\
format: 1
tank:
  picture: |2
      ____
    =|____|== to the carburettor
  words: The tank, with the pressure line on the left.
""",
    "engines/generic.yaml": """\
format: 1
three-needles:
  name: three needles
  only: {needles: 3}
  turns: {low needle: low-turns}
  say: A safe and rich place to start.
""",
    "cases/pressure-line.yaml": """\
format: 1
story: A split pressure line looks like a lean needle.
symptom: revs-hang
engine: {needles: 3, starter: box, run in: true}
history: {changed: nothing}
answers: {tank-holds-pressure: bleeds}
faults: [pressure-line-off]
expect: {verdict: cured, mended: [pressure-line-off], adjustments: 0}
""",
}


def changed(file: str, old: str, new: str) -> dict[str, str]:
    """Return the knowledge with one piece of one file replaced; the piece must stand there once."""
    assert FILES[file].count(old) == 1, f"{old!r} stands {FILES[file].count(old)} times in {file}"
    return {**FILES, file: FILES[file].replace(old, new)}


def told(files: Mapping[str, str | Problem]) -> list[str]:
    """Return the problems of knowledge that must not load."""
    with pytest.raises(KnowledgeError) as caught:
        read(files)
    return [str(problem) for problem in caught.value.problems]

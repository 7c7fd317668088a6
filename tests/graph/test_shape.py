from __future__ import annotations

import pytest
from graph.knowledge_files import changed, told

SHAPES = [
    (
        "checks/fuel.yaml",
        "  minutes: 2\n",
        "",
        "checks/fuel.yaml:2:1: 'tank-holds-pressure' has no 'minutes' (missing-field)",
    ),
    (
        "checks/fuel.yaml",
        "state: parked",
        "state: parkd",
        "checks/fuel.yaml:10:3: 'state' can't be 'parkd', only cooling, on the track, parked, plug out, "
        "running on the stand, "
        "stripped or warm; did you mean 'parked' (unknown-value)",
    ),
    (
        "checks/fuel.yaml",
        "tools: [syringe, line clamp]",
        "tools: syringe",
        "checks/fuel.yaml:14:3: 'tools' must be a list; write [syringe] (wrong-type)",
    ),
    (
        "faults/mechanical.yaml",
        "touches: [seals]",
        "touches: seals",
        "faults/mechanical.yaml:51:5: 'touches' must be a list; write [seals] (wrong-type)",
    ),
    (
        "checks/fuel.yaml",
        "say: bleeds away",
        "say: 7",
        "checks/fuel.yaml:19:7: 'say' must be text; put quotes around it (wrong-type)",
    ),
    ("checks/fuel.yaml", "say: bleeds away", "say: ''", "checks/fuel.yaml:19:7: 'say' is empty (empty-value)"),
    (
        "checks/fuel.yaml",
        "say: bleeds away",
        "say:",
        "checks/fuel.yaml:19:11: empty value: nothing stands after 'say' (empty-value)",
    ),
    (
        "checks/fuel.yaml",
        "say: bleeds away",
        "say: " + "x" * 10_000,
        "checks/fuel.yaml:19:7: 'say' has 10000 characters; at most 1200 are read well (too-long)",
    ),
    (
        "checks/fuel.yaml",
        "say: bleeds away",
        'say: "\\e[2J"',
        "checks/fuel.yaml:19:12: a control character (U+001B); take it out (hostile-text)",
    ),
    ("checks/fuel.yaml", "say: bleeds away", "say: {a: b}", "checks/fuel.yaml:19:7: 'say' must be text (wrong-type)"),
    (
        "checks/fuel.yaml",
        "    bleeds:",
        "    Bleeds!:",
        "checks/fuel.yaml:18:5: 'Bleeds!' is not a name: use lower-case words joined by hyphens or spaces (bad-name)",
    ),
    (
        "checks/fuel.yaml",
        "pressure-line-off: 0.9",
        "pressure-line-off: 1.9",
        "checks/fuel.yaml:20:12: 'pressure-line-off' is 1.9; it must be from 0 to 1 (out-of-range)",
    ),
    (
        "faults/mechanical.yaml",
        "{revs-hang: 2}",
        "{revs-hang: 0}",
        "faults/mechanical.yaml:44:14: 'revs-hang' is 0; it must be above 0 to 40 (out-of-range)",
    ),
    (
        "checks/fuel.yaml",
        "low needle: lean",
        "lo needle: lean",
        "checks/fuel.yaml:38:14: 'lo needle' can't stand here, only low needle, mid needle, high needle or idle stop; "
        "did you mean 'low needle' (bad-name)",
    ),
    (
        "checks/fuel.yaml",
        "minutes: 2\n",
        "minutes: [2]\n",
        "checks/fuel.yaml:9:3: 'minutes' must be a number or the id of a fact (wrong-type)",
    ),
    (
        "symptoms/idle.yaml",
        "runs away: true",
        "runs away: yes",
        "symptoms/idle.yaml:6:3: 'runs away' must be true or false; write true (wrong-type)",
    ),
    (
        "symptoms/idle.yaml",
        "hand over: {refer: Take the engine to somebody with a pressure tester.}",
        "hand over: {send: them away}",
        "symptoms/idle.yaml:24:5: 'hand over' has no kind; give it one of the five kinds: sweep, ask, "
        "adjust, prepare or refer "
        "(node-kind)",
    ),
    (
        "symptoms/idle.yaml",
        "strip: {sweep: [seals], ",
        "strip: {refer: x, sweep: [seals], ",
        "symptoms/idle.yaml:23:5: 'strip' is sweep and refer at once; give it one of the five kinds: sweep, "
        "ask, adjust, "
        "prepare or refer (node-kind)",
    ),
    (
        "symptoms/idle.yaml",
        "look: strip, then: hand over",
        "looks: strip, then: hand over",
        "symptoms/idle.yaml:23:29: unknown field 'looks' in 'strip'; did you mean 'look' (unknown-field)",
    ),
    (
        "symptoms/idle.yaml",
        "sweep: [seals]",
        "sweep: seals",
        "symptoms/idle.yaml:23:13: 'sweep' must be a list; write [seals] (wrong-type)",
    ),
    ("symptoms/idle.yaml", "better: strip, ", "", "symptoms/idle.yaml:21:5: 'richer' has no 'better' (missing-field)"),
    (
        "symptoms/idle.yaml",
        "strip: {sweep",
        "strip: {only: {starter: pul}, else: hand over, sweep",
        "symptoms/idle.yaml:23:20: 'starter' can't be 'pul', only box, pull or electric; did you mean 'pull' "
        "(unknown-value)",
    ),
    (
        "facts.yaml",
        "range: [10, 15]",
        "range: [10, x]",
        "facts.yaml:2:28: 'range' item 2 must be a number (wrong-type)",
    ),
    (
        "cases/pressure-line.yaml",
        "verdict: cured",
        "verdict: curd",
        "cases/pressure-line.yaml:8:10: 'verdict' can't be 'curd', only cured, handed over, nothing is wrong or "
        "stopped; did you mean 'cured' "
        "(unknown-value)",
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "line"), SHAPES)
def test_what_does_not_fit_is_told_in_one_plain_line(file, old, new, line):
    assert told(changed(file, old, new)) == [line]

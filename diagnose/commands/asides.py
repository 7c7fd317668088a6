"""What the plain walk tells when it is asked for it: why, what if, the time, and what to do now."""

from __future__ import annotations

from diagnose.commands import common
from diagnose.graph.say import say, terms_in
from diagnose.reason import explain
from diagnose.reason.view import Step, View
from diagnose.reason.walk import Walk


def why(walk: Walk, step: Step) -> None:
    """Say why this step, with the numbers behind it."""
    common.say(step.why)
    if step.kind in ("ask", "recheck"):
        found = explain.why(walk, step.id)
        common.say(found.sentence)
        for name, chance, share in found.suspects:
            common.say(f"- {name}: shown {chance:.0%} of the time, belief {share:.0%}")


def what_if(walk: Walk, step: Step, now: float) -> None:
    """Say what would follow each answer; nothing is answered by it."""
    found = explain.what_if(walk, step, now)
    for one in found:
        chance = f" ({one.chance:.0%})" if one.chance else ""
        common.say(f"If {one.say}{chance}, then: {one.next}")
        if one.suspects:
            common.say("- what it could be then: " + ", ".join(f"{s.name} {s.share:.0%}" for s in one.suspects))
    if not found:
        common.say("This step is something to do. It has no answers to compare.")


def wrong(walk: Walk) -> None:
    """Say what to do now, whatever it is."""
    for caution in walk.knowledge.cautions.values():
        if caution.now:
            common.say(caution.name)
            for line in caution.now:
                common.say(f"- {say(line, walk.knowledge, walk.variant)}")


def words(walk: Walk, step: Step) -> None:
    """Explain the words of the trade that the step uses."""
    known = walk.knowledge.words
    found = terms_in(step.text(), known)
    for name in found:
        common.say(f"{name}: {say(known[name].say, walk.knowledge, walk.variant)}")
    if not found:
        common.say("This step uses no word that needs explaining. All of them: diagnose list words")


def time(view: View) -> None:
    """Say how many minutes are left, what is owed in them, and the word that they would end with now."""
    assert view.deadline is not None
    common.say(f"{common.minutes(view.deadline)} to go." if view.deadline > 0 else "The time is up.")
    left = view.close_up or 0.0
    common.say(f"Close the car up in {common.minutes(left)}." if left > 0 else "Close the car up now.")
    common.say("Owed, quickest gain first:" if view.owed else "Nothing is owed that fits.")
    for line in view.owed:
        common.say(f"- {line.name}, {common.minutes(line.minutes)}")
    common.say(f"As it stands: {view.last_word}. {view.last_word_because}")

"""``diagnose prove --mutants``: which changes to the knowledge nobody would notice."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from diagnose.commands import common

if TYPE_CHECKING:
    from diagnose.graph.read import FilesRead
    from diagnose.measure.mutants import Mutant

MOST_SHARE = 0.1
"""At most this share of the random changes that make a walk do something else may pass unnoticed."""


def report(found: FilesRead, count: int, *, as_json: bool) -> bool:
    """Print what nobody notices of the listed changes and of `count` random ones; True when a listed one is passed."""
    from diagnose.graph.problem import Place
    from diagnose.measure.drawn import drawn
    from diagnose.measure.mutants import listed
    from diagnose.measure.noticed import Watch

    watch = Watch(found)

    def at(mutant: Mutant) -> Place:
        path = mutant.path
        while path not in found.places and path:
            path = path[:-1]
        return found.places.get(path, Place("knowledge", 1, 1))

    passed: list[Mutant] = []
    tried = 0
    for mutant in listed(found):
        tried += 1
        if not watch.see(mutant).by:
            passed.append(mutant)
            if not as_json:
                common.say(f"{at(mutant)}: {mutant.what}, and nobody notices ({mutant.way})")
    does, unnoticed = 0, []
    for mutant in islice(drawn(found, count), count):
        seen = watch.see(mutant, does=True)
        does += seen.does
        if seen.does and not seen.by:
            unnoticed.append(mutant)
            if not as_json:
                common.say(f"{at(mutant)}: {mutant.what}, and nobody notices ({mutant.way})")
    if as_json:
        told = [{**at(one)._asdict(), "way": one.way, "what": one.what} for one in (*passed, *unnoticed)]
        common.say_json({"listed": tried, "passed": len(passed), "drawn": count, "do": does, "unnoticed": told})
    else:
        common.say(f"{tried} changes that would disarm a rule: {len(passed)} noticed by nobody")
        if count:
            share = len(unnoticed) / max(does, 1)
            common.say(
                f"{count} at random: {does} make a walk do something else, and {len(unnoticed)} of these ({share:.0%}) "
                f"nobody notices; at most {MOST_SHARE:.0%} should be"
            )
    return bool(passed)

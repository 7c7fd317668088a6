"""``diagnose prove --mutants``: which changes to the knowledge nobody would notice."""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from diagnose.commands import common
from diagnose.commands.printed import show

if TYPE_CHECKING:
    from diagnose.graph.read import FilesRead
    from diagnose.measure.mutants import Mutant


def report(found: FilesRead, count: int, *, as_json: bool) -> bool:
    """Print what nobody notices of the listed changes and of `count` random ones; True when a listed one is passed."""
    from diagnose.graph.problem import Place
    from diagnose.measure.drawn import drawn
    from diagnose.measure.mutants import listed
    from diagnose.measure.noticed import Watch
    from diagnose.pages.proof import changes, unnoticed_change

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
                show(unnoticed_change(at(mutant), mutant))
    does, unnoticed = 0, []
    for mutant in islice(drawn(found, count), count):
        seen = watch.see(mutant, does=True)
        does += seen.does
        if seen.does and not seen.by:
            unnoticed.append(mutant)
            if not as_json:
                show(unnoticed_change(at(mutant), mutant))
    if as_json:
        told = [{**at(one)._asdict(), "way": one.way, "what": one.what} for one in (*passed, *unnoticed)]
        common.say_json({"listed": tried, "passed": len(passed), "drawn": count, "do": does, "unnoticed": told})
    else:
        show(changes(tried, len(passed), count, does, len(unnoticed)))
    return bool(passed)

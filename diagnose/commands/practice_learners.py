"""``diagnose practice results|debrief|next|forget``: what is kept of learners, and what they practise next."""

from __future__ import annotations

import csv
import sys
import time
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.workshop.learners import Scored

FORMULA = ("=", "+", "-", "@")
"""What a spreadsheet takes for a formula at the start of a cell."""
PHONES = click.option("--phones", is_flag=True, help="Of the classes on phones.")


@click.command()
@click.option("--learner", metavar="NICKNAME", default="", help="Only this learner's; the points too.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--csv", "as_csv", is_flag=True, help="Print CSV.")
@PHONES
def results(learner: str, as_json: bool, as_csv: bool, phones: bool) -> None:
    """List what learners' practices came to, and what is unfinished.

    \b
    Examples:
      diagnose practice results --learner kim
      diagnose practice results --csv
    """
    from diagnose.pages import practice as pages
    from diagnose.pages.results import results as came_to
    from diagnose.pages.results import rows
    from diagnose.pages.way import effect as told
    from diagnose.practice.effect import effect
    from diagnose.workshop.learners import learners, nickname, unfinished
    from diagnose.workshop.learners import results as kept
    from diagnose.workshop.progress import all_pairs

    known = common.knowledge()
    with common.journal(phones=phones) as journal:
        found = kept(journal, learner)
        names = [nickname(learner)] if learner else learners(journal)
        left = [(name, pages.left_at(known, one)) for name in names for one in unfinished(journal, name, known).left]
    if as_json:
        common.say_json([{"learner": one.learner, **_fields(one.scored, own=bool(learner))} for one in found])
    elif as_csv:
        print_csv(rows(known, found))
    elif found or left:
        show_page(came_to(known, found, left))
        if found:
            common.say()
            show_page(told(effect(all_pairs(known, found))))
    else:
        common.say("no result yet; begin one: diagnose practice start --learner NICKNAME")


def print_csv(rows: Iterable[Iterable[str]]) -> None:
    """Print rows as CSV; no spreadsheet takes a cell of it for a formula."""
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerows(["'" + cell if cell.startswith(FORMULA) else cell for cell in row] for row in rows)


def _fields(scored: Scored, *, own: bool) -> dict[str, object]:
    from msgspec.structs import asdict

    return {name.replace("_", " "): value for name, value in asdict(scored).items() if own or name != "points"}


@click.command()
@click.argument("learner", metavar="NICKNAME")
@click.argument("number", type=int, required=False)
@PHONES
def debrief(learner: str, number: int | None, phones: bool) -> None:
    """Open a learner's debrief again: the last one, or by its number.

    \b
    Examples:
      diagnose practice debrief kim
      diagnose practice debrief kim 2
    """
    from diagnose.pages.debrief import debrief as told
    from diagnose.practice.debrief import debrief as made
    from diagnose.workshop.learners import LeftPractice, kept_practices, resumed

    known = common.knowledge()
    with common.journal(phones=phones) as journal:
        ended = [one for one in kept_practices(journal, learner) if one.scored is not None]
    if not ended:
        raise DiagnoseError(f"'{learner}' has come to no end yet: diagnose practice results says who has")
    if number is not None and not 1 <= number <= len(ended):
        raise DiagnoseError(f"'{learner}' has debriefs 1 to {len(ended)}")
    kept = ended[-1 if number is None else number - 1]
    practice = resumed(known, LeftPractice(kept.events, kept.at))
    show_page(told(practice, made(practice)))


@click.command("next")
@click.argument("learner", metavar="NICKNAME")
@click.option("--go", is_flag=True, help="Begin it, as plain lines.")
def next_(learner: str, go: bool) -> None:
    """Say what a learner practises next, and why; with --go, begin.

    The first engine of an area comes behind a worked example, with half of
    its steps done; then fewer are done; then none.

    \b
    Examples:
      diagnose practice next kim
      diagnose practice next kim --go
    """
    import secrets

    from diagnose.pages.way import effect as told
    from diagnose.pages.way import next_up
    from diagnose.practice.effect import effect
    from diagnose.workshop.learners import nickname
    from diagnose.workshop.learners import results as kept
    from diagnose.workshop.progress import all_pairs, next_for

    known, name = common.knowledge(), nickname(learner)
    with common.journal() as journal:
        seed = secrets.token_hex(4)
        made = next_for(journal, known, name, seed)
        show_page(next_up(known, made))
        if go and made is not None:
            from diagnose.commands.practice_plain import go_the_way

            go_the_way(known, made, seed, name, journal)
            return
        common.say()
        show_page(told(effect(all_pairs(known, kept(journal, name)))))


@click.command()
@click.argument("learner", metavar="NICKNAME")
@click.option("--yes", is_flag=True, help="Do not ask.")
@PHONES
def forget(learner: str, yes: bool, phones: bool) -> None:
    """Delete all that is kept of a learner, for good.

    Their seats in classes go too. A copy that you made with
    'diagnose record backup' still holds it.

    \b
    Example:
      diagnose practice forget kim
    """
    from diagnose.pages.results import ask_to_forget, forgotten
    from diagnose.workshop import learners

    with common.journal(phones=phones) as journal:
        name = learners.nickname(learner)
        if not yes and sys.stdin.isatty():
            click.confirm(ask_to_forget(name), abort=True)
        elif not yes:
            raise DiagnoseError("say --yes to delete it for good")
        count = learners.forget(journal, name, time.time())
    common.say(forgotten(count))

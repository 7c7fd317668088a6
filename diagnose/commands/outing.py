"""``diagnose outing``: the walks that were made, found again, gone through, noted, opened again and deleted."""

from __future__ import annotations

import sys
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.record.index import Row
    from diagnose.workshop.session import Session

MOST = 30
DAY = click.DateTime(["%Y-%m-%d"])
ID = click.argument("outing")
JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def outing() -> None:
    """Look back at the walks that were made; OUTING is an id of the list, or last.

    \b
    Examples:
      diagnose outing list
      diagnose outing show last
    """


@outing.command("list")
@click.argument("words", nargs=-1)
@click.option("--car", metavar="NAME", default="", shell_complete=common.engine_names, help="Of this car.")
@click.option("--symptom", metavar="ID", default="", shell_complete=common.ids("symptoms"), help="About this symptom.")
@click.option("--fault", metavar="ID", default="", shell_complete=common.ids("faults"), help="Where it came up.")
@click.option("--since", type=DAY, metavar="DAY", help="From this day on: 2026-05-01.")
@click.option("--until", type=DAY, metavar="DAY", help="Up to this day.")
@click.option("--most", type=click.IntRange(1), default=MOST, show_default=True, help="So many at most.")
@JSON
def list_(
    words: tuple[str, ...],
    car: str,
    symptom: str,
    fault: str,
    since: datetime | None,
    until: datetime | None,
    most: int,
    as_json: bool,
) -> None:
    """List walks, the newest first: all, or those that fit.

    \b
    Examples:
      diagnose outing list --car "blue truggy" --since 2026-05-01
      diagnose outing list bell loose
    """
    from diagnose.pages.outing import NONE, line, more
    from diagnose.workshop.sought import WalkSought, find

    sought = WalkSought(" ".join(words), car, symptom, fault, _day(since), _day(until))
    with common.session() as session:
        found = find(session, sought)
        came_to = session.came_to(found[:most])
        if as_json:
            common.say_json([_told(session, row) for row in found[:most]])
        else:
            for row in found[:most]:
                common.say(f"{row.id}   {line(row, came_to.get(row.id), session.knowledge)}")
            if not found:
                common.say(NONE)
            if len(found) > most:
                common.say(more(len(found) - most))


@outing.command("show")
@ID
@JSON
def show_(outing: str, as_json: bool) -> None:
    """Say what an outing was, what cured it, and how long it took.

    \b
    Example:
      diagnose outing show last
    """
    from diagnose.pages import outing as pages
    from diagnose.workshop.looked_back import looked_back

    with common.session() as session:
        found = looked_back(session, outing)
        if as_json:
            common.say_json(_told(session, found.row))
        else:
            show(pages.page(found, session.knowledge))


@outing.command()
@ID
@JSON
def replay(outing: str, as_json: bool) -> None:
    """Go through an outing step by step.

    It says what was believed and what was owed after each.

    \b
    Example:
      diagnose outing replay last
    """
    from diagnose.pages import replay as pages
    from diagnose.pages.parts import Gap, Heading
    from diagnose.workshop.replaying import replayed

    with common.session() as session:
        found = replayed(session, outing)
        if as_json:
            common.say_json(_steps(found))
            return
        show(pages.what_differs(found))
        for number in range(len(found.walks)):
            show((Heading(pages.heading(found, number)), *pages.step_of(found, number), Gap()))
            common.say()


@outing.command()
@ID
@click.argument("text")
def note(outing: str, text: str) -> None:
    """Note something about an outing, in your own words.

    \b
    Example:
      diagnose outing note last "it was the new bell after all"
    """
    from diagnose.pages.outing import noted
    from diagnose.record.notes import note_outing, notes_of_outing

    with common.session() as session:
        name = session.row_called(outing).id
        note_outing(session.journal, name, text, session.clock())
        show(noted(notes_of_outing(session.journal, name)[-1:])[1:])


@outing.command()
@ID
def reopen(outing: str) -> None:
    """Open an outing again that had ended by mistake.

    \b
    Example:
      diagnose outing reopen last
    """
    from diagnose.pages.outing import reopened

    with common.session() as session:
        session.resume(session.row_called(outing).id)
        session.reopen()
        show(reopened(session.outing))


@outing.command()
@ID
@click.option("--yes", is_flag=True, help="Don't ask first.")
@JSON
def delete(outing: str, yes: bool, as_json: bool) -> None:
    """Delete an outing for good.

    \b
    Example:
      diagnose outing delete "2026-05-01 10.42.00"
    """
    from diagnose.pages import outing as pages
    from diagnose.workshop.deleting import delete as gone

    with common.session() as session:
        row = session.row_called(outing)
        if not yes:
            show(pages.deleting(pages.line(row, session.came_to([row]).get(row.id), session.knowledge)))
            if not sys.stdin.isatty():
                raise DiagnoseError("nothing was deleted: say --yes if that is what you want")
            click.confirm(pages.DELETE_HEADING, abort=True)
        found = gone(session, row.id)
    if as_json:
        common.say_json({**found._asdict(), "copies": list(map(str, found.copies))})
    else:
        show(pages.deleted(found))


def _day(at: datetime | None) -> date | None:
    return at.date() if at is not None else None


def _told(session: Session, row: Row) -> dict[str, Any]:
    """Return an outing as the JSON that docs/commands.md describes."""
    from diagnose.record.notes import notes_of_walks

    gist = row.told()
    return {
        "id": row.id,
        "engine": row.engine,
        "begun": gist.begun,
        "last": row.last_at,
        "events": row.length,
        "knowledge": gist.knowledge,
        "same knowledge": gist.knowledge == session.knowledge.digest,
        "came to": session.came_to([row]).get(row.id),
        "notes": notes_of_walks(session.journal, {row.id: gist.noted}).get(row.id, []),
    }


def _steps(found: Any) -> dict[str, Any]:
    """Return a replay as JSON: what each event was, and what was believed and owed after it."""
    steps = []
    for walk in found.walks:
        view = walk.view(walk.events[-1].at)
        belief = {one.fault: round(one.share, 4) for one in view.suspects}
        steps.append({"event": walk.events[-1], "belief": belief, "owed": [one.check for one in view.owed]})
    differs = [{"step": one.number, "why": one.why} for one in found.differs]
    return {"id": found.id, "same knowledge": found.same, "differs": differs, "stops": found.stops, "steps": steps}

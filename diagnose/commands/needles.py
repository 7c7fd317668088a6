"""``diagnose needles``: where the screws of an engine stand, and the ledger of what was done to them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from diagnose.commands import common, ledger_json
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.graph.model.parts import SCREWS

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from diagnose.tune.needles import Depth, Ledger, LedgerEntry, Tune
    from diagnose.workshop.session import Session

RECORD = "diagnose needles ENGINE set SCREW HOURS"
NOTE = "Note it with 'diagnose day --save' and 'diagnose fuel --save', and mark the tune again."


def _screws(_: click.Context, __: click.Parameter, incomplete: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    return [CompletionItem(screw) for screw in SCREWS if screw.startswith(incomplete)]


class _Shown(click.Group):
    """A group that shows, when nothing else is asked for."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put the command in where only the engine, or that and an option, is given."""
        named = bool(args) and not args[0].startswith("-") and not ctx.resilient_parsing  # that is for completion
        shows = named and (len(args) == 1 or args[1].startswith("-"))
        return super().parse_args(ctx, [args[0], "show", *args[1:]] if shows else args)


@click.group(cls=_Shown)
@click.argument("engine", shell_complete=common.engine_names)
@click.pass_context
def needles(ctx: click.Context, engine: str) -> None:
    """Say where an engine's screws stand, and keep its ledger.

    A needle is turned in a walk, which minds what is owed first. Here a screw
    that was counted or measured is put right in the ledger.

    \b
    Examples:
      diagnose needles "blue truggy"
      diagnose needles "blue truggy" set "low needle" 30
      diagnose needles "blue truggy" good --head 98C
    """
    ctx.obj = engine


@needles.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def show(engine: str, as_json: bool) -> None:
    """Say where the screws stand: now, at the last good tune, at first.

    \b
    Example:
      diagnose needles "blue truggy" show --json
    """
    with common.session() as session:
        _tell(session, engine, as_json=as_json)


@needles.command("set")
@click.argument("screw", shell_complete=_screws)
@click.argument("hours", required=False)
@click.option("--flush", "from_flush", is_flag=True, help="HOURS from flush with the body.")
@click.option("--caliper", metavar="MM", help="Measured from the body to the head, with --pitch.")
@click.option("--pitch", metavar="MM", help="Of the thread, a turn; M3 has 0.5.")
@click.option("--sunk", is_flag=True, help="The head is below the body.")
@click.option("--baseline", is_flag=True, help="Begin from where all screws stand then.")
@click.option("--air-screw", is_flag=True, help="The low screw lets in air; with --baseline.")
@click.option("--reason", default="", help="Why, in a few words.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def set_(
    engine: str,
    screw: str,
    hours: str | None,
    from_flush: bool,
    caliper: str | None,
    pitch: str | None,
    sunk: bool,
    baseline: bool,
    air_screw: bool,
    reason: str,
    as_json: bool,
) -> None:
    """Write down where a screw stands, in HOURS out from gently closed.

    HOURS may be in turns as well: 39, "3t 3h" and "3 1/4 turns" are the same.

    \b
    Examples:
      diagnose needles "blue truggy" set "low needle" 30
      diagnose needles "blue truggy" set "high needle" "3 1/4 turns"
      diagnose needles red set "high needle" --caliper 1.5 --pitch 0.5
    """
    from diagnose.tune.needles import Baseline, Corrected

    if air_screw and not baseline:
        raise DiagnoseError("--air-screw goes with --baseline")
    settings = {_screw(screw): _depth(hours, caliper, pitch, from_flush=from_flush, sunk=sunk)}
    with common.session() as session:
        before, at = session.ledger(engine), session.clock()
        entry: LedgerEntry = Corrected(at, settings, reason)
        if baseline or _is_new(before):
            now = session.conditions(engine)
            entry = Baseline(at, {**before.now, **settings}, now, air_screw or before.air_screw, reason)
        session.write(engine, entry)
        _tell(session, engine, as_json=as_json)


@needles.command()
@click.option("--head", metavar="T", help="The head as it came in, like 98, 98C or 208F.")
@click.option("--plug", default="", metavar="TEXT", help="The plug that is in it.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def good(engine: str, head: str | None, plug: str, as_json: bool) -> None:
    """Mark the tune good as it stands, with today's air and fuel.

    \b
    Example:
      diagnose needles "blue truggy" good --head 98C --plug medium
    """
    from msgspec.structs import replace

    from diagnose.pages.good_tune import unknown
    from diagnose.pages.parts import Paragraph
    from diagnose.tune.needles import Good

    with common.session() as session:
        session.engine(engine)
        now = session.conditions(engine)
        if head is not None:
            now = replace(now, head=common.read("--head", head, "degrees"))
        session.write(engine, Good(session.clock(), now, plug))
        _tell(session, engine, as_json=as_json)
    if not as_json and (missing := unknown(now)):
        show_page((*missing, Paragraph(NOTE)))


@needles.command()
@click.option("--to", "which", metavar="TUNE", help="An earlier one: 2, 3 ... as 'needles' numbers them, or baseline.")
@click.option("--done", is_flag=True, help="Write down that the screws stand there now.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def back(engine: str, which: str | None, done: bool, as_json: bool) -> None:
    """Say how to go back to the record, on this day and with this fuel.

    \b
    Examples:
      diagnose needles "blue truggy" back
      diagnose needles "blue truggy" back --to baseline --done
    """
    from diagnose.pages.going_back import NO_RECORD, going_back, went_back
    from diagnose.tune.needles import WentBack

    with common.session() as session:
        record = None if which is None else _kept(session.ledger(engine), which)
        found = session.going_back(engine, record)
        if found is None:
            raise DiagnoseError(f"{NO_RECORD.rstrip(chr(46))}: {RECORD}")
        if done:
            settings = {target.screw: target.depth for target in found.targets}
            session.write(engine, WentBack(session.clock(), settings, found.because))
        now, air_screw = session.conditions(engine), session.ledger(engine).air_screw
    if as_json:
        targets = {
            one.screw: {**ledger_json.depth(one.depth), "record": ledger_json.depth(one.record), "added": one.added}
            for one in found.targets
        }
        common.say_json(
            {"engine": engine, "targets": targets, "because": found.because, "how": found.how, "done": done}
        )
        return
    if done:
        show_page(went_back(found, air_screw=air_screw))
    else:
        show_page(going_back(found, now))


@needles.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def undo(engine: str, as_json: bool) -> None:
    """Strike out the newest entry, or a cure's good mark.

    A turn that a walk asked for is taken back in the walk.

    \b
    Example:
      diagnose needles "blue truggy" undo
    """
    from diagnose.pages.ledger import entries as told

    with common.session() as session:
        struck = session.strike(engine)
        if not as_json:
            show_page(told((struck,)))
        _tell(session, engine, as_json=as_json)


@needles.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_obj
def history(engine: str, as_json: bool) -> None:
    """List all that was done to the screws, oldest first.

    \b
    Example:
      diagnose needles "blue truggy" history
    """
    from diagnose.pages.ledger import entries as told

    with common.session() as session:
        entries = session.ledger(engine).entries
    if as_json:
        common.say_json({"engine": engine, "entries": entries})
    else:
        show_page(told(entries))


def _tell(session: Session, engine: str, *, as_json: bool) -> None:
    from diagnose.pages.parts import Heading
    from diagnose.pages.stand import heading, kept_tunes, stand

    found, known, gap = session.ledger(engine), session.engine(engine), session.gap(engine)
    if as_json:
        common.say_json({"engine": engine, **ledger_json.shown(found)})
    else:
        show_page((Heading(heading(known)), *stand(found, known.variant.needles, RECORD, gap), *kept_tunes(found)))


def _kept(ledger: Ledger, which: str) -> Tune:
    """Return a kept tune by its number, the newest is 1, or the baseline."""
    known = {str(number): tune for number, tune in enumerate(ledger.kept, 1)}
    if ledger.baseline is not None and ledger.baseline.settings:
        known["baseline"] = ledger.baseline
    if which not in known:
        raise DiagnoseError(f"there is no tune '{which}' to go back to: it can be {', '.join(known) or 'none yet'}")
    return known[which]


def _screw(typed: str) -> Screw:
    from diagnose.graph.problem import did_you_mean

    for screw in SCREWS:
        if typed.lower() in (screw, screw.removesuffix(" needle"), screw.removeprefix("idle ")):
            return screw
    raise DiagnoseError(f"there is no screw '{typed}'{did_you_mean(typed, SCREWS) or ': ' + ', '.join(SCREWS)}")


def _depth(hours: str | None, mm: str | None, pitch: str | None, *, from_flush: bool, sunk: bool) -> Depth:
    """Return the depth that was typed; raises `DiagnoseError` for what is no depth."""
    from diagnose.tune.needles import caliper, closed, flush

    if (hours is None) == (mm is None):
        raise DiagnoseError("say the HOURS out from gently closed, or measure with --caliper MM --pitch MM")
    if mm is not None:
        if pitch is None or from_flush:
            raise DiagnoseError("--caliper takes the --pitch of the thread (M3: 0.5), and no --flush")
        return caliper(common.read("--caliper", mm, "mm"), common.read("--pitch", pitch, "mm"), sunk)
    if pitch is not None:
        raise DiagnoseError("--pitch goes with --caliper")
    if from_flush:
        return flush(common.read("HOURS", hours or "", "hours"), sunk)
    if sunk:
        raise DiagnoseError("--sunk goes with --flush or --caliper: gently closed is as deep as a screw goes")
    return closed(common.read("HOURS", hours or "", "hours"))


def _is_new(ledger: Ledger) -> bool:
    """Say whether the screws are still being written down for the first time."""
    from diagnose.tune.needles import Baseline

    return all(isinstance(entry, Baseline) for entry in ledger.entries)

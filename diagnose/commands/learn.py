"""``diagnose record learned|learn|forget|share``: the club's outings folded into the weights, and out again."""

from __future__ import annotations

from pathlib import Path

import click

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

FILE = click.Path(path_type=Path)
WITH = click.option(
    "--with",
    "files",
    multiple=True,
    metavar="FILE",
    type=FILE,
    help="What another club has shared; as often as you like.",
)
JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON.")


@click.command()
@click.argument("symptom", required=False, shell_complete=common.ids("symptoms"))
@WITH
@JSON
def learned(symptom: str | None, files: tuple[Path, ...], as_json: bool) -> None:
    """Show how often each fault was behind a symptom.

    Nothing is changed. With SYMPTOM: what would change on that one.

    \b
    Examples:
      diagnose record learned
      diagnose record learned revs-hang --with other-club.yaml
    """
    from diagnose.graph.problem import did_you_mean
    from diagnose.pages.learned import detail, summary
    from diagnose.record.share import read
    from diagnose.workshop.club import club, weighing

    with common.session() as session:
        known = session.knowledge
        if symptom is not None and symptom not in known.symptoms:
            raise DiagnoseError(f"there is no symptom '{symptom}'{did_you_mean(symptom, known.symptoms)}")
        found = club(session, [read(file, known) for file in files])
    if symptom is None:
        common.say_json(found) if as_json else show(summary(found, known))
        return
    one = next((one for one in found.symptoms if one.symptom == symptom), None) or weighing(known, symptom, {})
    common.say_json(one) if as_json else show(detail(one, known))


@click.command()
@WITH
@JSON
def learn(files: tuple[Path, ...], as_json: bool) -> None:
    """Let your outings count from the next walk on.

    A symptom is taken over only where that foretells your outings better.
    Say it again when there are more outings; 'forget' takes it back.

    \b
    Examples:
      diagnose record learn
      diagnose record learn --with other-club.yaml
    """
    from diagnose.pages.learned import summary, taken
    from diagnose.record.share import read
    from diagnose.workshop.club import learn as take_over

    with common.session() as session:
        known = session.knowledge
        found = take_over(session, [read(file, known) for file in files])
    common.say_json(found) if as_json else show((*summary(found, known), *taken(found)))


@click.command()
@JSON
def forget(as_json: bool) -> None:
    """Let the files' weights count again. No outing is lost.

    \b
    Example:
      diagnose record forget
    """
    from diagnose.pages.learned import forgotten
    from diagnose.workshop import club

    with common.session() as session:
        were = club.forget(session)
    common.say_json({"forgot": were}) if as_json else show(forgotten(were=were))


@click.command()
@click.option("-o", "out", metavar="FILE", type=FILE, required=True, help="Where it is written.")
@JSON
def share(out: Path, as_json: bool) -> None:
    """Write how often each mend has cured what, for another club.

    Counts only: no names, no dates, no notes. Your own outings alone are in it.

    \b
    Example:
      diagnose record share -o our-club.yaml
    """
    from diagnose.pages.learned import shared
    from diagnose.paper.sheet import write
    from diagnose.record.share import text
    from diagnose.workshop.club import own

    with common.session() as session:
        _, counts = own(session)
    if not counts:
        raise DiagnoseError("there is nothing to share yet: no outing was cured by one mend")
    write(text(counts), out)
    many = sum(count for faults in counts.values() for count in faults.values())
    common.say_json({"file": str(out), "outings": many}) if as_json else show(shared(many, str(out)))

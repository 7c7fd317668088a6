"""``diagnose practice``: the simulated engines, and the program measured by them."""

from __future__ import annotations

import sys

import click

from diagnose.commands import common
from diagnose.commands.practice_class import class_
from diagnose.commands.practice_learners import debrief, forget, next_, results
from diagnose.commands.printed import show as show_page

MOST_ENGINES = 1_000_000


@click.group()
def practice() -> None:
    """Work with simulated engines, and measure the program by them.

    The engines are built from physics and not from the knowledge's numbers.

    \b
    Example:
      diagnose practice start --lesson start-it-safely
    """


@practice.command()
@click.option("--n", "count", type=click.IntRange(1, MOST_ENGINES), default=1000, help="Engines with one fault.")
@click.option("--seed", type=int, default=1, help="The same seed gives the same figures.")
@click.option("--person", default="usual", help="noisy, repeats, retest-errs, misnames or half-sure.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def measure(count: int, seed: int, person: str, as_json: bool) -> None:
    """Drive random engines by the advice, and report.

    Beside each N engines with one fault there are N/4 with two faults,
    N/4 detuned with a record and N/8 detuned without one. --person is who
    looks: twice as noisy; half of the repeated looks slip as the first did;
    a tenth of the re-tests err; a tenth of the owners name another
    complaint; half of the answers are not quite sure.

    \b
    Examples:
      diagnose practice measure
      diagnose practice measure --n 10000 --seed 7 --json
    """
    from diagnose.graph.problem import did_you_mean
    from diagnose.measure.measure import jobs, report, results
    from diagnose.pages.measured import measured, wish
    from diagnose.practice.person import PERSONS

    if person not in PERSONS:
        raise click.UsageError(f"there is no person '{person}'{did_you_mean(person, PERSONS)}: {', '.join(PERSONS)}")
    known = common.knowledge()
    todo = jobs(count, seed)
    with click.progressbar(
        results(known, todo, person=PERSONS[person]), length=len(todo), label="engines", file=sys.stderr
    ) as bar:
        found = report(list(bar), seed)
    if as_json:
        common.say_json(
            {
                "seed": seed,
                "engines": found.engines,
                "figures": found.figures,
                "fell short": [wish(found, wanted) for wanted in found.fell_short],
                "uncured": found.uncured,
                "needle turned early": found.early,
            }
        )
        return
    show_page(measured(found))


@practice.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def compare(as_json: bool) -> None:
    """List where the knowledge and the simulated engine disagree.

    An answer is listed when the two hold it more than three times as likely,
    or as unlikely, under a fault. One of them is wrong.

    \b
    Example:
      diagnose practice compare
    """
    from diagnose.measure.disagree import disagreements
    from diagnose.pages.measured import disagreements as listed

    found = list(disagreements(common.knowledge()))
    if as_json:
        common.say_json({"disagreements": found})
        return
    show_page(listed(found))


@practice.command()
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def lessons(as_json: bool) -> None:
    """List the lessons.

    \b
    Example:
      diagnose practice lessons
    """
    known = common.knowledge()
    if as_json:
        common.say_json(
            [
                {"id": key, "name": one.name, "symptom": one.symptom, "text": one.text}
                for key, one in known.lessons.items()
            ]
        )
    else:
        common.table((key, one.name, known.symptoms[one.symptom].name) for key, one in known.lessons.items())


@practice.command()
@click.option("--lesson", metavar="ID", shell_complete=common.ids("lessons"), help="A lesson.")
@click.option("--symptom", metavar="ID", shell_complete=common.ids("symptoms"), help="What it does; with --fault.")
@click.option("--fault", metavar="ID", shell_complete=common.ids("faults"), help="What a mentor hides; with --symptom.")
@click.option("--seed", type=int, help="Draw an engine; the same seed, the same engine.")
@click.option("--faults", "count", type=click.IntRange(1, 2), default=1, help="With --seed: how many are wrong.")
@click.option("--plain", is_flag=True, help="Numbered lines, for screen readers and pipes.")
@click.option("--learner", metavar="NICKNAME", default="", help="Keep the result under this nickname.")
def start(
    lesson: str | None,
    symptom: str | None,
    fault: str | None,
    seed: int | None,
    count: int,
    plain: bool,
    learner: str,
) -> None:
    """Practise on an engine with something wrong.

    \b
    Examples:
      diagnose practice start --lesson start-it-safely
      diagnose practice start --seed 7 --plain --learner kim
    """
    import random

    from diagnose.practice import setting
    from diagnose.workshop.learners import nickname

    ways = [lesson is not None, symptom is not None or fault is not None, seed is not None]
    if sum(ways) > 1 or (symptom is None) != (fault is None):
        raise click.UsageError("choose one: --lesson, or --symptom with --fault, or --seed")
    kept = nickname(learner) if learner else ""
    known = common.knowledge()
    if lesson is not None:
        begun = setting.from_lesson(known, lesson)
    elif symptom is not None and fault is not None:
        begun = setting.hidden(known, symptom, fault, str(random.randrange(10**6)))
    else:
        begun = setting.drawn(known, str(random.randrange(10**6) if seed is None else seed), count)
    if not plain:
        from diagnose.commands.walk import open_practice

        open_practice(begun, kept)
        return
    from diagnose.commands.practice_plain import practise

    if not kept:
        practise(known, begun, "", None)
        return
    with common.journal() as journal:
        practise(known, begun, kept, journal)


practice.add_command(class_)
for one in (results, debrief, next_, forget):
    practice.add_command(one)

"""What the program is worth on simulated engines, and where the knowledge and those disagree."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diagnose.measure import figures
from diagnose.measure.disagree import Disagreement
from diagnose.measure.figures import Figure
from diagnose.measure.measure import Report, WantedFigure
from diagnose.pages.parts import Gap, Heading, Page, Paragraph, Table
from diagnose.practice.believed import Believed
from diagnose.reason.likelihood import BANDS

MOST_TOLD = 15
"""Lines of what was not cured."""
AGAINST = "on the engines with one fault: a needle turned at a mechanical one, and against other ways of working"
LIKELY = "how often each word for a suspect was right, with one fault"
SAID = ("", "said", "right", "", "times")
HEAD = ("check", "answer", "fault", "simulated", "knowledge")


def measured(found: Report) -> Page:
    """Return the figures by kind of engine, what fell short, and what was not cured."""
    kinds = tuple(f"{kind}: " for kind in found.engines)
    short = tuple(Paragraph(f"  {wish(found, wanted)}") for wanted in found.fell_short)
    return (
        *(part for kind, count in found.engines.items() for part in _engines(found, kind, count)),
        Heading(AGAINST),
        _figures((name, one) for name, one in found.figures.items() if not name.startswith(kinds)),
        Gap(),
        Paragraph("fell short of what is wanted" if short else "every number that is wanted is reached"),
        *short,
        *_believed(found),
        *_counted("a needle turned at a mechanical fault most often", found.early),
        *_counted("not cured, one fault: complaint, fault, verdict", dict(list(found.uncured.items())[:MOST_TOLD])),
    )


def _engines(found: Report, kind: str, count: int) -> Page:
    start = f"{kind}: "
    own = ((name.removeprefix(start), one) for name, one in found.figures.items() if name.startswith(start))
    return Heading(f"{count} engines: {kind}"), _figures(own), Gap()


def _figures(found: Iterable[tuple[str, Figure]]) -> Table:
    return Table(tuple((f"  {name}", *with_interval(figure)) for name, figure in found))


def _believed(found: Report) -> Page:
    told = tuple(
        (f"  {said}, {moment}", *_right(one))
        for moment, words in found.believed.items()
        for (_, said), one in zip(BANDS, words, strict=True)
        if one.count
    )
    return (Gap(), Heading(LIKELY), Table((SAID, *told), head=True)) if told else ()


def _right(one: Believed) -> tuple[str, ...]:
    return f"{one.shares / one.count:.3f}", *with_interval(figures.share(one.right, one.count)), str(one.count)


def _counted(heading: str, counts: Mapping[str, int]) -> Page:
    told = (Paragraph(f"{count:5}  {what}") for what, count in counts.items())
    return (Gap(), Heading(heading), *told) if counts else ()


def with_interval(figure: Figure) -> tuple[str, str]:
    """Say a figure and its interval."""
    return f"{figure.value:.3f}", f"{figure.low:.3f} to {figure.high:.3f}"


def wish(found: Report, wanted: WantedFigure) -> str:
    """Say what was wanted and what there is."""
    least = "at least" if wanted.at_least else "at most"
    return f"{wanted.figure}: {found.figures[wanted.figure].value:.3f}, wanted {least} {wanted.value:g}"


def disagreements(found: list[Disagreement]) -> Page:
    """List what the two hold very differently."""
    if not found:
        return (Paragraph("they agree on everything, within a factor of three"),)
    rows = ((one.check, one.answer, one.fault, f"{one.simulated:.2f}", f"{one.known:.2f}") for one in found)
    return (Table((HEAD, *rows), head=True),)

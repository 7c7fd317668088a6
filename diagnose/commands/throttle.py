"""``diagnose throttle``: what a step of the radio's trim is worth at idle, and what the end points do."""

from __future__ import annotations

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError


@click.command()
@click.option("--bore", required=True, metavar="LENGTH", help="The carburettor's bore, like 7mm.")
@click.option("--gap", required=True, metavar="LENGTH", help="The gap at rest, like 0.7mm.")
@click.option("--horn", required=True, metavar="LENGTH", help="The servo's horn, from its middle to the rod.")
@click.option("--dead-band", metavar="US", help="The servo's dead band in µs; 5 is usual.")
@click.option("--full", metavar="US", help="The pulse at full trigger, in µs.")
@click.option("--shut", metavar="US", help="The pulse at full brake, in µs.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def throttle(
    bore: str, gap: str, horn: str, dead_band: str | None, full: str | None, shut: str | None, as_json: bool
) -> None:
    """Say what a step of trim is worth at idle, and what the ends do.

    For a slide over a round bore that the servo holds up. Resting on its idle
    stop it does not follow the trim: set the neutral so that it rests there.

    \b
    Examples:
      diagnose throttle --bore 7mm --gap 0.7mm --horn 12mm
      diagnose throttle --bore 7mm --gap 0.7mm --horn 12mm --full 2000 --shut 1000
    """
    from diagnose.pages.throttle import throttle as throttle_page
    from diagnose.tune.throttle import DEAD_BAND, PER_PERCENT, ends, problem, worth

    size, rest, arm = (
        common.read(f"--{name}", typed, "mm") / 1000 for name, typed in zip(NAMES, (bore, gap, horn), strict=True)
    )
    lengths = (size, rest, arm)
    typed = {"--full": full, "--shut": shut, "--dead-band": dead_band}
    pulses = {name: None if text is None else common.read(name, text, "µs") for name, text in typed.items()}
    if wrong := problem(*lengths) or _wrong_pulse(pulses):
        raise DiagnoseError(wrong)
    if (full is None) != (shut is None):
        raise click.UsageError("--full and --shut go together")
    opened, closed = pulses["--full"], pulses["--shut"]
    band = DEAD_BAND if pulses["--dead-band"] is None else pulses["--dead-band"]
    told = {
        "trim_step": worth(PER_PERCENT, *lengths),
        "dead_band": {"low": worth(-band, *lengths), "high": worth(band, *lengths)},
        "past_open": None,
        "past_stop": None,
    }
    reach = None if opened is None or closed is None else ends(*lengths, opened, closed)
    if reach is not None:
        told |= {"past_open": reach.past_open, "past_stop": reach.past_stop}
    if as_json:
        common.say_json(told)
        return
    show_page(throttle_page(lengths, band, reach))


NAMES = ("bore", "gap", "horn")
LEAST, MOST = 500.0, 2500.0
"""µs: no servo is driven beyond these."""


def _wrong_pulse(pulses: dict[str, float | None]) -> str | None:
    """Return why a pulse in µs can't be, or None."""
    for name, pulse in pulses.items():
        low, high = (0.0, 100.0) if name == "--dead-band" else (LEAST, MOST)
        if pulse is not None and not low <= pulse <= high:
            return f"{name}: {pulse:g} µs can't be; it goes from {low:g} to {high:g} µs"
    return None

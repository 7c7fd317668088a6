"""The head's temperature: what an infrared thermometer shows of it, and what a reading can and can't say.

The thermometer takes in what the surface sends out and what it mirrors, S = e·L(T) + (1 - e)·L(around), and shows the
temperature that gives S for the emissivity it is set to. L is Planck's law from 8 to 14 µm. The thermometer itself is
taken to be as warm as what is around the engine.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log
from typing import Literal

from diagnose.graph.wording import both
from diagnose.tune.air import ZERO

SET_TO = 0.95
"""The emissivity that most infrared thermometers are set to: common practice, no source."""
AROUND = 25.0
"""°C of what the head mirrors, when nothing better is known: assumed."""
READINGS = (-40.0, 200.0)
"""°C that a thermometer can show of a head; a larger number is °F. A judgement."""

_BAND = (8.0, 14.0)  # µm
_SECOND = 14_387.77  # µm K, the second radiation constant

Surface = Literal["bare", "roughened", "anodised", "painted"]


@dataclass(frozen=True, slots=True)
class Skin:
    """A surface of aluminium as an infrared thermometer sees it."""

    least: float
    """The least emissivity from 8 to 14 µm, 0 to 1."""
    most: float
    """The largest emissivity."""


SURFACES: dict[Surface, Skin] = {
    "bare": Skin(0.05, 0.20),
    "roughened": Skin(0.10, 0.30),
    "anodised": Skin(0.55, 0.97),
    "painted": Skin(0.92, 0.96),
}
"""From published tables: bright sheet to lightly oxidised (polished is less, well oxidised more); roughened;
chromic-acid anodised (its band is not stated) to dull grey anodised; painted aluminium to flat black. What an anodised
head has can't be told from its look."""

_SAID: dict[Surface, str] = {
    "bare": "Bare metal mirrors what is around it. {shown} on the thermometer can be a head at {least} or one at "
    "{most}, so it cannot be corrected.",
    "roughened": "Rough metal still mirrors most of what is around it. The head is somewhere from {least} to {most}, "
    "which is too wide to tune by.",
    "anodised": "How anodised metal reads depends on its colour and depth. The head is somewhere from {least} to "
    "{most}.",
    "painted": "Paint reads nearly true. The head is from {least} to {most}.",
}
_PAINT_A_SPOT = (
    "With the engine cold, paint a spot on the head matt black with heat-proof paint, and always measure there."
)
_NEVER_TOUCH = "A low number on shiny metal does not mean a cool head. Do not touch it."
_ALWAYS = (
    "Compare only readings of the same thermometer, the same spot and the same moment after a run.",
    "Hold it so close that the head is twice as wide as the spot it sees. Cooler parts in the spot make it read low.",
    "The number is a warning and a trend. Alone it does not say rich or lean.",
)


def radiance(temperature: float) -> float:
    """Return what a black body at `temperature`, °C, sends out from 8 to 14 µm, in arbitrary units (Planck)."""
    return _band(temperature + ZERO)[0]


def _band(kelvin: float) -> tuple[float, float]:
    """Return the radiance and d ln L / d ln T."""
    short, long = (_SECOND / (edge * kelvin) for edge in _BAND)
    within = _beyond(long) - _beyond(short)
    ends = long**4 / (exp(long) - 1) - short**4 / (exp(short) - 1)
    return kelvin**4 * within, 4 + ends / within


def _beyond(x: float) -> float:
    """Return the integral of y³/(e^y - 1) from x on, as the usual series."""
    total, n = 0.0, 1
    while n * x < 30:  # what is left is under 1e-12 of the first term
        total += exp(-n * x) * (((x + 3 / n) * x + 6 / n**2) * x + 6 / n**3) / n
        n += 1
    return total


def _temperature(sent: float) -> float:
    """Return the °C of a black body with radiance `sent`, by Newton's rule for ln L over 1/T.

    ln L is convex over 1/T and falls, so from a temperature above the answer no step goes past it; the radiance grows
    at least as fast as T, so 300 K · sent/L(300 K) is above it.
    """
    kelvin = 300 * max(1.0, sent / _band(300)[0])
    for _ in range(60):
        have, power = _band(kelvin)
        excess = log(have / sent)
        kelvin /= 1 + excess / power
        if abs(excess) < 1e-12:
            break
    return kelvin - ZERO


def reading(head: float, emissivity: float, around: float = AROUND, set_to: float = SET_TO) -> float:
    """Return the °C that a thermometer shows of a surface at `head` °C with things at `around` °C about it."""
    mirrored = radiance(around)
    sent = emissivity * radiance(head) + (1 - emissivity) * mirrored
    return _temperature((sent - (1 - set_to) * mirrored) / set_to)


def behind(shown: float, emissivity: float, around: float = AROUND, set_to: float = SET_TO) -> float | None:
    """Return the °C of the surface behind a reading, or None when no surface that mirrors `around` °C shows it."""
    mirrored = radiance(around)
    sent = set_to * radiance(shown) + (1 - set_to) * mirrored
    own = (sent - (1 - emissivity) * mirrored) / emissivity
    return _temperature(own) if own > 0 else None


def _spread(shown: float, surface: Surface, around: float, set_to: float) -> tuple[float, float] | None:
    skin = SURFACES[surface]
    ends = [behind(shown, emissivity, around, set_to) for emissivity in (skin.least, skin.most)]
    known = [end for end in ends if end is not None]
    return (min(known), max(known)) if len(known) == len(ends) else None


def problem(shown: float) -> str | None:
    """Return why no thermometer shows `shown` °C of a head and what to do, or None."""
    if READINGS[0] <= shown <= READINGS[1]:
        return None
    least, most = map(both, READINGS)
    return (
        f"No head reads {shown:.4g} °C: it lies between {least} and {most}. Look again. "
        f"If the thermometer shows °F, write it like 230 F."
    )


def limits(surface: Surface, shown: float, around: float = AROUND, set_to: float = SET_TO) -> tuple[str, ...]:
    """Return what a reading of `shown` °C on that surface can and can't say, a sentence or two each."""
    spread = _spread(shown, surface, around, set_to)
    if spread is None:
        said = f"{both(shown)} is too far below the {both(around)} around it. Measure both again."
    else:
        least, most = map(both, spread)
        said = _SAID[surface].format(shown=both(shown), least=least, most=most)
    shiny = surface in ("bare", "roughened")
    advice = () if surface == "painted" else (_PAINT_A_SPOT,)
    return (said, *((_NEVER_TOUCH,) if shiny else ()), *advice, *_ALWAYS)

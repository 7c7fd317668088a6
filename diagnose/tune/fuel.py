"""The fuel: its density, the air that it asks for, and the needle area that a change of fuel asks for.

CH3OH + 1.5 O2 and CH3NO2 + 0.75 O2, each to carbon dioxide, water and nitrogen. Volumes are taken to add up: no data
were found for the volume that these liquids lose on mixing. The oil is taken for castor; polyalkylene glycol changes
the density of a blend by 0.4%. How much of the oil burns is not known, so answers come as a pair: none, or all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

METHANOL, NITROMETHANE, OIL = 791.0, 1137.5, 961.0
"""kg/m3 at 20 °C: CoolProp 8.0.0; Lee and Tu 1999; castor oil, published."""

_CARBON, _HYDROGEN, _NITROGEN, _OXYGEN = 12.011, 1.0080, 14.007, 15.999
"""g/mol: the abridged standard atomic weights, from memory, inside the intervals that CIAAW published in 2021."""
_OXYGEN_IN_AIR = 0.23139  # by mass, dry air

DELIVERY = 0.8
"""Air that stays in the cylinder over what the displacement holds: assumed, measured on no such engine."""
RICHNESS = 0.8
"""Air over the air that the fuel asks for, at full throttle: assumed; such engines run rich."""


@dataclass(frozen=True, slots=True)
class Blend:
    """A fuel by volume; the rest is methanol."""

    nitro: float
    """Nitromethane, 0 to 1."""
    oil: float
    """Oil, 0 to 1."""

    @property
    def methanol(self) -> float:
        """The share of methanol, 0 to 1."""
        return 1 - self.nitro - self.oil


def problem(blend: Blend) -> str | None:
    """Return why there is no such fuel and what to do, or None."""
    for name, share in (("nitromethane", blend.nitro), ("oil", blend.oil)):
        if not 0 <= share <= 1:
            return f"{share * 100:.4g}% of {name} cannot be. Read the label again: a share is from 0% to 100%."
    if blend.methanol <= 0:
        return (
            f"{blend.nitro * 100:.4g}% of nitromethane and {blend.oil * 100:.4g}% of oil leave no room for methanol. "
            f"Read the label again."
        )
    return None


def air_per_fuel(carbon: float, hydrogen: float, nitrogen: float, oxygen: float) -> float:
    """Return kg of dry air that burn 1 kg of a compound with these atoms in a molecule; nitrogen does not burn."""
    atoms = (carbon * _CARBON, hydrogen * _HYDROGEN, nitrogen * _NITROGEN, oxygen * _OXYGEN)
    molecules_of_oxygen = carbon + hydrogen / 4 - oxygen / 2
    return molecules_of_oxygen * 2 * _OXYGEN / (_OXYGEN_IN_AIR * sum(atoms))


FOR_METHANOL = air_per_fuel(1, 4, 0, 1)
FOR_NITROMETHANE = air_per_fuel(1, 3, 1, 2)
FOR_OIL = air_per_fuel(57, 104, 0, 9)
"""kg of air per kg; the oil is castor's main part, C57H104O9."""


def density(blend: Blend) -> float:
    """Return the density at 20 °C, kg/m3."""
    return blend.methanol * METHANOL + blend.nitro * NITROMETHANE + blend.oil * OIL


def air_demand(blend: Blend, oil_burnt: bool) -> float:
    """Return the kg of dry air that one litre asks for, with none of the oil burnt or all of it."""
    demand = blend.methanol * METHANOL * FOR_METHANOL + blend.nitro * NITROMETHANE * FOR_NITROMETHANE
    return (demand + oil_burnt * blend.oil * OIL * FOR_OIL) / 1000


def volume_ratio(new: Blend, old: Blend) -> tuple[float, float]:
    """Return the volume of `new` that the same air asks for over that of `old`: (smaller, larger), oil burnt or not."""
    none, every = (air_demand(old, burnt) / air_demand(new, burnt) for burnt in (False, True))
    return min(none, every), max(none, every)


def area_ratio(new: Blend, old: Blend) -> tuple[float, float]:
    """Return the needle area that `new` asks for over that of `old`, in the same air: (smaller, larger).

    The mass through an orifice goes as area · √density, so a denser fuel flows less volume through the same needle.
    """
    slower = sqrt(density(new) / density(old))
    smaller, larger = volume_ratio(new, old)
    return smaller * slower, larger * slower


def flow(
    displacement: float,
    speed: float,
    rho: float,
    blend: Blend,
    *,
    delivery: float = DELIVERY,
    richness: float = RICHNESS,
) -> float:
    """Return the fuel that a two-stroke at full throttle drinks, m3/s, with none of the oil burnt.

    `displacement` is in m3, `speed` in revolutions a second, `rho` the density of the air in kg/m3.
    """
    air = rho * displacement * speed * delivery  # kg/s: a two-stroke fills once a revolution
    return air / (air_demand(blend, oil_burnt=False) * richness) / 1000

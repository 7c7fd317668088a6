"""The physical parts of a simulated engine, each as a number, and its screws and its day.

What a fault does is a change of these numbers (`faults.py`); what the engine then does follows from them alone. A
share is 0 to 1, 1 being all of it. Areas are in mm², lengths in mm, needles in hours past where fuel begins to flow.
Every sound value here is assumed: one small car engine of 3.5 cm³ as common practice describes it, no source.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend

HIGH, MID, LOW, GAP = 36.0, 24.0, 18.0, 1.0
"""Where a sound engine is right on the standard day: three turns, two, one and a half, and a gap of 1 mm. Assumed
within the counts that guides name."""

PITCH = 0.5
"""mm a turn of the idle stop (M3), so that an hour of it is 0.042 mm."""

STANDARD_AIR = Air(20.0, 101_325.0, 0.5)
STANDARD_FUEL = Blend(0.20, 0.10)

Needle = Literal["high needle", "mid needle", "low needle"]


class Screws(Struct, frozen=True):
    """Where the four screws stand."""

    high: float = HIGH
    mid: float = MID
    low: float = LOW
    gap: float = GAP
    """mm that the slide stands open when it rests on its idle stop."""

    def turned(self, screw: Screw, hours: float) -> Screws:
        """Return them with one screw turned; richer (or in) is positive. A needle can't be closed past its seat."""
        match screw:
            case "high needle":
                return Screws(max(self.high + hours, 0.5), self.mid, self.low, self.gap)
            case "mid needle":
                return Screws(self.high, max(self.mid + hours, 0.5), self.low, self.gap)
            case "low needle":
                return Screws(self.high, self.mid, max(self.low + hours, 0.5), self.gap)
            case "idle stop":
                return Screws(self.high, self.mid, self.low, max(self.gap + hours * PITCH / 12, 0.05))


class Day(Struct, frozen=True):
    """The air and the fuel that the engine runs on."""

    air: Air = STANDARD_AIR
    fuel: Blend = STANDARD_FUEL


class Parts(Struct, frozen=True):
    """What state every part is in; the defaults are a sound engine, half a tank full."""

    # the radio and the linkage
    battery: float = 1.0
    """Share of its strength that the receiver's battery keeps while both servos work."""
    signal: float = 1.0
    """Share of the time that the receiver hears the transmitter at a distance."""
    fail_safe: float = 1.0
    """1 when it shuts the throttle, 0 when it leaves it."""
    held: float = 0.0
    """mm that the rod holds the slide off its stop at rest."""
    trim: float = 0.0
    """mm that the radio's neutral holds it off."""
    reach: float = 1.0
    """Share of the bore that full trigger opens."""
    stall: float = 0.0
    """Share of its strength that the servo loses by pushing against its end."""
    dead_band: float = 0.0
    """Share of the trigger's travel that moves nothing."""
    tremble: float = 0.0
    """mm that the slide jumps although the trigger is still."""
    rod_rub: float = 0.0
    """mm that the slide stays open as the rod rubs."""
    barrel_stick: float = 0.0
    """mm that it stays open as the slide itself sticks."""
    servo_scatter: float = 0.0
    """mm within which the servo comes back to another place each time."""
    rod_off: float = 0.0
    """1 when the rod has come off."""
    # the way of the fuel
    level: float = 0.5
    """Share of the tank that is full."""
    primed: float = 1.0
    """Share of the line that holds fuel before a start."""
    filter_free: float = 1.0
    """Share of the fuel filter that lets fuel through."""
    line_free: float = 1.0
    """Share of the fuel line's bore that is open; a kink closes it."""
    line_leak: float = 0.0
    """Share of air in what comes through a split line."""
    drips: float = 0.0
    """How wet the outside of the fuel line is, 0 to 1."""
    swapped: float = 0.0
    """1 when the two lines are on each other's nipples."""
    pickup: float = 0.0
    """Share of air that a split pick-up draws from an empty tank; half a tank covers half of the split."""
    jet_blocked: float = 0.0
    """Share of the jet that dirt covers."""
    tip: float = 0.0
    """How badly the high needle's tip is grooved or bent, 0 to 1."""
    hot_line: float = 0.0
    """Share of vapour in a line that lies against something hot."""
    shaken: float = 0.0
    """Share of froth in a tank that shakes."""
    specks: float = 0.0
    """Dirt in the bottle, 0 to 1."""
    # the fuel itself
    water: float = 0.0
    """How far the fuel is spoilt by water and age, 0 to 1."""
    nitro: float = 0.0
    """Nitromethane above (or below) what the maker asks for, as a share of the volume."""
    oil: float = 0.0
    """Oil above (or below) it."""
    # the tank's pressure and the exhaust
    pressure_line: float = 1.0
    """Share of the pressure that the line passes on."""
    line_seen: float = 0.0
    """How plainly the pressure line is off or split to an eye, 0 to 1."""
    lid: float = 0.0
    """Share of the pressure that the lid loses on a tank that is half full."""
    crack: float = 0.0
    """The same for a crack of the tank; it drips too."""
    nipple: float = 1.0
    """Share of the pressure that the pipe's nipple passes on."""
    joint: float = 0.0
    """Share of the exhaust's pressure that is lost at the header or the coupler."""
    overfill: float = 0.0
    """How much fuel stands in the pressure line, 0 to 1."""
    line_low: float = 0.0
    """1 when the pressure line hangs lower than the fuel."""
    outlet: float = 1.0
    """Share of the pipe's outlet that is open."""
    outlet_turned: float = 0.0
    """1 when the outlet blows at the car."""
    # the way of the air
    choke: float = 0.0
    """Share of the air filter that dirt or oil closes."""
    torn: float = 0.0
    """How badly the air filter is torn or unsealed, 0 to 1."""
    base_leak: float = 0.0
    """mm² at the carburettor's base."""
    seal_leak: float = 0.0
    """mm² at a needle's or the barrel's seal."""
    back_leak: float = 0.0
    """mm² at the backplate."""
    front_leak: float = 0.0
    """mm² at the front bearing."""
    # the fire
    igniter: float = 1.0
    """Power that the igniter gives, of what a plug needs; 2 melts it."""
    coil: float = 1.0
    """1 when the plug's coil is whole."""
    activity: float = 1.0
    """Share of a new plug's catalysis."""
    grade: float = 0.0
    """Steps that the plug is too hot (positive) or too cold."""
    plug_leak: float = 0.0
    """Share of the squeeze that is lost beside the plug."""
    # the squeeze
    fit: float = 1.0
    """Share of the squeeze that piston and sleeve hold when warm; cold oil hides two thirds of the loss."""
    head_leak: float = 0.0
    """Share of the squeeze that is lost at the head."""
    squish: float = 0.0
    """mm that the gap above the piston is too wide (positive) or too narrow."""
    tight: float = 0.0
    """How hard a new piston sticks at the top when cold, 0 to 1."""
    swollen: float = 0.0
    """How far a new piston has grown tight by heat, 0 to 1."""
    gum: float = 0.0
    """How stiff dried oil makes it, 0 to 1."""
    # the crank
    bearing_play: float = 0.0
    """Wear of the main bearings, 0 to 1."""
    rod_play: float = 0.0
    """Wear of the rod, 0 to 1."""
    debris: float = 0.0
    """A loose piece above the piston, 0 to 1."""
    # starting and stopping
    starter: float = 1.0
    """Share of its strength that the starter has."""
    one_way: float = 1.0
    """Share of the tries in which the starter takes the crank along."""
    backwards: float = 0.0
    """1 when the starter turns the wrong way."""
    wet: float = 0.0
    """Liquid fuel above the piston, 0 to 1; from 0.7 it locks."""
    jam: float = 0.0
    """How hard something holds the flywheel, 0 to 1."""
    wheel_loose: float = 0.0
    """How loose the flywheel is, 0 to 1."""
    stopper: float = 1.0
    """1 when the way of stopping works."""
    stopper_far: float = 0.0
    """1 when it works, and can't be reached in time or slips."""
    # from the clutch to the wheels
    clutch_drag: float = 0.0
    """Share of the idle's torque that the clutch takes, with the springs whole."""
    springs: float = 1.0
    """Share of their force that the clutch's springs keep."""
    grip: float = 1.0
    """Share of the torque that the shoes pass on."""
    bell: float = 0.0
    """Roughness of the bell's bearing, 0 to 1."""
    brake_drag: float = 0.0
    """Share of the power that a rubbing brake takes."""
    binding: float = 0.0
    """Share of the power that tight gears take."""
    gearing: float = 1.0
    """Ratio to the right gear: above 1 too long, below too short."""
    slip_part: float = 0.0
    """Share of the torque lost where a gear or hub turns on its shaft."""
    teeth: float = 0.0
    """The same where teeth are gone."""
    differential: float = 0.0
    """The same in the differential."""
    tyre: float = 0.0
    """The same between rim and tyre."""
    bite: float = 1.0
    """Share of its force that the brake has."""
    mount: float = 0.0
    """How loose the engine's mount is, 0 to 1."""
    # getting rid of heat
    fins: float = 1.0
    """Share of the fins that is clean."""
    shell: float = 1.0
    """Share of the air that the body shell lets through to the head."""
    cooling: float = 1.0
    """Cooling against what the day needs: above 1 the head stays cold."""
    reads: float = 0.0
    """°C that the thermometer shows too much (or too little) of a hot head."""


SOUND = Parts()

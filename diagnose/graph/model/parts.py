"""What a simulated engine is made of: its parts, each as a number, and what can be told of it while it runs.

What a fault does is a change of these numbers; what the engine then does follows from them alone. A share is 0 to 1,
1 being all of it. Areas are in mm², lengths in mm. Every sound value here is assumed: one small car engine of 3.5 cm³
as common practice describes it, no source. In files a part has spaces in its name: ``line leak``.
"""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal, get_args, get_type_hints

from msgspec import Meta, Struct

from diagnose.graph.model.base import Screw

Share = Annotated[float, Meta(ge=0, le=1)]
Size = Annotated[float, Meta(ge=0, le=10)]
"""mm or mm²."""
Times = Annotated[float, Meta(ge=0, le=3)]
"""Against what is right, 1."""
Off = Annotated[float, Meta(ge=-3, le=3)]
"""Above or below what is right, 0."""
Degrees = Annotated[float, Meta(ge=-100, le=100)]

Measure = Literal[
    "idle speed",
    "idle gap",
    "idle stop gap",
    "off the stop",
    "mixture at idle",
    "mixture after idling",
    "mixture off idle",
    "mixture at half throttle",
    "mixture at full throttle",
    "thinning",
    "fire at speed",
    "fire at idle",
    "fuel at start",
    "air in line",
    "turning",
    "turning with plug out",
    "warm squeeze",
    "lukewarm squeeze",
    "pull on the road",
    "heat on the stand",
    "heat shown on the stand",
    "heat shown after laps",
    "heat under the shell",
    "hours off record",
    "mid needle off mark",
    "hours off right",
    "stage",
]
"""What is worked out of the parts, the screws and the day, and can be looked at like a part."""


class Parts(Struct, frozen=True):
    """What state every part is in; the defaults are a sound engine, half a tank full."""

    # the radio and the linkage
    battery: Share = 1.0
    """Share of its strength that the receiver's battery keeps while both servos work."""
    signal: Share = 1.0
    """Share of the time that the receiver hears the transmitter at a distance."""
    fail_safe: Share = 1.0
    """1 when it shuts the throttle, 0 when it leaves it."""
    held: Size = 0.0
    """mm that the rod holds the slide off its stop at rest."""
    trim: Size = 0.0
    """mm that the radio's neutral holds it off."""
    reach: Share = 1.0
    """Share of the bore that full trigger opens."""
    stall: Share = 0.0
    """Share of its strength that the servo loses by pushing against its end."""
    brake_pull: Size = 0.0
    """mm that full brake pulls the slide past its idle stop."""
    dead_band: Share = 0.0
    """Share of the trigger's travel that moves nothing."""
    tremble: Size = 0.0
    """mm that the slide jumps although the trigger is still."""
    rod_rub: Size = 0.0
    """mm that the slide stays open as the rod rubs."""
    barrel_stick: Size = 0.0
    """mm that it stays open as the slide itself sticks."""
    servo_scatter: Size = 0.0
    """mm within which the servo comes back to another place each time."""
    rod_off: Share = 0.0
    """1 when the rod has come off."""
    # the way of the fuel
    level: Share = 0.5
    """Share of the tank that is full."""
    primed: Share = 1.0
    """Share of the line that holds fuel before a start."""
    filter_free: Share = 1.0
    """Share of the fuel filter that lets fuel through."""
    pickup_free: Share = 1.0
    """The same of the filter on the pick-up, inside the tank."""
    line_free: Share = 1.0
    """Share of the fuel line's bore that is open; a kink closes it."""
    line_leak: Share = 0.0
    """Share of air in what comes through a split line."""
    drips: Share = 0.0
    """How wet the outside of the fuel line is, 0 to 1."""
    swapped: Share = 0.0
    """1 when the two lines are on each other's nipples."""
    pickup: Share = 0.0
    """Share of air that a split pick-up draws from an empty tank; half a tank covers half of the split."""
    jet_blocked: Share = 0.0
    """Share of the jet that dirt covers."""
    tip: Share = 0.0
    """How badly the high needle's tip is grooved or bent, 0 to 1."""
    hot_line: Share = 0.0
    """Share of vapour in a line that lies against something hot."""
    shaken: Share = 0.0
    """Share of froth in a tank that shakes."""
    specks: Share = 0.0
    """Dirt in the bottle, 0 to 1."""
    # the fuel itself
    water: Share = 0.0
    """How far the fuel is spoilt by water and age, 0 to 1."""
    nitro: Off = 0.0
    """Nitromethane above (or below) what the maker asks for, as a share of the volume."""
    oil: Off = 0.0
    """Oil above (or below) it."""
    # the tank's pressure and the exhaust
    pressure_line: Share = 1.0
    """Share of the pressure that the line passes on."""
    line_seen: Share = 0.0
    """How plainly the pressure line is off or split to an eye, 0 to 1."""
    lid_open: Share = 0.0
    """How far the lid was left open, 0 to 1: nearly all of the pressure is gone at once."""
    lid: Share = 0.0
    """Share of the pressure that the lid loses on a tank that is half full."""
    crack: Share = 0.0
    """The same for a crack of the tank; it drips too."""
    nipple: Share = 1.0
    """Share of the pressure that the pipe's nipple passes on."""
    joint: Share = 0.0
    """Share of the exhaust's pressure that is lost at the header or the coupler."""
    overfill: Share = 0.0
    """How much fuel stands in the pressure line, 0 to 1."""
    line_low: Share = 0.0
    """1 when the pressure line hangs lower than the fuel."""
    outlet: Share = 1.0
    """Share of the pipe's outlet that is open."""
    outlet_turned: Share = 0.0
    """1 when the outlet blows at the car."""
    pipe_misfit: Share = 0.0
    """How far the pipe or its length is another than the engine's own, 0 to 1."""
    # the way of the air
    choke: Share = 0.0
    """Share of the air filter that dirt or oil closes."""
    filter_wet: Share = 0.0
    """How wet the air filter is with water or fuel, 0 to 1; what it closes is `choke`."""
    torn: Share = 0.0
    """How badly the air filter is torn or unsealed, 0 to 1."""
    base_leak: Size = 0.0
    """mm² at the carburettor's base."""
    seal_leak: Size = 0.0
    """mm² at a needle's or the barrel's seal."""
    back_leak: Size = 0.0
    """mm² at the backplate."""
    front_leak: Size = 0.0
    """mm² at the front bearing."""
    # the fire
    igniter: Times = 1.0
    """Power that the igniter gives, of what a plug needs; 2 melts it."""
    hurried: Share = 0.0
    """How much too soon the igniter comes off a cold engine, 0 to 1."""
    coil: Share = 1.0
    """1 when the plug's coil is whole."""
    activity: Share = 1.0
    """Share of a new plug's catalysis."""
    grade: Off = 0.0
    """Steps that the plug is too hot (positive) or too cold."""
    plug_leak: Share = 0.0
    """Share of the squeeze that is lost beside the plug."""
    # the squeeze
    fit: Share = 1.0
    """Share of the squeeze that piston and sleeve hold when warm; cold oil hides two thirds of the loss."""
    head_leak: Share = 0.0
    """Share of the squeeze that is lost at the head."""
    squish: Off = 0.0
    """mm that the gap above the piston is too wide (positive) or too narrow."""
    tight: Share = 0.0
    """How hard a new piston sticks at the top when cold, 0 to 1."""
    swollen: Share = 0.0
    """How far a new piston has grown tight by heat, 0 to 1."""
    gum: Share = 0.0
    """How stiff dried oil makes it, 0 to 1."""
    # the crank
    bearing_play: Share = 0.0
    """Wear of the main bearings, 0 to 1."""
    rod_play: Share = 0.0
    """Wear of the rod, 0 to 1."""
    debris: Share = 0.0
    """A loose piece above the piston, 0 to 1."""
    # starting and stopping
    starter: Share = 1.0
    """Share of its strength that the starter has."""
    cord: Share = 1.0
    """Share of the pull that the cord of a pull-start still passes on; 0 when it has broken."""
    seized: Share = 0.0
    """How hard the piston or a bearing is stuck, 0 to 1."""
    oil_left: Share = 0.0
    """After-run oil above the piston and on the coil, 0 to 1; from 0.9 it locks."""
    one_way: Share = 1.0
    """Share of the tries in which the starter takes the crank along."""
    backwards: Share = 0.0
    """1 when the starter turns the wrong way."""
    wet: Share = 0.0
    """Liquid fuel above the piston, 0 to 1; from 0.7 it locks."""
    jam: Share = 0.0
    """How hard something holds the flywheel, 0 to 1."""
    wheel_loose: Share = 0.0
    """How loose the flywheel is, 0 to 1."""
    stopper: Share = 1.0
    """1 when the way of stopping works."""
    stopper_far: Share = 0.0
    """1 when it works, and can't be reached in time or slips."""
    # from the clutch to the wheels
    clutch_drag: Share = 0.0
    """Share of the idle's torque that the clutch takes, with the springs whole."""
    springs: Share = 1.0
    """Share of their force that the clutch's springs keep."""
    grip: Share = 1.0
    """Share of the torque that the shoes pass on."""
    bell: Share = 0.0
    """Roughness of the bell's bearing, 0 to 1."""
    brake_drag: Share = 0.0
    """Share of the power that a rubbing brake takes."""
    binding: Share = 0.0
    """Share of the power that tight gears take."""
    gearing: Times = 1.0
    """Ratio to the right gear: above 1 too long, below too short."""
    slip_part: Share = 0.0
    """Share of the torque lost where a gear or hub turns on its shaft."""
    teeth: Share = 0.0
    """The same where teeth are gone."""
    shift: Off = 0.0
    """How much too late (positive) or too early a two-speed gearbox shifts; at 1 it never does."""
    second_slip: Share = 0.0
    """The same in its second gear."""
    differential: Share = 0.0
    """The same in the differential."""
    tyre: Share = 0.0
    """The same between rim and tyre."""
    bite: Share = 1.0
    """Share of its force that the brake has."""
    mount: Share = 0.0
    """How loose the engine's mount is, 0 to 1."""
    # getting rid of heat
    fins: Share = 1.0
    """Share of the fins that is clean."""
    shell: Share = 1.0
    """Share of the air that the body shell lets through to the head."""
    cooling: Times = 1.0
    """Cooling against what the day needs: above 1 the head stays cold."""
    reads: Degrees = 0.0
    """°C that the thermometer shows too much (or too little) of a hot head."""
    # as it was put together
    liner_off: Share = 0.0
    """How far the sleeve's windows stand off those of the case, 0 to 1."""
    piston_turned: Share = 0.0
    """How much of a port the skirt of a piston shuts that is the wrong way round, 0 to 1."""
    pin_out: Share = 0.0
    """How hard the wrist pin, or what is left of its clip, scores the sleeve, 0 to 1."""
    rubs: Share = 0.0
    """How hard the backplate rubs inside, 0 to 1."""
    strained: Share = 0.0
    """How far the mount bends the case, so that the crank binds, 0 to 1."""
    bell_play: Off = 0.0
    """End play of the clutch bell above (or below) a hair: at -1 it is clamped, at 1 it rubs."""
    shoes_turned: Share = 0.0
    """How much too early shoes bite that are the wrong way round, 0 to 1."""
    reversed: Share = 0.0
    """1 when the radio moves the throttle the wrong way."""
    crossed: Share = 0.0
    """1 when the servos' plugs are crossed in the receiver."""
    contact: Share = 1.0
    """Share of the time that a lead, a plug and the switch make contact while they are shaken."""


SOUND = Parts()


SCREWS: tuple[Screw, ...] = get_args(Screw)
MEASURES: tuple[str, ...] = get_args(Measure)


@cache
def ranges() -> dict[str, tuple[float, float]]:
    """Return what each part's number may be, from and to, by the part's name in files."""
    limits = {name: kind.__metadata__[0] for name, kind in get_type_hints(Parts, include_extras=True).items()}
    return {name.replace("_", " "): (limit.ge, limit.le) for name, limit in limits.items()}

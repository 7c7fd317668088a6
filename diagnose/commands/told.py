"""How the commands tell of a ledger: as JSON, and in lines."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any, get_args

from diagnose.commands import common
from diagnose.graph.model import Screw

if TYPE_CHECKING:
    from diagnose.tune.needles import Depth, Entry, Ledger, Settings, Tune


def depth(stands: Depth) -> dict[str, Any]:
    """Return a depth as JSON."""
    told: dict[str, Any] = {"hours": stands.hours, "from": stands.kind}
    return {**told, "mm": stands.mm, "pitch": stands.pitch} if stands.kind == "caliper" else told


def shown(ledger: Ledger) -> dict[str, Any]:
    """Return where the screws stand, as JSON."""
    return {
        "now": _settings(ledger.now),
        "baseline": _tune(ledger.baseline),
        "last_good": _tune(ledger.last_good),
        "moved": ledger.moved,
        "drift": ledger.drift(),
        "uncounted": sorted(ledger.uncounted),
        "air_screw": ledger.air_screw,
    }


def _settings(settings: Settings) -> dict[str, Any]:
    return {screw: depth(settings[screw]) for screw in get_args(Screw) if screw in settings}


def _tune(tune: Tune | None) -> dict[str, Any] | None:
    if tune is None:
        return None
    now = tune.conditions
    conditions = {"air": now.air, "fuel": now.fuel, "head": now.head}
    return {"at": tune.at, "settings": _settings(tune.settings), "conditions": conditions, "plug": tune.plug}


def tell(heading: str, ledger: Ledger) -> None:
    """Say where each screw stands, and stood at the last good tune and at first."""
    from diagnose.graph.wording import amount
    from diagnose.tune.back import place

    common.say(heading)
    tunes = [("last good", ledger.last_good), ("baseline", ledger.baseline)]
    before = {name: tune.settings for name, tune in tunes if tune}
    known = {*ledger.now, *ledger.uncounted}.union(*before.values())
    for screw in get_args(Screw):
        if screw not in known:
            continue
        parts = [f"{screw}: {place(ledger.now[screw]) if screw in ledger.now else 'not known, count it'}"]
        for name, settings in before.items():
            if (then := settings.get(screw)) is not None:
                parts.append(f"{name} {amount(then.hours) if then.kind == 'closed' else place(then)}")
        common.say("; ".join(parts))
    if not known:
        common.say("No screw is counted yet. Count one gently in, and write it down with: set SCREW HOURS")
    for screw, hours in ledger.moved.items():
        way = ("in" if hours > 0 else "out") if screw == "idle stop" else "richer" if hours > 0 else "leaner"
        common.say(f"since it was good or went back: {screw} {amount(abs(hours))} {way}")


def line(entry: Entry) -> str:
    """Return an entry as a line: when, what, how it came out, why."""
    from diagnose.graph.wording import amount
    from diagnose.tune import needles as n
    from diagnose.tune.back import place

    parts = [datetime.fromtimestamp(entry.at).strftime("%Y-%m-%d %H:%M")]
    match entry:
        case n.Turned():
            parts.append(", ".join(f"{screw} {amount(hours)} {way}" for screw, way, hours in entry.moves()))
            parts += [entry.result, entry.reason, entry.outing and f"({entry.outing})"]
        case n.Good():
            parts += ["good as it stands", entry.plug and f"plug: {entry.plug}", entry.outing and f"({entry.outing})"]
        case _:
            kind = {n.Baseline: "baseline", n.WentBack: "went back", n.Corrected: "counted"}[type(entry)]
            stands = [f"{screw} {place(where)}" for screw, where in entry.settings.items()]
            if isinstance(entry, n.WentBack):
                stands += [f"{screw} not counted" for screw in entry.unrecorded]
            parts += [f"{kind}: {', '.join(stands)}", entry.reason]
    return "  ".join(filter(None, parts))

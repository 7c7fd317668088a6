"""A ledger as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from diagnose.graph.model import Screw

if TYPE_CHECKING:
    from diagnose.tune.needles import Depth, Ledger, Settings, Tune


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

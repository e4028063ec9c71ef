"""Words for what a load does: "pulls in", "drops out", "stays dark"."""

from __future__ import annotations

from rungbook.kit import Device

# kind of load -> (before on, after on) -> verb
_VERBS = {
    "coil": {
        (False, True): "pulls in",
        (True, False): "drops out",
        (True, True): "holds in",
        (False, False): "stays out",
    },
    "lamp": {
        (False, True): "lights",
        (True, False): "goes dark",
        (True, True): "stays lit",
        (False, False): "stays dark",
    },
}


def does(tag: str, before: bool | None, after: bool) -> str:
    """ "Q1 drops out" for a load that was on and is off; before None (nothing done yet): "Q1 is out"."""
    device = Device(tag)
    if before is None:
        return f"{tag} is {device.spec.positions[after]}"
    return f"{tag} {_VERBS[device.spec.load][before, after]}"

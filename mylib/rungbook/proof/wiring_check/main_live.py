"""The steps with voltage on the power side: which orders make each motor turn which way, from the control's own walk.

The control circuit has been tested alone before. Here its walk is gone through once more on the timeline, and each
state of the motors that is new is told with the orders that lead to it from rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

from rungbook.behaviour import run
from rungbook.behaviour.power import energise
from rungbook.circuit.power import PowerCircuit, by_hand
from rungbook.circuit.wiring import Wiring
from rungbook.errors import LadderError
from rungbook.proof.wiring_check.live_tests import live_tests

_OFF = ("off", "live, no current")


@dataclass(frozen=True)
class MotorStep:
    """One step. orders: from a board at rest. seen: the contactors that are in.

    motors: a sentence for each motor, with the phase at each of its terminals.
    """

    orders: str
    seen: str
    motors: str


def motor_steps(wiring: Wiring, circuit: PowerCircuit) -> tuple[MotorStep, ...]:
    """Return a step for each different thing that the motors do in the walk of `live_tests`; () if it has no walk.

    Disconnects and manual motor starters of the power circuit are on. Raises LadderError if `wiring` is no
    `Wiring`, or a contactor of `circuit` has no coil in it.
    """
    if not isinstance(wiring, Wiring):
        raise LadderError("motor_steps", "follows what `wire` lists", wiring, ("wire(ladder, TRAINING_KIT)",))
    devices = wiring.ladder.devices
    contactors = [device.tag for device in circuit.devices if device.kind == "contactor"]
    switches = [device.tag for device in circuit.devices if by_hand(device.kind)]
    coils = tuple(tag for tag, one in devices.items() if one.spec.load == "coil")
    for tag in contactors:
        if tag not in coils:
            rule = f"the contactor {tag} of the power circuit has no coil in the control circuit"
            raise LadderError("motor_steps", rule, tag, coils)
    walk = [test.orders for test in live_tests(wiring).tests[1:]]
    orders = ", ".join(walk).replace("switch it on", "switch the supply on").split(", ") if walk else []
    found: list[MotorStep] = []
    told: set[str] = set()
    rest = run(wiring.ladder, []).moments[-1].positions
    start = tuple(rest[tag] for tag in devices)
    trail: list[tuple[str, object]] = [("", start)]  # orders that are of use, and where all stands after them
    waits = any(order.startswith("wait") for order in orders)
    counts = any(device.kind == "counter" for device in devices.values())
    whole = run(wiring.ladder, [] if waits else orders).moments  # a moment an order, but for waits
    for number, order in enumerate(orders, 1):
        moments = run(wiring.ladder, orders[:number]).moments if waits else whole[: number + 1]
        positions = moments[-1].positions
        here = tuple(positions[tag] for tag in devices)
        trail.append((order, here))
        closed = [*switches, *(tag for tag in contactors if positions[tag] == "in")]
        feeds = energise(circuit, closed).motors
        words = " ".join(map(str, feeds))
        if words not in told and any(feed.state not in _OFF for feed in feeds):
            told.add(words)
            seen = ", ".join(f"{tag} in" for tag in closed if tag in contactors)
            found.append(MotorStep(", ".join(order for order, _ in trail[1:]), seen, words))
        if not counts and order.startswith("wait") >= waits:  # timers have run out: what stands as before is as before
            trail = trail[: next(n for n, (_, there) in enumerate(trail, 1) if there == here)]
    return tuple(found)


def overload_shares(circuit: PowerCircuit) -> dict[str, tuple[str, float]]:
    """Motor -> its overload relay, and what share of the motor's rated line current that relay carries [unitless].

    1 in the lines; 0.577 inside a delta (current of a winding, FLC/√3). The motor runs direct or in delta for it; a
    motor whose relay carries other current too, or has none, is left out.
    """
    contactors = [device.tag for device in circuit.devices if device.kind == "contactor"]
    switches = [device.tag for device in circuit.devices if by_hand(device.kind)]
    found: dict[str, tuple[str, float]] = {}
    for motor, relay in product(circuit.motors, circuit.devices):
        ends = {pole.b for pole in relay.poles}
        beside = [
            end
            for device in circuit.devices
            if device is not relay
            for pole in device.poles
            for end in (pole.a, pole.b)
        ]
        others = [node for one in circuit.motors if one is not motor for node in one.nodes]
        if relay.kind != "overload relay" or ends & {*beside, *others} or not ends <= set(motor.nodes):
            continue
        for count in range(len(contactors) + 1):
            for some in combinations(contactors, count):
                feed = energise(circuit, [*switches, *some])[motor.tag]
                if feed.state in ("direct", "delta"):
                    at = next(n for n, node in enumerate(motor.nodes) if node in ends)
                    found[motor.tag] = (relay.tag, feed.terminal_shares[at])
    return found

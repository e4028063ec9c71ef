"""Every single fault that a board can have."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from rungbook.behaviour.board import Board
from rungbook.behaviour.faults.makers import (
    blown_fuse,
    broken_interlock,
    dead_contact,
    open_load,
    open_rail,
    open_wire,
    shorted_coil,
    stuck_device,
    welded_contact,
    welded_contactor,
    wire_to_ground,
    wrong_coil,
    wrong_contact,
    wrong_setting,
    wrong_terminal,
)
from rungbook.behaviour.faults.places import all_nodes, check_board, coil_rating, key
from rungbook.behaviour.faults.records import ENDS, Fault
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL
from rungbook.errors import LadderError
from rungbook.kit import Device, OverloadSetting, TimerSetting, parse_setting
from rungbook.kit.settings import MAX_MILLISECONDS


def single_faults(board: Board) -> tuple[Fault, ...]:
    """Every fault of the catalogue that this board can have, in a fixed order; equal boards count once.

    Boards are equal if they differ in nothing but the numbers of wires other than the rails: a wire between two
    terminals is the same open wire from either end. Stuck: devices with contacts here. Settings: ten times and a tenth
    of a time, another function; an overload dial at 125 % and 80 %, the other reset. Coils: twice the voltage.
    """
    check_board(board)
    found: dict[object, Fault] = {}
    for make in _possible(board):
        try:
            fault = make()
        except LadderError:  # it changes nothing here, or the board has this fault already
            continue
        found.setdefault(key(fault.apply(board)), fault)
    return tuple(found.values())


def _possible(board: Board) -> Iterator[Callable[[], Fault]]:
    """The catalogue on this board, as calls: those that raise are no fault here."""
    for place in range(len(board.contacts)):
        yield partial(welded_contact, board, place)
        yield partial(dead_contact, board, place)
        yield partial(wrong_contact, board, place)
    for load in board.loads:
        yield partial(open_load, board, load.name)
        if load.kind == "coil":
            yield partial(welded_contactor, board, load.device)
            yield partial(shorted_coil, board, load.device)
            yield partial(wrong_coil, board, load.device, 2 * coil_rating(board, load.device).volts)
    for pair in board.mechanical_interlock:
        yield partial(broken_interlock, board, pair)
    for tag in dict.fromkeys(contact.device for contact in board.contacts):
        for position in _sticking(board.devices[tag]):
            yield partial(stuck_device, board, tag, position)
    for tag, device in board.devices.items():
        for text in _other_settings(device):
            yield partial(wrong_setting, board, tag, text)
    yield partial(blown_fuse, board)
    yield partial(open_rail, board, LEFT_RAIL)
    yield partial(open_rail, board, RIGHT_RAIL)
    nodes = sorted(all_nodes(board))
    for node in nodes:
        yield partial(wire_to_ground, board, node)
    ends = [(place, end) for place in range(len(board.items)) for end in ENDS]
    for place, end in ends:
        yield partial(open_wire, board, place, end)
    for place, end in ends:
        for node in nodes:
            yield partial(wrong_terminal, board, place, end, node)


def _sticking(device: Device) -> tuple[str, ...]:
    """Positions in which a device that a person or the plant moves is found stuck."""
    if device.kind == "overload relay":
        return (device.spec.rest,)
    if device.kind == "fuse":
        return ("blown",)
    return device.spec.positions if device.spec.operated else ()


def _other_settings(device: Device) -> Iterator[str]:
    found = parse_setting(device)
    if isinstance(found, TimerSetting):
        for time in (found.milliseconds * 10, found.milliseconds // 10):
            if 1 <= time <= MAX_MILLISECONDS and _time(time):
                yield f"{found.function} {_time(time)}"
        yield f"{'off-delay' if found.function == 'on-delay' else 'on-delay'} {_time(found.milliseconds)}"
    if isinstance(found, OverloadSetting):
        rest, test = f"A class {found.trip_class}", " with test" if found.test else ""
        for share in (1.25, 0.8):
            amps = round(found.amps * share, 3)
            if 0 < amps < 10_000:
                yield f"{_decimal(amps)} {rest} {found.reset}{test}"
        yield f"{_decimal(found.amps)} {rest} {'automatic' if found.reset == 'manual' else 'manual'}{test}"


def _time(milliseconds: int) -> str:
    """The time as a setting has it, at most three decimals; "" if no unit allows that."""
    for unit, name in ((1000, "s"), (60_000, "min"), (3_600_000, "h"), (1, "ms")):
        if milliseconds * 1000 % unit == 0 and milliseconds / unit < 10_000:
            return f"{_decimal(milliseconds / unit)} {name}"
    return ""


def _decimal(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")

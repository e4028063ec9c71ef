"""Power circuits for tests of more than one room."""

from rungbook.circuit.power import LINES, PowerCircuit


def pump_and_mill():
    """Two motors behind one disconnect, a contactor and an overload relay each."""
    circuit = PowerCircuit("Pump and mill")
    circuit.device("Q9", "disconnect", LINES, ("1L1", "1L2", "1L3"))
    for n in (1, 2):
        under, leads = [f"{n}T{k}" for k in (1, 2, 3)], [f"{n}{k}" for k in "UVW"]
        circuit.device(f"Q{n}", "contactor", ("1L1", "1L2", "1L3"), under)
        circuit.device(f"F{n}", "overload relay", under, leads)
        circuit.motor(f"M{n}", leads)
    return circuit

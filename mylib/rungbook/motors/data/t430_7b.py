"""NEC Table 430.7(B): locked-rotor code letters, apparent power with locked rotor [kVA/hp].

Each letter begins at the first value and ends just below that of the next; the second is the upper end as printed.
All read in a copy. Beware of copies that print 3.55 as the upper end of B, or 7.1 as that of H.
"""

from rungbook.motors.code_table import READ_ONCE

ORIGIN = READ_ONCE
#: letter -> (from [kVA/hp], printed upper end [kVA/hp], None for V)
TABLE_430_7B: dict[str, tuple[float, float | None]] = {
    "A": (0.0, 3.14),
    "B": (3.15, 3.54),
    "C": (3.55, 3.99),
    "D": (4.0, 4.49),
    "E": (4.5, 4.99),
    "F": (5.0, 5.59),
    "G": (5.6, 6.29),
    "H": (6.3, 7.09),
    "J": (7.1, 7.99),
    "K": (8.0, 8.99),
    "L": (9.0, 9.99),
    "M": (10.0, 11.19),
    "N": (11.2, 12.49),
    "P": (12.5, 13.99),
    "R": (14.0, 15.99),
    "S": (16.0, 17.99),
    "T": (18.0, 19.99),
    "U": (20.0, 22.39),
    "V": (22.4, None),
}

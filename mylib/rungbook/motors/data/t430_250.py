"""NEC Table 430.250: full-load currents of three-phase motors [A]; induction, and synchronous at unity power factor.

Beware of copies that give 2.1 A for 1 1/2 hp at 575 V or for 1/2 hp at 230 V, or values at 200 to 230 V above 200 hp.
The 2300 V column of a row read is from memory, but for 60 hp.
"""

from rungbook.motors.code_table import READ, CodeTable, Column, Row

_VOLTS = (
    Column(115, 110, 120),
    Column(200, 200, 200),
    Column(208, 208, 208),
    Column(230, 220, 240),
    Column(460, 440, 480),
    Column(575, 550, 600),
    Column(2300, 2300, 2300),
)
_SOME = f"{READ}; 2300 V from memory"

TABLE_430_250 = CodeTable(
    "430.250",
    "full-load currents of three-phase motors, squirrel cage and wound rotor",
    "A",
    _VOLTS,
    (
        Row(0.5, (4.4, 2.5, 2.4, 2.2, 1.1, 0.9, None), READ),
        Row(0.75, (6.4, 3.7, 3.5, 3.2, 1.6, 1.3, None)),
        Row(1, (8.4, 4.8, 4.6, 4.2, 2.1, 1.7, None), READ),
        Row(1.5, (12.0, 6.9, 6.6, 6.0, 3.0, 2.4, None), READ),
        Row(2, (13.6, 7.8, 7.5, 6.8, 3.4, 2.7, None)),
        Row(3, (None, 11.0, 10.6, 9.6, 4.8, 3.9, None), READ),
        Row(5, (None, 17.5, 16.7, 15.2, 7.6, 6.1, None), READ),
        Row(7.5, (None, 25.3, 24.2, 22, 11, 9, None)),
        Row(10, (None, 32.2, 30.8, 28, 14, 11, None), READ),
        Row(15, (None, 48.3, 46.2, 42, 21, 17, None), READ),
        Row(20, (None, 62.1, 59.4, 54, 27, 22, None)),
        Row(25, (None, 78.2, 74.8, 68, 34, 27, None), READ),
        Row(30, (None, 92, 88, 80, 40, 32, None), READ),
        Row(40, (None, 120, 114, 104, 52, 41, None)),
        Row(50, (None, 150, 143, 130, 65, 52, None), READ),
        Row(60, (None, 177, 169, 154, 77, 62, 16), READ),
        Row(75, (None, 221, 211, 192, 96, 77, 20)),
        Row(100, (None, 285, 273, 248, 124, 99, 26), _SOME),
        Row(125, (None, 359, 343, 312, 156, 125, 31), _SOME),
        Row(150, (None, 414, 396, 360, 180, 144, 37)),
        Row(200, (None, 552, 528, 480, 240, 192, 49), _SOME),
        Row(250, (None, None, None, None, 302, 242, 60), _SOME),
        Row(300, (None, None, None, None, 361, 289, 72), _SOME),
        Row(350, (None, None, None, None, 414, 336, 83), _SOME),
        Row(400, (None, None, None, None, 477, 382, 95)),
        Row(450, (None, None, None, None, 515, 412, 103)),
        Row(500, (None, None, None, None, 590, 472, 118)),
    ),
)

TABLE_430_250_SYNCHRONOUS = CodeTable(
    "430.250 (synchronous)",
    "full-load currents of three-phase synchronous motors at unity power factor",
    "A",
    _VOLTS[3:],
    (
        Row(25, (53, 26, 21, None)),
        Row(30, (63, 32, 26, None)),
        Row(40, (83, 41, 33, None)),
        Row(50, (104, 52, 42, None)),
        Row(60, (123, 61, 49, 12)),
        Row(75, (155, 78, 62, 15)),
        Row(100, (202, 101, 81, 20)),
        Row(125, (253, 126, 101, 25)),
        Row(150, (302, 151, 121, 30)),
        Row(200, (400, 201, 161, 40)),
    ),
)

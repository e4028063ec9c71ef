"""NEC Tables 430.251(A) and (B): locked-rotor currents [A], for choosing disconnecting means and controllers."""

from rungbook.motors.code_table import READ_ONCE, CodeTable, Column, Row

_SOME = f"{READ_ONCE} at 115 and 230 V; 208 V from memory"
_TEN = f"{READ_ONCE} at 208, 230 and 460 V; the rest from memory"

TABLE_430_251_A = CodeTable(
    "430.251(A)",
    "locked-rotor currents of single-phase motors",
    "A",
    (Column(115, 110, 120), Column(208, 208, 208), Column(230, 220, 240)),
    (
        Row(0.5, (58.8, 32.5, 29.4)),
        Row(0.75, (82.8, 45.8, 41.4)),
        Row(1, (96, 53, 48), _SOME),
        Row(1.5, (120, 66, 60)),
        Row(2, (144, 80, 72)),
        Row(3, (204, 113, 102)),
        Row(5, (336, 186, 168), f"{READ_ONCE} at 230 V; the rest from memory"),
        Row(7.5, (480, 265, 240)),
        Row(10, (600, 332, 300)),
    ),
)

TABLE_430_251_B = CodeTable(
    "430.251(B)",
    "largest locked-rotor currents of polyphase motors of design B, C and D",
    "A",
    (
        Column(115, 110, 120),
        Column(200, 200, 200),
        Column(208, 208, 208),
        Column(230, 220, 240),
        Column(460, 440, 480),
        Column(575, 550, 600),
    ),
    (
        Row(0.5, (40, 23, 22.1, 20, 10, 8)),
        Row(0.75, (50, 28.8, 27.6, 25, 12.5, 10)),
        Row(1, (60, 34.5, 33, 30, 15, 12)),
        Row(1.5, (80, 46, 44, 40, 20, 16)),
        Row(2, (100, 57.5, 55, 50, 25, 20)),
        Row(3, (None, 73.6, 71, 64, 32, 25.6)),
        Row(5, (None, 105.8, 102, 92, 46, 36.8)),
        Row(7.5, (None, 146, 140, 127, 63.5, 50.8)),
        Row(10, (None, 186.3, 179, 162, 81, 64.8), _TEN),
        Row(15, (None, 267, 257, 232, 116, 93)),
        Row(20, (None, 334, 321, 290, 145, 116)),
        Row(25, (None, 420, 404, 365, 183, 146)),
        Row(30, (None, 500, 481, 435, 218, 174)),
        Row(40, (None, 667, 641, 580, 290, 232)),
        Row(50, (None, 834, 802, 725, 363, 290)),
        Row(60, (None, 1001, 962, 870, 435, 348)),
        Row(75, (None, 1248, 1200, 1085, 543, 434)),
        Row(100, (None, 1668, 1603, 1450, 725, 580)),
        Row(125, (None, 2087, 2007, 1815, 908, 726)),
        Row(150, (None, 2496, 2400, 2170, 1085, 868)),
        Row(200, (None, 3335, 3207, 2900, 1450, 1160)),
        Row(250, (None, None, None, None, 1825, 1460)),
        Row(300, (None, None, None, None, 2200, 1760)),
        Row(350, (None, None, None, None, 2550, 2040)),
        Row(400, (None, None, None, None, 2900, 2320)),
        Row(450, (None, None, None, None, 3250, 2600)),
        Row(500, (None, None, None, None, 3625, 2900)),
    ),
)

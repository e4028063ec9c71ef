"""NEC Table 430.248: full-load currents of single-phase a.c. motors [A]."""

from rungbook.motors.code_table import READ_ONCE, CodeTable, Column, Row

TABLE_430_248 = CodeTable(
    "430.248",
    "full-load currents of single-phase motors",
    "A",
    (Column(115, 110, 120), Column(200, 200, 200), Column(208, 208, 208), Column(230, 220, 240)),
    (
        Row(1 / 6, (4.4, 2.5, 2.4, 2.2), READ_ONCE),
        Row(1 / 4, (5.8, 3.3, 3.2, 2.9)),
        Row(1 / 3, (7.2, 4.1, 4.0, 3.6), READ_ONCE),
        Row(1 / 2, (9.8, 5.6, 5.4, 4.9), READ_ONCE),
        Row(3 / 4, (13.8, 7.9, 7.6, 6.9)),
        Row(1, (16, 9.2, 8.8, 8.0), READ_ONCE),
        Row(1.5, (20, 11.5, 11.0, 10), READ_ONCE),
        Row(2, (24, 13.8, 13.2, 12), READ_ONCE),
        Row(3, (34, 19.6, 18.7, 17)),
        Row(5, (56, 32.2, 30.8, 28), READ_ONCE),
        Row(7.5, (80, 46, 44, 40), READ_ONCE),
        Row(10, (100, 57.5, 55, 50)),
    ),
)

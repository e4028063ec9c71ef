"""NEC 240.6(A): standard ratings of fuses and inverse-time circuit breakers [A].

Read in a copy, but for the ratings between 1600 and 6000 A, which are from memory.
"""

# fmt: off
STANDARD_RATINGS: tuple[int, ...] = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500,
    600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)
# fmt: on
FUSES_BESIDE: tuple[int, ...] = (1, 3, 6, 10, 601)

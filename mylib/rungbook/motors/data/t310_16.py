"""NEC Table 310.16 (310.15(B)(16) from 2011 to 2017): ampacities of insulated copper conductors [A], 75 °C column.

Not more than three current-carrying conductors in a raceway, cable or earth, ambient 30 °C. All from memory. The other
columns changed between editions for the small sizes and are left out; for motors of design B, C and D the terminals
allow the 75 °C column (110.14(C)(1)).
"""

#: size (AWG or kcmil) -> ampacity [A], from thin to thick
COPPER_75: dict[str, int] = {
    "14 AWG": 20,
    "12 AWG": 25,
    "10 AWG": 35,
    "8 AWG": 50,
    "6 AWG": 65,
    "4 AWG": 85,
    "3 AWG": 100,
    "2 AWG": 115,
    "1 AWG": 130,
    "1/0 AWG": 150,
    "2/0 AWG": 175,
    "3/0 AWG": 200,
    "4/0 AWG": 230,
    "250 kcmil": 255,
    "300 kcmil": 285,
    "350 kcmil": 310,
    "400 kcmil": 335,
    "500 kcmil": 380,
    "600 kcmil": 420,
    "700 kcmil": 460,
    "750 kcmil": 475,
    "800 kcmil": 490,
    "900 kcmil": 520,
    "1000 kcmil": 545,
}

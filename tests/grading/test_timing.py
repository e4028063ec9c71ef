"""Timing diagrams as text, each compared with a literal picture."""

from rungbook.grading.timing import CHATTERS, Row, timing_picture


def lane(label, *words, low):
    return Row(label, words, tuple(bool(word) and word != low for word in words))


START = lane("S2", "released", "pressed", "released", low="released")
PUMP = lane("Q1", "out", "in", "out", low="out")


def picture(text):
    return "\n".join(line.rstrip() for line in text.strip("\n").splitlines())


def test_each_change_is_a_shape_and_a_word_and_the_last_column_is_in_words():
    asked = lane("Q1 asked", "", "", "in", low="out")
    assert timing_picture(["at rest", "press S2", "let S2 go"], [START], [PUMP, asked]) == picture(
        """
order     at rest     press S2   let S2 go
S2        _ released _/ pressed =\\ released _
Q1        _ out ______/ in ======\\ out ______
Q1 asked                         = in =======
"""
    )


def test_an_order_too_wide_is_folded_and_times_have_a_line():
    orders, times = ["at rest", "switch the supply off", "wait 5 s"], ["0 s", "1 s", "6 s"]
    supply = lane("supply", "on", "off", "off", low="off")
    assert timing_picture(orders, [supply], [PUMP], times=times) == picture(
        """
order   at rest switch the wait 5 s
                supply off
time    0 s     1 s        6 s
supply  = on ===\\ off ______ off ___
Q1      _ out __/ in ======\\ out ___
"""
    )


def test_a_change_between_two_high_states_is_a_crossing_and_chatter_a_zigzag():
    selector = lane("S1", "off", "left", "right", low="off")
    relay = lane("K1", "out", "out", CHATTERS, low="out")
    assert timing_picture(["at rest", "a", "b"], [selector], [relay]) == picture(
        """
order  at rest a       b
S1     _ off __/ left =X right ========
K1     _ out __________/ chatters /\\/\\/
"""
    )


def test_early_columns_are_left_out_with_their_number_in_words():
    orders = ["at rest", *[f"order {n}" for n in range(1, 13)]]
    words = ["out", "in"] * 6 + ["out"]
    shown = timing_picture(orders, [], [lane("Q1", *words, low="out")])
    assert shown == picture(
        """
order  at rest  5 orders  order 6 order 7 order 8 order 9 order 10 order 11 order 12
                left out
Q1     _ out __ …         _ out __/ in ===\\ out __/ in ===\\ out ___/ in ====\\ out ___
"""
    )
    assert max(map(len, shown.splitlines())) <= 92


def test_lines_beyond_the_tenth_are_left_out_and_named():
    orders = ["at rest", "press S2", "let S2 go"]
    also = [lane(f"K{n}", "out", "in", "out", low="out") for n in range(1, 10)]
    shown = timing_picture(orders, [START], [PUMP], also=also).splitlines()
    assert [line.split()[0] for line in shown] == ["order", "S2", *(f"K{n}" for n in range(1, 7)), "Q1", "not"]
    assert shown[-1] == "not shown: K7, K8, K9"

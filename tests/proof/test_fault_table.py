"""How the table of faults reads: the worst first, one row for one effect, wires misled last."""

from rungbook import NC, NO, Ladder, coil
from rungbook.behaviour import Board
from rungbook.behaviour.faults import dead_contact, open_wire, stuck_device, welded_contact
from rungbook.proof import FaultTable, off_while, pulls_in, try_faults


def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    return ladder


BOARD = Board.of(pump())
RULES = (pulls_in("Q1", when="press S2"), off_while("Q1", "S1", "pressed"))
FAULTS = (open_wire(BOARD, 0, "right"), stuck_device(BOARD, "S1", "released"), welded_contact(BOARD, 0))

NC_WELDED = "The contact NC S1 at wires 1–3 is welded."
TEXT = """\
Wash pump. 3 single faults: 2 hidden dangers, 1 stops the work.
cause                                         effect                                        how it shows itself                 severity
────────────────────────────────────────────  ────────────────────────────────────────────  ──────────────────────────────────  ──────────────
S1 is stuck and stays released.               No longer: Q1 is out whenever S1 is pressed.  Press S1. Press S2. Q1 pulls in.    HIDDEN DANGER
The contact NC S1 at wires 1–3 is welded.

The wire on the right of the contact NC S1    No longer: Q1 pulls in when you press S2. No  Press S2. Q1 stays out.             stops the work
  at wires 1–3 is open.                       more to be seen: Q1 is out whenever S1 is
                                              pressed."""  # noqa: E501


def table(*faults):
    return try_faults(pump(), *RULES, faults=faults)


def test_the_text_has_four_columns_and_faults_with_one_effect_share_a_row():
    assert str(table(*FAULTS)) == TEXT


def test_in_a_notebook_dangers_are_stressed_and_the_summary_is_the_caption():
    html = table(*FAULTS)._repr_html_()
    assert "Wash pump. 3 single faults: 2 hidden dangers, 1 stops the work.</caption>" in html
    first, second = (html.index(f">{told}</div>") for told in ("S1 is stuck and stays released.", NC_WELDED))
    assert "<td" not in html[first:second]  # one cell
    assert (html.count("<b>HIDDEN DANGER</b>"), html.count("<b>")) == (1, 1)
    heads = ("cause", "effect", "how it shows itself", "severity")
    assert [html.count(f">{head}</th>") for head in heads] == [1, 1, 1, 1]


def test_what_a_fault_is_called_is_escaped():
    effect = table(FAULTS[0]).effects[0]
    told = FaultTable("<i>Mill</i>", (effect,))._repr_html_()
    assert "<i>" not in told
    assert "&lt;i&gt;Mill&lt;/i&gt;. 1 single fault: 1 stops the work." in told


def test_of_many_harmless_faults_with_one_effect_six_are_named():
    effect = table(dead_contact(BOARD, 0)).effects[0]
    ((causes, _),) = FaultTable("Wash pump", (effect,) * 9).rows()
    assert (len(causes), causes[-1]) == (7, "… and 3 more.")


def test_wires_on_a_wrong_terminal_come_last_and_are_counted():
    effects = try_faults(pump(), *RULES).effects
    kinds = [effect.fault.kind == "wrong terminal" for effect in effects if effect.severity == "stops the work"]
    assert kinds == sorted(kinds)
    rows = FaultTable("Wash pump", effects).rows()
    counted = [causes[-1] for causes, _ in rows if causes[-1].startswith("… and")]
    assert counted == ["… and 10 wires on a wrong terminal."]


def test_an_empty_table_says_so():
    assert FaultTable("Mill", ()).summary() == "0 single faults: nothing to tell."

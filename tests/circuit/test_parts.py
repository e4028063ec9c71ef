import pytest

from rungbook import NC, NO, LadderError, coil, count_down, lamp, reset
from rungbook.circuit import Contact, Load, Parallel, Series

A, B, C, D = NO("S1"), NO("S2"), NO("S3"), NC("F1")


class TestContact:
    def test_no_and_nc_make_plain_records(self):
        assert NO("S1") == Contact("S1", "NO", "")
        assert NC("F1", "95-96") == Contact("F1", "NC", "95-96")

    def test_it_prints_as_it_is_typed(self):
        assert repr(NO("Q1", "13-14")) == "NO('Q1', '13-14')"
        assert repr(NC("S1")) == "NC('S1')"

    @pytest.mark.parametrize(
        ("tag", "rule"), [("P1", "a pilot lamp has no contacts"), ("M1", "a motor has no contacts")]
    )
    def test_a_device_without_contacts_gives_none(self, tag, rule):
        with pytest.raises(LadderError) as found:
            NO(tag)
        assert str(found.value) == (
            f"Contact NO('{tag}'): {rule}. Given: '{tag}'. Choices: S push button, B limit switch, F overload relay, "
            "Q contactor, K control relay."
        )

    def test_a_malformed_designation_names_the_contact(self):
        with pytest.raises(LadderError) as found:
            NC("s1")
        assert found.value.thing == "Contact NC('s1')"

    @pytest.mark.parametrize("tag", [None, 1, ["S1"], A])
    def test_a_designation_that_is_no_text_is_refused(self, tag):
        with pytest.raises(LadderError, match="a device is named by text"):
            NO(tag)

    def test_the_kind_is_no_or_nc(self):
        with pytest.raises(LadderError) as found:
            Contact("S1", "no")
        assert found.value.choices == ("NO", "NC")

    def test_endless_terminals_are_not_printed_in_full(self):
        with pytest.raises(LadderError) as found:
            NO("S1", "1" * 100_000)
        assert len(str(found.value)) < 500

    def test_a_contact_cannot_be_changed(self):
        with pytest.raises(AttributeError):
            A.kind = "NC"


class TestSeriesAndParallel:
    def test_and_is_series_and_or_is_parallel(self):
        assert Series((A, B)) == (A & B)
        assert Parallel((A, B)) == (A | B)
        assert (A & B) != (A | B)

    def test_a_chain_of_one_sign_is_one_flat_group_however_it_is_bracketed(self):
        assert (A & B & C) == (A & (B & C)) == Series((A, B, C))
        assert (A | B | C) == (A | (B | C)) == Parallel((A, B, C))
        assert Series((A, B, C, D)) == ((A & B) & (C & D))

    def test_series_binds_closer_than_parallel(self):
        assert Parallel((A, Series((B, C)))) == (A | B & C)
        assert Parallel((Series((A, B)), C)) == (A & B | C)

    def test_brackets_win(self):
        assert Series((A, Parallel((B, C)))) == (A & (B | C))

    def test_order_is_kept(self):
        assert (A & B) != (B & A)
        assert [c.device for c in (A & (B | C) & D).contacts()] == ["S1", "S2", "S3", "F1"]

    def test_it_prints_as_it_is_typed(self):
        assert repr(A & (B | C) & D) == "NO('S1') & (NO('S2') | NO('S3')) & NC('F1')"
        assert repr(A & B | C) == "NO('S1') & NO('S2') | NO('S3')"

    def test_size_counts_contacts_and_depth_counts_levels(self):
        assert (A.size, A.depth) == (1, 0)
        tree = A & (B | C & D)
        assert (tree.size, tree.depth) == (4, 3)


class TestMisuse:
    @pytest.mark.parametrize("use", [lambda: A and B, lambda: A or B, lambda: not A, lambda: (A & B) and C])
    def test_the_words_and_or_not_are_refused(self, use):
        with pytest.raises(LadderError, match="contacts are joined with & \\(series\\) and \\| \\(parallel\\)"):
            use()

    @pytest.mark.parametrize("use", [lambda: ~A, lambda: ~(A & B)])
    def test_a_tilde_is_refused(self, use):
        with pytest.raises(LadderError, match=r"write NO\('…'\) or NC\('…'\) instead of ~"):
            use()

    @pytest.mark.parametrize("use", [lambda: coil("Q1") and lamp("P1"), lambda: not coil("Q1")])
    def test_the_same_words_are_refused_on_loads_where_they_would_lose_one(self, use):
        with pytest.raises(LadderError, match="loads side by side are separate arguments of rung"):
            use()

    def test_a_load_has_no_opposite(self):
        with pytest.raises(LadderError, match="a load has no opposite; put NC contacts before it"):
            ~coil("Q1")

    @pytest.mark.parametrize(
        ("use", "sign"),
        [
            (lambda: A & "S2", "&"),
            (lambda: A | None, "|"),
            (lambda: "S2" & A, "&"),
            (lambda: 1 | A, "|"),
            (lambda: A & True, "&"),
            (lambda: A & Series, "&"),
        ],
    )
    def test_only_contacts_are_joined(self, use, sign):
        with pytest.raises(LadderError) as found:
            use()
        assert (found.value.thing, found.value.rule) == (f"'{sign}'", "joins contacts only")
        assert found.value.choices == ("NO('S1')", "NC('S1')")

    @pytest.mark.parametrize(
        "use",
        [
            lambda: A & coil("Q1"),
            lambda: A | coil("Q1"),
            lambda: coil("Q1") & A,
            lambda: coil("Q1") | A,
            lambda: coil("Q1") & coil("Q2"),
            lambda: A & (B | coil("Q1")),
        ],
    )
    def test_a_load_is_no_contact(self, use):
        with pytest.raises(LadderError) as found:
            use()
        assert found.value.thing == "coil('Q1')"
        assert found.value.rule.startswith("a load cannot stand in a contact's place")
        assert found.value.choices == ("ladder.rung(contacts, load)",)


class TestLimits:
    def test_100_contacts_fit_on_a_rung_and_101_do_not(self):
        chain = NO("S1")
        for n in range(2, 101):
            chain = chain & NO(f"S{n}")
        assert chain.size == 100
        with pytest.raises(LadderError) as found:
            chain | NO("S101")
        assert (found.value.rule, found.value.value) == ("at most 100 contacts in one rung", 101)

    def test_20_levels_fit_and_21_do_not(self):
        tree = NO("S1")
        for n in range(20):
            tree = tree & NO("S2") if n % 2 else tree | NO("S2")
        assert tree.depth == 20
        with pytest.raises(LadderError) as found:
            tree | NO("S3")
        assert (found.value.rule, found.value.value) == ("at most 20 levels of branches within branches", 21)


class TestLoad:
    def test_coil_and_lamp_make_plain_records(self):
        assert coil("Q1") == Load("Q1", "coil")
        assert lamp("P1", "green") == Load("P1", "lamp", "green")

    def test_it_prints_as_it_is_typed(self):
        assert repr(coil("K1", "A1-A2")) == "coil('K1', terminals='A1-A2')"
        assert repr(lamp("P1", "green")) == "lamp('P1', 'green')"

    @pytest.mark.parametrize("tag", ["S1", "B1", "F1", "P1", "M1"])
    def test_only_contactors_and_relays_have_coils(self, tag):
        with pytest.raises(LadderError) as found:
            coil(tag)
        assert found.value.rule.endswith("is no coil")
        assert found.value.choices == ("Q (contactor)", "K (control relay)")

    def test_a_coil_is_no_lamp(self):
        with pytest.raises(LadderError) as found:
            lamp("Q1")
        assert str(found.value) == "lamp('Q1'): a contactor is no lamp. Given: 'Q1'. Choices: P (pilot lamp)."

    def test_an_unknown_lens_lists_the_lenses(self):
        with pytest.raises(LadderError) as found:
            lamp("P1", "black")
        assert found.value.choices == ("red", "yellow", "green", "blue", "white")

    def test_only_a_lamp_has_a_colour(self):
        with pytest.raises(LadderError, match="only a lamp has a colour"):
            Load("Q1", "coil", "red")

    @pytest.mark.parametrize("kind", ["motor", "", None, ["coil"]])
    def test_the_kind_is_one_of_four(self, kind):
        with pytest.raises(LadderError) as found:
            Load("M1", kind)
        assert found.value.choices == ("coil", "lamp", "reset", "down")

    @pytest.mark.parametrize(("make", "pair"), [(coil, "A1-A2"), (lamp, "X1-X2")])
    def test_its_terminals_are_one_pair(self, make, pair):
        tag = "Q1" if make is coil else "P1"
        assert make(tag, terminals=pair).terminals == pair
        with pytest.raises(LadderError) as found:
            make(tag, terminals="13-14")
        assert found.value.choices == (pair,)


class TestFurtherInputs:
    def test_reset_and_count_down_make_plain_records(self):
        assert reset("K5") == Load("K5", "reset")
        assert count_down("K5", "D1-D2") == Load("K5", "down", terminals="D1-D2")

    def test_they_print_as_they_are_typed(self):
        assert repr(reset("K5", "R1-R2")) == "reset('K5', terminals='R1-R2')"
        assert repr(count_down("K5")) == "count_down('K5')"

    def test_a_name_tells_the_loads_of_one_device_apart(self):
        loads = (coil("K5"), reset("K5"), count_down("K5"), lamp("P1", "green"))
        assert [load.name for load in loads] == ["K5", "K5 reset", "K5 down", "P1"]

    @pytest.mark.parametrize(("make", "told"), [(reset, "reset('Q1')"), (count_down, "count_down('Q1')")])
    def test_only_the_letter_k_has_them(self, make, told):
        with pytest.raises(LadderError) as found:
            make("Q1")
        kind = found.value.rule.split()[-2]
        assert (found.value.thing, found.value.rule) == (told, f"a contactor has no {kind} input")
        assert found.value.choices == ("K (timer relay, counter)",)

    @pytest.mark.parametrize(("make", "pair"), [(reset, "R1-R2"), (count_down, "D1-D2")])
    def test_their_terminals_are_one_pair(self, make, pair):
        with pytest.raises(LadderError) as found:
            make("K5", "A1-A2")
        assert found.value.rule.endswith(f" input are {pair}")
        assert found.value.choices == (pair,)

    def test_they_have_no_colour_and_stand_in_no_contacts_place(self):
        with pytest.raises(LadderError, match="only a lamp has a colour"):
            Load("K5", "reset", "red")
        with pytest.raises(LadderError, match="a load cannot stand in a contact's place"):
            A & reset("K5")

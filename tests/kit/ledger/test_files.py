"""CSV in and out, and the commands."""

import pytest

from kit.ledger.conftest import SMALL
from rungbook.cli import main
from rungbook.errors import LadderError
from rungbook.kit.ledger import Finding, Ledger
from rungbook.kit.ledger.files import read_findings, read_kits, read_prices, write
from rungbook.kit.ledger.lists import Listing, charges, contents, history, order, overview


def rows(text):
    return [line.split() for line in str(text).splitlines()]


class TestRead:
    def test_kits_with_semicolons_and_a_mark(self, tmp_path):
        path = tmp_path / "kits.csv"
        path.write_text("\ufeffkit;name;piece;model\nK1;old kit;Q1;contactor\n\nK1;;S1;push button\n", encoding="utf-8")
        ((number, name, listed),) = read_kits(path)
        assert (number, name, [piece.name for piece in listed]) == ("K1", "old kit", ["Q1", "S1"])

    @pytest.mark.parametrize(
        ("text", "rule"),
        [
            ("kit,piece\nK1,Q1\n", "line 1: the head names the column 'model' once. Given: 'kit, piece'"),
            ("kit,piece,model\nK1,Q1,contactor,9\n", "line 2: has more cells than the head, 3. Given: 4"),
            ("kit,piece,model\nK1,Q1,relay\n", "line 2: Piece Q1: no such model"),
            ("", "line 1: the head names the column 'kit' once"),
        ],
    )
    def test_tells_the_line_of_what_is_wrong(self, tmp_path, text, rule):
        path = tmp_path / "kits.csv"
        path.write_text(text)
        with pytest.raises(LadderError, match=rule):
            read_kits(path)

    def test_what_is_no_text_is_told(self, tmp_path):
        path = tmp_path / "kits.csv"
        path.write_bytes(b"kit,piece,model\n\xff\xfe")
        with pytest.raises(LadderError, match="is not UTF-8 text"):
            read_kits(path)
        with pytest.raises(LadderError, match="cannot be read: No such file"):
            read_kits(tmp_path / "gone.csv")

    def test_a_condition_that_is_none_is_told(self, tmp_path):
        path = tmp_path / "list.csv"
        path.write_text("piece,condition\nQ1,Good\nS1,okay\n")
        with pytest.raises(LadderError, match=r"line 3, piece S1: condition. Given: 'okay'. Choices: good, worn"):
            read_findings(path)

    def test_a_model_has_one_price(self, tmp_path):
        path = tmp_path / "prices.csv"
        path.write_text("model,cost\ncontactor,31.20\ncontactor,30\n")
        with pytest.raises(LadderError, match="line 3: a model has one price"):
            read_prices(path)


class TestWritten:
    def test_a_list_of_a_kit_is_read_back_as_the_list_of_a_check(self, ledger, tmp_path):
        path = write(contents(ledger.books(), "K01"), tmp_path / "list.csv")
        assert path.read_text().splitlines()[1] == "Q1,contactor,good,"
        assert read_findings(path) == [Finding(piece.name, "good") for piece in SMALL]

    def test_a_formula_is_made_harmless_and_read_back(self, tmp_path):
        path = write(Listing("x", ("piece", "condition", "remark"), (("Q1", "worn", "=1+1"),)), tmp_path / "x.csv")
        assert path.read_text() == "piece,condition,remark\nQ1,worn,'=1+1\n"
        assert read_findings(path) == [Finding("Q1", "worn", "=1+1")]

    def test_into_a_folder_that_is_not_there_is_told(self, ledger, tmp_path):
        with pytest.raises(LadderError, match="cannot be written"):
            write(overview(ledger.books()), tmp_path / "none" / "x.csv")


class TestTables:
    def test_tell_the_term(self, ledger):
        ledger.price("Ines", {"push button": "12.50"}, "EUR")
        ledger.issue("Ines", "K01", "A", ["Ada"])
        assert "group A, check-in list not handed in" in str(overview(ledger.books()))
        found = [Finding("Q1", "missing"), Finding("S1", "damaged", "cap off"), Finding("S2", "good")]
        ledger.take_in("Ines", "K01", found, ["Ada"])
        books = ledger.books()
        assert [row[4] for row in overview(books).rows] == ["1 damaged, 1 missing"]
        assert [row[4:] for row in charges(books).rows] == [
            ("good → missing", "no price"),
            ("good → damaged", "12.50 EUR"),
            ("sum", "12.50 EUR"),
        ]
        assert order(books).rows == (
            ("contactor", "1", "no price", "no price", "K01 Q1"),
            ("push button", "1", "12.50 EUR", "12.50 EUR", "K01 S1"),
            ("sum", "", "", "12.50 EUR", "without contactor"),
        )
        assert [row[4] for row in history(books, "K01").rows] == [
            "added as 'small kit' with 3 pieces",
            "issued to group A (Ada)",
            "returned, signed by Ada: Q1 missing; S1 damaged (cap off)",
        ]
        ledger.withdraw("Ines", "K01")
        assert order(ledger.books()).rows == ()

    def test_show_themselves_as_html_with_text_escaped(self, ledger):
        ledger.add("Ines", "K02", "<b>kit</b>", SMALL)
        assert "&lt;b&gt;kit" in overview(ledger.books())._repr_html_()


class TestCommands:
    def run(self, capsys, tmp_path, *arguments):
        status = main(["kit", "--ledger", str(tmp_path / "kits.db"), "--by", "Ines", *arguments])
        told = capsys.readouterr()
        return status, told.out + told.err

    def test_a_term_from_the_command_line(self, capsys, tmp_path):
        def run(*arguments):
            return self.run(capsys, tmp_path, *arguments)

        assert run("list")[0] == 2
        status, told = run("add", "K01", "K02")
        assert (status, told.splitlines()[1][:27]) == (0, "entry 2: K02 added as 'trai")
        assert run("issue", "K01", "--group", "A", "--members", "Ada, Ben") == (
            0,
            "entry 3: K01 issued to group A (Ada, Ben)\n",
        )
        assert run("check", "K01", "--signed", "Ada", "--all-good", "--but", "S2=worn:stiff")[1].endswith(
            "S2 worn (stiff)\n"
        )
        assert run("show", "K01", "--csv", str(tmp_path / "k01.csv"))[0] == 0
        text = (tmp_path / "k01.csv").read_text()
        (tmp_path / "k01.csv").write_text(text.replace("S3,push button,good,", "S3,push button,missing,"))
        assert run("return", "K01", "--signed", "Ada", "--list", str(tmp_path / "k01.csv"))[0] == 0
        assert "S3" in run("order")[1]
        assert run("replace", "K01", "S3")[0] == 0
        assert run("order")[1] == "To order: nothing\n"
        assert "good → missing" in run("charges")[1]
        assert run("take-back", "6", "--reason", "wrong kit")[0] == 0
        assert "[taken back]" in run("history", "K01")[1]
        assert run("withdraw", "K02")[0] == 0

    def test_an_error_is_one_line_and_status_2(self, capsys, tmp_path):
        self.run(capsys, tmp_path, "add", "K01")
        status, told = self.run(capsys, tmp_path, "issue", "K09", "--group", "A", "--members", "Ada")
        assert (status, told) == (2, "rungbook kit: Ledger: has no such kit. Given: 'K09'. Choices: K01.\n")
        assert self.run(capsys, tmp_path, "add")[0] == 2
        assert self.run(capsys, tmp_path, "check", "K01", "--signed", "A", "--all-good", "--but", "S2=bad")[0] == 2

    def test_without_a_name_the_accounts_is_written(self, capsys, tmp_path, monkeypatch):
        monkeypatch.setattr("getpass.getuser", lambda: "omar")
        assert main(["kit", "--ledger", str(tmp_path / "kits.db"), "add", "K01"]) == 0
        assert Ledger(tmp_path / "kits.db").books().entries[0].by == "omar"

from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.roster import Student, read_roster


def read(tmp_path: Path, text: str | bytes) -> tuple[Student, ...]:
    path = tmp_path / "students.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_roster(path)


class TestReads:
    def test_the_four_columns_in_any_order_and_under_usual_names(self, tmp_path: Path) -> None:
        told = read(tmp_path, "Surname,Given name,Student ID,E-mail,Group\nAlder,Ina,alder,ina@cider.example,A\n")
        assert told == (Student("alder", "Ina", "Alder", "ina@cider.example"),)

    @pytest.mark.parametrize("between", [",", ";", "\t"])
    def test_whatever_stands_between_cells_a_byte_order_mark_and_empty_lines(self, tmp_path: Path, between) -> None:
        text = "\ufeff" + between.join(["id", "first_name"]) + "\r\n\r\n" + between.join(["b-1", "Mara Lea"]) + "\r\n"
        assert read(tmp_path, text) == (Student("b-1", "Mara Lea"),)

    def test_names_of_any_script(self, tmp_path: Path) -> None:
        told = read(tmp_path, 'id,first_name,last_name\nx1,שרה,ברוש\nx2,Zoe\u0308,"Elm, von"\n')
        assert told == (Student("x1", "שרה", "ברוש"), Student("x2", "Zo\u00eb", "Elm, von"))


class TestRefuses:
    def test_all_bad_rows_at_once_each_with_its_line_and_what_is_legal(self, tmp_path: Path) -> None:
        rows = ["id,last_name,email", "../x,Alder,", ",Birch,", "cedar,Ce\x07dar,no", "Elm,Elm,", "elm,Elm,", "a,b,,x"]
        with pytest.raises(LadderError) as caught:
            read(tmp_path, "\n".join([*rows, "lab02,L,", '"y', 'z",M,']) + "\n")
        legal = "1 to 64 letters a-z, digits, . _ @ -, the first a letter or digit"
        assert str(caught.value).splitlines()[:9] == [
            "Roster: 8 bad rows",
            f"  line 2: id '../x'; legal: {legal}, the last no dot",
            f"  line 3: no id; legal: {legal}",
            "  line 4: last name 'Ce\\x07dar' with characters that cannot be printed; legal: letters, marks, blanks",
            "  line 4: e-mail 'no'; legal: one address, such as ina@cider.example",
            "  line 6: id 'elm' stands in line 5 already",
            "  line 7: 4 cells, the first line names 3",
            "  line 8: id 'lab02'; legal: any but the name of a lab",
            f"  line 10: id 'y\\nz'; legal: {legal}, the last no dot",
        ]

    def test_an_address_that_two_students_have(self, tmp_path: Path) -> None:
        rows = "id,email\na,ina@cider.example\nina@cider.example,\nb,INA@cider.example\n"
        with pytest.raises(
            LadderError, match=r"1 bad row\n  line 4: e-mail 'INA@cider.example' stands in line 2 already"
        ):
            read(tmp_path, rows)

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("", "is empty"),
            ("name\nalder\n", "one is id"),
            ("id,number\n1,2\n", "two columns for id"),
            ("id\n", "no student below its first line"),
            (b"id,last_name\na,Alder\nb,\xe4\n", "line 3 is not UTF-8"),
            ('id,last_name\na,"Alder\n', "line 2: unexpected end of data"),
        ],
    )
    def test_a_file_that_is_no_roster(self, tmp_path: Path, text, told: str) -> None:
        with pytest.raises(LadderError, match=told):
            read(tmp_path, text)

    def test_a_file_that_is_not_there(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match="cannot be read: No such file"):
            read_roster(tmp_path / "none.csv")

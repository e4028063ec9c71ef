"""Each calculation is marked right when worked from its text, and each usual mistake is refused and told."""

import math
import re
from collections import Counter

import pytest

from rungbook import LadderError, practice
from rungbook.alone.practice import tasks
from rungbook.alone.practice.calculations import Question, Way, draw_sheet
from rungbook.alone.practice.draws import Draws
from rungbook.motors import Answer

LEVELS = (1, 2, 3, 4, 5)
CAGE = {"non-time-delay fuse": 3.0, "time-delay fuse": 1.75, "inverse-time breaker": 2.5}  # NEC Table 430.52
# NEC 240.6(A), as in the check values (15 to 1600 A) and the fuses beside them
RATINGS = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450]
RATINGS += [500, 600, 700, 800, 1000, 1200, 1600]
FUSES = sorted([*RATINGS, 1, 3, 6, 10, 601])


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)


def sheets(level: int, many: int):
    """What is drawn for a level, whatever it measures: no draw is left out because its level is another."""
    return [sheet for n in range(many) if (sheet := draw_sheet(Draws("test", str(level), str(n)), level))]


@pytest.mark.parametrize("level", LEVELS)
def test_over_many_seeds_the_worked_answer_earns_all_and_each_mistake_nothing(level: int) -> None:
    told = Counter()
    for sheet in sheets(level, 150):
        for question in sheet.questions:
            asked = question.requirement()
            right = sheet.solution.form[question.field]
            assert asked.judge({question.field: right}, ()).earned == 1, (question.field, right)
            told[question.answer.name] += len(question.told)
            for wrong in map(float, question.told):
                found = asked.judge({question.field: f"{wrong:.8g} {question.unit}"}, ())
                assert found.earned == 0, (question.field, wrong)
                assert found.because in question.told.values(), (question.field, wrong)
    assert len(told) >= 20, "a level draws from all topics"
    assert min(told.values()) > 0, "each topic has a mistake that can be told"


def worked(field: str, text: str) -> float | None:
    """The answer to `field` by the test's own arithmetic from the words of the text alone; None where it has none."""
    plate = re.search(
        r"(?:(\S+) hp|(\S+) kW), (\S+) V, (\S+) A, (\S+) Hz, (\S+) rpm, power factor (\S+), efficiency (\S+), service "
        r"factor (\S+), temperature rise (not marked|\d+)",
        text,
    )
    if plate is None:
        return worked_control(field, text)
    hp, kilowatts = float(plate[1] or 0), float(plate[2] or 0)
    volts, amps, hertz, rpm, factor, good, service = (float(plate[n]) for n in range(3, 10))
    watts = hp * 745.69987 if hp else 1000 * kilowatts
    share = 1.25 if service >= 1.15 or plate[10] == "40" else 1.15  # NEC 430.32(A)(1)
    locked = (
        [float(one) for one in re.findall(r"has (\S+) times its rated current and (\S+) times", text)[0]]
        if ("direct start it has" in text)
        else [0.0, 0.0]
    )
    rows = {
        float(size): {int(v): float(a) for v, a in re.findall(r"(\d+) V ([\d.]+) A", cells)}
        for size, cells in re.findall(r"430\.250, ([\d.]+) hp: (.*)", text)
    }
    table = rows[hp][int(volts)] if hp in rows else 0.0
    field_rpm = next(120 * hertz / poles for poles in range(40, 0, -2) if 120 * hertz / poles > rpm)
    at = re.search(r"at (\d+) Hz", field)
    begins = re.search(r"begins with (\d+) %", field)
    simple = {
        "table current": table,
        "dial of the overload relay, in the motor's lines": amps,
        "overload relay in the motor's lines, at most": share * amps,
        "overload relay inside the delta, at most": share * amps / math.sqrt(3),
        "ampacity of the conductors, at least": 1.25 * table,
        "instantaneous-trip breaker, setting at most": 8 * table,
        "rated slip": 100 * (1 - rpm / field_rpm),
        "synchronous speed": field_rpm,
        "frequency in the rotor at rated speed": hertz * (1 - rpm / field_rpm),
        "line current at a direct start": locked[0] * amps,
        "line current at the start in star": locked[0] * amps / 3,
        "torque at the start in star, of the rated torque": 100 * locked[1] / 3,
    }
    if field in simple:
        return simple[field]
    if "NEC 430.32(C)" in field:
        raised = (1.4 if share == 1.25 else 1.3) * amps
        return raised / math.sqrt(3) if "inside" in field else raised
    if field == "rated torque":
        return watts / (2 * math.pi * rpm / 60)
    if field == "ampacity of the feeder, at least":
        sizes = [hp, *map(float, re.findall(r"a motor of ([\d.]+) hp", text))]
        currents = sorted(rows[size][int(volts)] for size in sizes)
        return sum(currents) + 0.25 * currents[-1]
    if field.startswith("voltage of the drive"):
        return volts * float(at[1]) / hertz
    if field.startswith("torque left for long"):
        return 100 * hertz / float(at[1])
    if field.startswith("synchronous speed at"):
        return field_rpm / hertz * float(at[1])
    if field.startswith("torque as a soft starter"):
        return float(begins[1]) ** 2 / 100 * locked[1]
    if field.startswith("line current as a soft starter"):
        return float(begins[1]) / 100 * locked[0] * amps
    if field.startswith("line current at the start from the autotransformer"):
        tap = float(re.search(r"a tap of (\d+) %", text)[1]) / 100
        return tap**2 * locked[0] * amps
    if field == "power drawn at that load":
        read, cosine = re.search(r"reads (\S+) A in each line and a power factor of (\d\.\d+)", text).groups()
        return math.sqrt(3) * volts * float(read) * float(cosine) / 1000
    if field.startswith("efficiency at that load"):
        out, drawn = re.search(r"At (\S+) kW on the shaft, .* reads (\S+) kW drawn", text).groups()
        return 100 * float(out) / float(drawn)
    if field.startswith("rated current at"):
        other = float(re.search(r"at (\d+) V", field)[1])
        return watts / (math.sqrt(3) * other * factor * good)
    if field.startswith("locked-rotor current"):
        letter = re.search(r"code letter (\w)", text)[1]
        top = float(re.search(rf"[ ,]{letter} [\d.]+ to ([\d.]+)", text)[1])
        return top * hp * 1000 / (math.sqrt(3) * volts)
    if field.startswith("table ampacity"):
        sizes = [int(most) for most in re.findall(r"(?:AWG|kcmil) (\d+) A", text)]
        return next(most for most in sizes if most >= 1.25 * table)
    (kind,) = (kind for kind in sorted(CAGE, key=len, reverse=True) if field.startswith(kind))
    ratings = RATINGS if kind == "inverse-time breaker" else FUSES
    first = next(rating for rating in ratings if rating >= CAGE[kind] * table - 1e-6)
    if "Ex. 1" not in field:
        return first
    most = {"non-time-delay fuse": 4.0, "time-delay fuse": 2.25}.get(kind, 4.0 if table <= 100 else 3.0)
    return max([first, *(rating for rating in ratings if rating <= most * table and rating <= 600)])


def worked_control(field: str, text: str) -> float | None:
    """The same of a control circuit."""
    coil = re.search(r"coil, (\S+) V a\.c\.: (\S+) VA at power factor (\S+) while it pulls in, (\S+) VA at (\S+)", text)
    line = re.search(r"line is (\d+) m long, one way, of (\S+) mm²", text)
    ohms = 2 * float(line[1]) * 0.017241 / float(line[2]) if line else 0.0  # IEC 60028
    volts, inrush, cosine, sealed, _ = map(float, coil.groups()) if coil else (0.0,) * 5
    if field == "coil current while it pulls in":
        return inrush / volts
    if field == "coil current while it is held":
        return sealed / volts
    if field.startswith("voltage from which"):
        return 0.85 * volts  # IEC 60947-4-1
    if field == "largest apparent power of the coils":
        return (int(re.search(r"(\d+) such contactors", text)[1]) - 1) * sealed + inrush
    if field == "resistance of the control line":
        return ohms
    if field == "voltage at the coil while it pulls in":
        size = volts**2 / inrush
        coil_ohms = complex(size * cosine, size * math.sqrt(1 - cosine**2))
        inner = float(re.search(r"has (\S+) Ω of resistance", text)[1])
        return volts * size / abs(inner + ohms + coil_ohms)
    if field == "time on, and time off":
        return 30 / int(re.search(r"flash (\d+) times", text)[1])
    if field.startswith("mark of the dial"):
        top, run = re.search(r"range (\S+) s and .* run (\S+) s\.", text).groups()
        return 10 * float(run) / float(top)
    if field == "time of the off-delay timer":
        metres, speed = re.search(r"is (\S+) m long and runs at (\S+) m/s", text).groups()
        more = re.search(r"is off, and (\d+) s more", text)
        return float(metres) / float(speed) + (int(more[1]) if more else 0)
    if field.startswith("time of the timer of the"):
        gaps = [float(gap) for gap in re.findall(r"(\S+) s after the", text)]
        return sum(gaps) if "begin with the start" in text else gaps[-1]
    bottles, each, change = re.search(
        r"to (\d+) bottles a crate, one bottle each (\S+) s; .* takes (\d+) s", text
    ).groups()
    return int(re.search(r"for (\d+) crates", field)[1]) * (int(bottles) * float(each) + int(change)) / 60


@pytest.mark.parametrize("level", LEVELS)
def test_what_the_text_says_is_enough_and_leads_to_the_marked_answer(level: int) -> None:
    """The numbers again, from the words of the exercise and by arithmetic written here, not by `rungbook.motors`."""
    for sheet in sheets(level, 120):
        text = "\n".join(sheet.text)
        for question in sheet.questions:
            value = worked(question.field, text)
            if question.unit == "lb·ft":
                value /= 1.35581795
            assert question.value == pytest.approx(value, rel=2e-3), (question.field, text)


@pytest.mark.parametrize("level", LEVELS)
def test_an_exercise_is_of_its_level_by_the_steps_and_tables_of_its_worked_answer(level: int, capsys) -> None:
    for task in tasks("calculate", level, 11, 12):
        steps = {step for _, answer in task.solution.answers for step in answer.steps}
        assert task.measure.steps == len(steps)
        assert task.measure.tables == sum("Table " in step or "240.6(A)" in step for step in steps)
        bounds = {1: (1, 2), 2: (3, 4), 3: (5, 7), 4: (8, 10), 5: (11, 99)}
        low, high = bounds[level]
        assert low <= task.measure.steps + task.measure.tables <= high
        assert task.mark(task.solution.form) == task.most == 2 * len(task.form)
        assert task.mark(task.start()) == 0
        assert "you wrote nothing" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("level", LEVELS)
def test_no_two_of_a_go_are_alike(level: int) -> None:
    made = tasks("calculate", level, 3, 80)
    assert len({task.key for task in made}) == 80
    assert len({task.text for task in made}) == 80


def test_two_with_the_same_numbers_are_alike_whatever_the_machine_is_called() -> None:
    found = {}
    for n in range(4000):
        sheet = draw_sheet(Draws("alike", str(n)), 1)
        if sheet and sheet.questions[0].field == "synchronous speed":
            found.setdefault(sheet.key, set()).add(sheet.title)
    assert any(len(titles) > 1 for titles in found.values())


def test_the_same_seed_gives_the_same_exercise_for_ever() -> None:
    task = practice("calculate", 2, 5, 3)
    assert str(task).splitlines()[:2] == [
        "Motor of the filling line · calculate, level 2, seed 5, number 3",
        "Plate of the motor of the filling line, three-phase cage: 5 hp, 208 V, 15.4 A, 60 Hz, 3470 rpm, power factor "
        "0.8, efficiency 0.84, service factor 1, temperature rise 55 °C, code letter G.",
    ]
    assert task.form == ("ampacity of the conductors, at least",)
    assert str(task.solution).splitlines()[:3] == [
        "ampacity of the conductors, at least: 20.88 A",
        "  NEC Table 430.250: 5 hp, column 208 V: 16.7 A",  # NEC Table 430.250, read in two copies that agree
        "  1.25 × 16.7 A = 20.88 A (NEC 430.22)",
    ]
    assert practice("calculate", 2, 6, 3).key != task.key


class TestOverload:
    """NEC 430.6(A)(1), (2): conductors and short-circuit device by the table, the overload by the nameplate."""

    def overload(self):
        for number in range(1, 60):
            task = practice("calculate", 3, 2, number)
            if "overload relay in the motor's lines, at most" in task.form:
                return task
        raise AssertionError("none drawn")

    def test_the_table_current_is_told_with_its_clause(self, capsys) -> None:
        task = self.overload()
        field = "overload relay in the motor's lines, at most"
        text = "\n".join(task.text)
        hp, volts, service = re.search(r"(\S+) hp, (\S+) V.*service factor ([\d.]+)", text).groups()
        row = re.search(rf"430\.250, {hp} hp: (.*)", text)[1]
        table = float(re.search(rf"{volts} V ([\d.]+) A", row)[1])
        share = 1.25 if float(service) >= 1.15 or "rise 40" in text else 1.15
        form = task.solution.form | {field: f"{share * table:.2f} A"}
        assert task.mark(form) == task.most - 2
        out = " ".join(capsys.readouterr().out.split())
        assert "You used the table current; the overload is set from the nameplate (NEC 430.6(A)(2))." in out

    def test_edition_and_deferral_to_the_local_code_are_shown(self) -> None:
        task = self.overload()
        said = "the edition in force where you work, its local amendments and a licensed person decide"
        for shown in (str(task), task._repr_html_(), str(task.solution), task.solution._repr_html_()):
            assert said in shown
            assert "NEC (NFPA 70), tables of the editions 2008 and 2011" in shown

    def test_the_solution_is_not_in_the_exercise(self) -> None:
        task = self.overload()
        reckoned = [step for _, answer in task.solution.answers for step in answer.steps if " = " in step]
        assert reckoned
        assert not any(step in str(task) + task._repr_html_() for step in reckoned)


class TestUnits:
    def test_a_missing_unit_costs_half(self, capsys) -> None:
        task = practice("calculate", 2, 5, 3)
        assert task.mark({task.form[0]: "20.9"}) == 1
        assert "The unit is missing: asked for is current, in A." in " ".join(capsys.readouterr().out.split())

    def test_another_unit_of_the_same_and_a_decimal_comma_are_right(self) -> None:
        task = practice("calculate", 2, 5, 3)
        assert task.mark({task.form[0]: "20,88 A"}) == 2
        assert task.mark({task.form[0]: "0.02088 kA"}) == 2

    def test_the_units_are_told_with_the_fields(self) -> None:
        task = practice("calculate", 2, 5, 3)
        assert '  "ampacity of the conductors, at least": … A' in str(task).splitlines()
        assert "<li>ampacity of the conductors, at least: … A</li>" in task._repr_html_()


class TestQuestion:
    def test_a_mistake_that_rounding_could_make_right_is_not_told(self) -> None:
        right = Answer("Slip", 2.0, "%", ("a step",))
        question = Question("slip", right, "%", ((2.015, "nearly"), (4.0, "twice")), "s = …", tolerance=1)
        assert question.told == {4.0: "twice"}

    def test_a_worked_answer_that_its_own_tolerance_refuses_is_no_exercise(self) -> None:
        right = Answer("Power", 12344.4, "W", ("a step",))
        with pytest.raises(LadderError, match="the worked answer, as shown, earns its points"):
            Question("power", right, "W", (), "", tolerance=0.001).requirement()

    def test_a_step_that_serves_two_questions_counts_once(self) -> None:
        table = Answer("a", 1.0, "A", ("NEC Table 430.250: 5 hp",))
        more = Answer("b", 2.0, "A", ("NEC Table 430.250: 5 hp", "× 2"))
        assert Way.to([table, more]) == Way(2, 1)
        assert [Way(n, 0).level for n in (1, 2, 3, 4, 5, 7, 8, 10, 11)] == [1, 1, 2, 2, 3, 3, 4, 4, 5]

"""Two benches in one notebook of JupyterLab, handled in a real browser by mouse, touch and keyboard."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser, Page

from accessible import found_on, grave
from jupyterlab_browser import NOTEBOOK, READY, comes_true, jupyterlab, open_notebook

PRESS = """
from rungbook import *
from rungbook.circuit.power import direct

panel = [
    Device("S1", colour="red", label="stop"),
    Device("S2", colour="green", label="left hand"),
    Device("S3", colour="green", label="right hand"),
    Device("S4", "emergency stop", colour="red"),
    Device("S5", "three-position selector"),
    Device("S6", "two-position selector"),
    Device("F1", setting="1 A class 10 manual with test"),
    Device("Q1"),
    Device("K1", "timer relay", setting="on-delay 1 s"),
    *map(Device, ("P1", "P2", "P3", "P4")),
]
press = Ladder("Press pump", panel)
press.rung(NC("S4") & NC("S1") & NO("S2") & NO("S3") & NC("F1"), coil("Q1"))
press.rung(NO("S6"), coil("K1"))
press.rung(NO("K1"), lamp("P1"))
press.rung(NO("S5", "13-14"), lamp("P2"))
press.rung(NO("S5", "23-24"), lamp("P3"))
press.rung(NO("F1"), lamp("P4"))
first = bench(press, direct())
first
"""
FAN = """
fan = Ladder("Cellar fan")
fan.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
fan.rung(NO("Q1"), lamp("P1", "green"))
bench(fan)
"""
_TOAST = ".Toastify{display:none!important}"  # news of the program itself, over the lower right corner


@dataclass
class Desk:
    """One bench on the page."""

    page: Page
    place: int
    folder: Path

    @property
    def root(self):
        return self.page.locator(".rungbook-bench").nth(self.place)

    def button(self, tag, text=""):
        found = self.root.locator(f'[data-device="{tag}"] button')
        return found.filter(has_text=re.compile(f"^{text}$")) if text else found.first

    def word(self, tag):
        return self.root.locator(f'[data-device="{tag}"] .word').text_content()

    def comes_to(self, tag, word, seconds=5):
        look = f"""document.querySelectorAll('.rungbook-bench')[{self.place}]
            .querySelector('[data-device="{tag}"] .word').textContent.startsWith({word!r})"""
        return comes_true(self.page, look, seconds)

    def rows(self):
        return [row.split(" s", 1)[1] for row in self.root.locator(".rows tbody tr").all_text_contents()]

    def has_rows(self, count):
        """True as soon as its trace has `count` rows."""
        rows = f"document.querySelectorAll('.rungbook-bench')[{self.place}].querySelectorAll('.rows tbody tr').length"
        return comes_true(self.page, f"{rows} === {count}", 10)

    def start_over(self):
        self.page.evaluate("() => document.activeElement.blur()")
        self.root.get_by_text("Start over").click()
        gone = f"!document.querySelectorAll('.rungbook-bench')[{self.place}].querySelector('.rows td')"
        assert comes_true(self.page, gone, 5)


def run_all(page):
    page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
    both = "document.querySelectorAll('.rungbook-bench:not(.dead) .panel').length === 2"
    assert comes_true(page, both, 60)
    assert comes_true(page, READY, 30)


@pytest.fixture(scope="module", name="opened")
def _opened(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Page, Path]]:
    home = tmp_path_factory.mktemp("bench")
    folder = home / "notebooks"
    folder.mkdir()
    cells = [nbformat.v4.new_code_cell(source.strip()) for source in (PRESS, FAN)]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), folder / "bench.ipynb")
    with jupyterlab(home, folder) as address:
        page = open_notebook(browser, address, "bench.ipynb", 1500)
        page.add_style_tag(content=_TOAST)
        run_all(page)
        yield page, folder
        page.close()


@pytest.fixture(name="desk")
def _desk(opened: tuple[Page, Path]) -> Desk:
    desk = Desk(opened[0], 0, opened[1])
    desk.start_over()
    return desk


def test_benches_with_meter_and_motor_have_no_serious_finding_of_axe(desk):
    """WCAG 2.2 and good practice, as axe-core decides them, with the trace begun and a lamp lit."""
    desk.button("S2").click()
    assert desk.has_rows(2)
    assert grave(found_on(desk.page, ".rungbook-bench")) == ""


def test_in_the_dark_theme_the_bench_stays_ink_on_paper(desk):
    """nbgrader's extension has a rule for every `.panel`, which in the dark theme is dark."""
    theme = "name => void window.jupyterapp.commands.execute('apputils:change-theme', { theme: name })"
    is_dark = "document.body.dataset.jpThemeLight === 'false'"
    desk.page.evaluate(theme, "JupyterLab Dark")
    try:
        assert comes_true(desk.page, is_dark, 20)
        desk.page.wait_for_timeout(1000)  # its style sheet
        painted = """() => [...document.querySelectorAll('.rungbook-bench :is(.panel, .meter, .trace, .tools, .desk)')]
            .map(one => getComputedStyle(one).backgroundColor)"""
        assert set(desk.page.evaluate(painted)) <= {"rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"}
        assert grave(found_on(desk.page, ".rungbook-bench")) == ""
    finally:
        desk.page.evaluate(theme, "JupyterLab Light")
        assert comes_true(desk.page, f"!({is_dark})", 20)


class TestByMouse:
    def test_a_button_is_pressed_while_it_is_held(self, desk):
        desk.button("S1").hover()
        desk.page.mouse.down()
        assert desk.comes_to("S1", "pressed")
        assert desk.button("S1").get_attribute("aria-pressed") == "true"
        desk.page.mouse.move(5, 5)  # off the button, still held
        assert desk.button("S1").get_attribute("aria-pressed") == "true"
        desk.page.mouse.up()
        assert desk.comes_to("S1", "released")
        assert desk.rows() == ["S1 pressed", "S1 released"]

    def test_a_nudge_follows_the_wish_of_a_hand_but_not_a_look_at_the_time(self, desk):
        desk.page.wait_for_timeout(2500)  # the picture is kept, nothing runs
        desk.page.evaluate(f"""() => {{
            window.sent = [];
            {NOTEBOOK}.sessionContext.session.kernel.anyMessage.connect((_, {{ direction, msg }}) => {{
                const wish = msg.content.data?.content;
                if (direction === "send" && wish) window.sent.push(wish.do);
            }});
        }}""")
        desk.button("S6").click()
        assert desk.comes_to("P1", "lit")
        assert desk.page.evaluate("window.sent") == ["order", "nudge", "time"]

    def test_an_emergency_stop_stays_until_it_is_unlatched(self, desk):
        assert desk.button("S4", "Unlatch").get_attribute("aria-disabled") == "true"
        desk.button("S4", "Strike").click()
        assert desk.comes_to("S4", "latched")
        desk.button("S4", "Strike").click(force=True)
        desk.button("S4", "Unlatch").click()
        assert desk.comes_to("S4", "reset")
        assert desk.rows() == ["S4 latched", "S4 reset"]

    def test_an_overload_relay_trips_by_its_test_button_and_is_reset(self, desk):
        desk.button("F1", "Test").click()
        assert desk.comes_to("F1", "tripped")
        assert desk.comes_to("P4", "lit")
        desk.button("F1", "Reset").click()
        assert desk.comes_to("P4", "dark")

    def test_the_supply_and_a_timer_with_its_remaining_time(self, desk):
        desk.button("S6").click()
        gauge = """document.querySelector('[data-device="K1"] .small + .body, [data-device="K1"] .bar')
            .getAttribute('aria-valuetext')?.endsWith('of 1 s left')"""
        assert comes_true(desk.page, gauge, 5)
        assert desk.comes_to("P1", "lit")
        desk.button("supply").click()
        assert desk.comes_to("P1", "dark")
        assert desk.button("supply").get_attribute("aria-checked") == "false"

    def test_paused_it_goes_from_event_to_event(self, desk):
        desk.root.get_by_text("Pause").click()
        assert comes_true(desk.page, "document.querySelector('.rungbook-bench').matches('.paused')", 5)
        desk.button("S6").click()
        assert desk.comes_to("S6", "on")
        desk.page.wait_for_timeout(300)
        assert desk.word("P1") == "dark"
        for _ in range(2):  # the switch closes, the timer runs out
            desk.root.get_by_text("Step").click()
            desk.page.wait_for_timeout(150)
        assert desk.comes_to("P1", "lit")
        times = [row.split(" s")[0][1:] for row in desk.root.locator(".rows tbody tr").all_text_contents()]
        assert round(float(times[1]) - float(times[0]), 3) == 1.004
        desk.root.get_by_text("Go on").click()
        assert comes_true(desk.page, "!document.querySelector('.rungbook-bench').matches('.paused')", 5)


class TestByKeyboard:
    def test_two_buttons_are_held_at_once(self, desk):
        desk.button("S1").focus()
        desk.page.keyboard.down("2")
        assert desk.comes_to("S2", "pressed")
        assert desk.word("Q1") == "out"
        desk.page.keyboard.down("3")
        assert desk.comes_to("Q1", "in")
        assert desk.comes_to("M1", "running forwards")
        arrow = """getComputedStyle(document.querySelector(
            '.rungbook-bench .diagram [data-device="M1"] .turn.forwards')).display"""
        assert desk.page.evaluate(arrow) == "inline"
        desk.page.keyboard.up("2")
        assert desk.comes_to("Q1", "out")
        assert desk.word("S3") == "pressed"
        desk.page.keyboard.up("3")
        assert desk.comes_to("S3", "released")

    def test_twenty_quick_taps_lose_none(self, desk):
        desk.button("S1").focus()
        for _ in range(20):
            desk.page.keyboard.down("Space")
            desk.page.keyboard.up("Space")
        assert desk.has_rows(40)
        assert desk.rows() == ["S1 pressed", "S1 released"] * 20

    def test_a_hand_that_leaves_the_button_lets_it_go(self, desk):
        desk.button("S1").focus()
        desk.page.keyboard.down("Space")
        assert desk.comes_to("S1", "pressed")
        desk.page.evaluate("() => document.activeElement.blur()")
        assert desk.comes_to("S1", "released")
        desk.page.keyboard.up("Space")

    def test_every_operator_is_reached_by_tab_and_worked_by_keys(self, desk):
        keys = desk.page.keyboard
        desk.root.get_by_text("Start over").focus()
        seen = []
        for _ in range(25):
            keys.press("Tab")
            label = desk.page.evaluate(
                "() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
            )
            seen.append(label)
            if label == "S4, strike":
                keys.press("Enter")
                assert desk.comes_to("S4", "latched")
            if label == "S4, unlatch":
                keys.press("Space")
                assert desk.comes_to("S4", "reset")
            if label == "S5, off":
                keys.press("ArrowRight")
                assert desk.comes_to("P3", "lit")
                keys.press("ArrowLeft")
                keys.press("ArrowLeft")
                assert desk.comes_to("P2", "lit")
                assert desk.word("P3") == "dark"
            if label == "Trace":
                break
        assert seen == [
            "Diagram",
            "X1, wire 1",
            "S1 (stop), red button, hold",
            "S2 (left hand), green button, hold",
            "S3 (right hand), green button, hold",
            "S4, strike",
            "S4, unlatch",
            "S5, off",
            "S6, on",
            "F1, test",
            "F1, reset",
            "Control supply, supply",
            "Control supply, replace fuse",
            "volts a.c.",
            "V lead on",
            "COM lead on",
            "Leads on the known live source",
            "Lock out the supply",
            "Wire list",
            "Trace",
        ]

    def test_no_key_is_a_command_of_the_notebook(self, desk):
        cells = "document.querySelectorAll('.jp-Notebook .jp-Cell').length"
        for thing in (desk.button("S6"), desk.root.get_by_label("V lead on"), desk.root.locator(".point").first):
            thing.focus()
            for key in ("b", "x"):  # a cell more, a cell less
                desk.page.keyboard.press(key)
                desk.page.wait_for_timeout(100)
                assert desk.page.evaluate(cells) == 2, key

    def test_changes_are_told_to_a_screen_reader(self, desk):
        desk.button("S6").press("Enter")
        told = "document.querySelector('.rungbook-bench [role=status]').textContent.includes('K1 in. P1 lit')"
        assert comes_true(desk.page, told, 6)
        desc = desk.root.locator(".diagram desc").first.text_content()
        assert "Live on rung 3: current through NO contact of K1 and lamp P1" in desc


class TestMeter:
    @pytest.fixture(autouse=True)
    def _leads_off(self, desk):
        for name in ("V lead on", "COM lead on"):
            desk.root.get_by_label(name).select_option("")
        desk.root.get_by_role("radio", name="volts a.c.").click()
        assert self.shows(desk, "put both leads on")

    def shows(self, desk, text, remark=""):
        look = f"""(bench => bench.querySelector('.display').textContent.startsWith({text!r})
            && bench.querySelector('.remark').textContent.startsWith({remark!r}))
            (document.querySelectorAll('.rungbook-bench')[{desk.place}])"""
        return comes_true(desk.page, look, 5)

    def point(self, desk, name):
        return desk.root.locator(f'.point[aria-label^="{name},"]')

    def test_two_points_are_clicked_and_the_reading_follows_the_circuit(self, desk):
        self.point(desk, "P2:X1").click()
        self.point(desk, "X2").click()
        assert self.shows(desk, "0.0 V")
        desk.button("S5", "left").click()
        assert self.shows(desk, "120.0 V")
        desk.button("supply").click()
        assert self.shows(desk, "0.0 V")
        assert "V lead here" in self.point(desk, "P2:X1").get_attribute("aria-label")

    def test_ohms_on_a_live_circuit_are_refused_in_words(self, desk):
        desk.root.locator("summary").click()
        desk.root.get_by_role("button", name="S4:11, wire 1, put a lead").click()
        desk.root.get_by_role("button", name="S4:12, wire 3, put a lead").click()
        desk.root.locator("summary").click()
        assert self.shows(desk, "0.0 V")
        desk.root.get_by_role("radio", name="ohms").click()
        assert self.shows(desk, "--- live", "The circuit is live: switch the supply off and prove it dead")
        told = "document.querySelector('.rungbook-bench [role=status]').textContent.includes('The circuit is live')"
        assert comes_true(desk.page, told, 6)

    def test_proved_dead_and_measured_by_keyboard_alone(self, desk):
        keys = desk.page.keyboard

        def stop_at(label):
            for _ in range(30):
                keys.press("Tab")
                here = "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
                if desk.page.evaluate(here) == label:
                    return
            raise AssertionError(f"Tab does not come to {label}")

        desk.root.get_by_text("Start over").focus()
        stop_at("X1, wire 1")
        keys.press("Enter")
        keys.press("ArrowRight")
        keys.press("Space")
        assert self.shows(desk, "120.0 V")
        stop_at("Control supply, supply")
        keys.press("Space")
        assert self.shows(desk, "0.0 V")
        stop_at("Lock out the supply")
        keys.press("Enter")
        assert comes_true(desk.page, "document.activeElement.textContent === 'Take the lock off'", 5)
        keys.press("Shift+Tab")
        for seen in ("120.0 V", "0.0 V", "120.0 V"):
            keys.press("Enter")
            assert self.shows(desk, seen)
        proved = (
            "document.querySelector('.rungbook-bench .proved').textContent === 'The circuit is proved dead (X1 – X2).'"
        )
        assert comes_true(desk.page, proved, 5)
        keys.press("Enter")
        keys.press("Shift+Tab")
        keys.press("Shift+Tab")
        keys.type("K1:A1")
        assert self.shows(desk, "0.0 V")
        keys.press("Shift+Tab")
        keys.press("ArrowRight")
        assert self.shows(desk, "")
        assert comes_true(desk.page, "document.activeElement.getAttribute('aria-checked') === 'true'", 5)
        assert re.fullmatch(r"\d+\.\d ohm|\d+ ohm", desk.root.locator(".display").text_content())
        assert desk.root.locator(".remark").text_content() == ""

    @pytest.mark.long
    def test_leads_chosen_faster_than_answers_come_all_count(self, desk):
        """Off, off, one on, the other on, with pauses that let an old answer fall between any two of them."""
        kept = desk.root.evaluate(
            """async (bench) => {
                const pause = (ms) => new Promise((done) => setTimeout(done, ms));
                const choose = (name, lead) => {
                    const select = bench.querySelector(`select[aria-label="${name}"]`);
                    select.value = lead;
                    select.dispatchEvent(new Event("change"));
                };
                const shown = [];
                for (let round = 0; round < 16; round += 1) {
                    choose("V lead on", "");
                    choose("COM lead on", "");
                    await pause(2 * round);
                    choose("V lead on", "X1");
                    await pause(2 * round);
                    choose("COM lead on", "X2");
                    await pause(700);
                    shown.push([...bench.querySelectorAll(".probes select")].map((select) => select.value).join(" "));
                }
                return shown;
            }"""
        )
        assert kept == ["X1 X2"] * 16, "a lead that was chosen has been put back by an answer older than the choice"

    def test_the_kept_picture_tells_the_reading(self, desk):
        desk.root.get_by_label("V lead on").select_option("X1")
        desk.root.get_by_label("COM lead on").select_option("X2")
        kept = "document.querySelector('.rungbook-bench-last').textContent.includes('Meter, volts, X1 – X2: 120.0 V.')"
        assert comes_true(desk.page, kept, 10)


class TestByTouch:
    def test_two_fingers_hold_two_buttons(self, desk):
        desk.button("S2").scroll_into_view_if_needed()
        fingers = []
        for name in ("S2", "S3"):
            box = desk.button(name).bounding_box()
            fingers.append({"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2, "id": len(fingers)})
        screen = desk.page.context.new_cdp_session(desk.page)
        screen.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": fingers})
        assert desk.comes_to("Q1", "in")
        screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        assert desk.comes_to("Q1", "out")
        assert desk.comes_to("S2", "released")
        assert desk.comes_to("S3", "released")


class TestPageOutOfSight:
    """What a browser does with a page behind another one: it says that it is hidden, then that it is shown."""

    def turn(self, desk, hidden):
        desk.page.evaluate(
            """hidden => {
            Object.defineProperty(document, 'hidden', { configurable: true, get: () => hidden });
            document.dispatchEvent(new Event('visibilitychange'));
        }""",
            hidden,
        )

    @pytest.fixture(autouse=True)
    def _in_sight_again(self, desk):
        yield
        desk.page.keyboard.up("1")
        self.turn(desk, False)

    def test_hidden_its_time_stands_still_and_shown_again_goes_on_from_there(self, desk):
        desk.button("S6").click()
        assert desk.comes_to("S6", "on")
        self.turn(desk, True)
        desk.page.wait_for_timeout(2500)
        assert desk.word("P1") == "dark"  # the timer has 1 s
        assert desk.rows() == ["S6 on"]
        stood = float(desk.root.locator(".time").text_content().split()[0])
        self.turn(desk, False)
        assert desk.comes_to("P1", "lit")
        times = [float(row.split(" s")[0][1:]) for row in desk.root.locator(".rows tbody tr").all_text_contents()]
        assert round(times[1] - times[0], 3) == 1.004
        assert stood <= times[1]

    def test_hidden_a_button_that_was_held_is_let_go(self, desk):
        desk.button("S1").focus()
        desk.page.keyboard.down("1")
        assert desk.comes_to("S1", "pressed")
        self.turn(desk, True)
        assert desk.comes_to("S1", "released")
        self.turn(desk, False)
        desk.page.wait_for_timeout(300)
        assert desk.rows() == ["S1 pressed", "S1 released"]


class TestNotebook:
    def test_two_benches_do_not_disturb_each_other(self, desk):
        other = Desk(desk.page, 1, desk.folder)
        other.start_over()
        other.button("S2").focus()
        desk.page.keyboard.press("2")
        assert other.comes_to("P1", "lit")
        assert desk.rows() == []
        names = desk.page.evaluate("[...document.querySelectorAll('.rungbook-bench .diagram svg')].map(svg => svg.id)")
        assert len(set(names)) == len(names) == 3  # the first one has a power circuit

    def test_in_a_narrow_window_the_panel_stands_below_the_diagram(self, desk):
        place = "document.querySelector('.rungbook-bench {}').getBoundingClientRect()"
        beside = f"{place.format('.panel')}.left >= {place.format('.diagram')}.right"
        assert desk.page.evaluate(beside)
        desk.page.set_viewport_size({"width": 560, "height": 900})
        below = f"{place.format('.panel')}.top >= {place.format('.diagram')}.bottom"
        assert comes_true(desk.page, below, 5)
        assert desk.root.evaluate("bench => bench.scrollWidth <= bench.clientWidth")
        desk.page.set_viewport_size({"width": 1500, "height": 900})
        assert comes_true(desk.page, beside, 5)

    def test_a_saved_notebook_keeps_the_picture_of_the_last_state(self, desk):
        desk.button("S6").click()
        assert desk.comes_to("P1", "lit")
        kept = "document.querySelector('.rungbook-bench-last img').alt.includes('P1 lit')"
        assert comes_true(desk.page, kept, 10)
        assert not desk.page.locator(".rungbook-bench-last").first.is_visible()
        desk.page.evaluate("() => void window.jupyterapp.commands.execute('docmanager:save')")
        assert comes_true(desk.page, f"!{NOTEBOOK}.context.model.dirty", 10)
        saved = nbformat.read(desk.folder / "bench.ipynb", as_version=4)
        pictures = [out.data.get("text/html", "") for out in saved.cells[0].outputs]
        assert any("<img alt=" in html and "P1 lit" in html for html in pictures)

    def test_an_interrupt_leaves_nothing_stuck(self, desk):
        desk.button("S1").focus()
        desk.page.keyboard.down("1")
        assert desk.comes_to("S1", "pressed")
        desk.page.evaluate(f"() => {NOTEBOOK}.sessionContext.session.kernel.interrupt()")
        desk.page.keyboard.up("1")
        assert desk.comes_to("S1", "released")
        desk.page.keyboard.press("1")
        assert desk.has_rows(4)

    def test_after_a_restart_of_the_kernel_nothing_is_held_and_the_cell_runs_anew(self, desk):
        desk.button("S1").focus()
        desk.page.keyboard.down("1")
        assert desk.comes_to("S1", "pressed")
        desk.page.evaluate(f"() => void {NOTEBOOK}.sessionContext.session.kernel.restart()")
        assert comes_true(desk.page, "document.querySelectorAll('.rungbook-bench.dead').length === 2", 20)
        assert "run the cell again" in desk.root.locator(".said").text_content()
        assert desk.root.locator("button.held, button.in, button:not(:disabled)").count() == 0
        desk.page.keyboard.up("1")
        assert comes_true(desk.page, READY, 30)
        run_all(desk.page)
        assert desk.comes_to("S1", "released")
        desk.button("S1").focus()
        desk.page.keyboard.press("1")
        assert desk.has_rows(2)

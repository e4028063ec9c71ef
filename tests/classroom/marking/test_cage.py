"""What a notebook in the cage can and cannot do. Each test runs cells in a real cage."""

import time
from pathlib import Path

import pytest

from rungbook.classroom.marking.cage import Cage, Limits, Ran
from rungbook.grading.handed import Handed

QUICK = Limits(cell=2, wall=20, seconds=20)


def run(cage: Cage, *cells: str | tuple[str, ...], limits: Limits = QUICK, files: dict | None = None) -> Ran:
    """Run cells; a tuple stands for a test cell that asks for these names."""
    steps = [{"cell": "t", "names": list(c)} if isinstance(c, tuple) else {"code": c, "place": 0} for c in cells]
    return cage.run(steps, files or {}, limits)


def printed(ran: Ran, step: int) -> str:
    return "".join(output.get("text", "") for output in ran.outputs[step][0])


def error(ran: Ran, step: int) -> str:
    return next(output["ename"] for output in ran.outputs[step][0] if output["output_type"] == "error")


class TestAnswers:
    def test_are_handed_out_as_they_stand_at_the_test_cell(self, cage: Cage) -> None:
        ran = run(cage, "a = {'x': 1}", ("a",), "a['x'] = 2")
        assert ran.answers == {("t", "a"): Handed("dict", '{"x": 1}')}
        assert ran.why == ""

    def test_a_ladder_crosses_as_its_json(self, cage: Cage) -> None:
        ran = run(cage, "from rungbook import *\np = Ladder('Pump')\np.rung(NO('S2'), coil('Q1'))", ("p",))
        handed = ran.answers["t", "p"]
        assert handed.kind == "Ladder"
        assert '"coil": "Q1"' in str(handed.text)

    def test_a_name_that_is_not_there_is_not_answered(self, cage: Cage) -> None:
        assert run(cage, "a = 1", ("b",)).answers == {}

    def test_cells_after_an_error_still_run(self, cage: Cage) -> None:
        ran = run(cage, "1 / 0", "a = {}", ("a",))
        assert error(ran, 0) == "ZeroDivisionError"
        assert ran.answers == {("t", "a"): Handed("dict", "{}")}

    def test_files_beside_the_notebook_are_there(self, cage: Cage) -> None:
        ran = run(cage, "print(open('data/a.txt').read())", files={"data/a.txt": b"here"})
        assert printed(ran, 0) == "here\n"

    def test_a_module_beside_the_notebook_is_found(self, cage: Cage) -> None:
        files = {"our_parts.py": b"start = 'S2'"}
        assert printed(run(cage, "import our_parts\nprint(our_parts.start)", files=files), 0) == "S2\n"
        assert error(run(cage, "import our_parts"), 0) == "ModuleNotFoundError"

    def test_one_notebook_leaves_nothing_for_the_next(self, cage: Cage) -> None:
        run(cage, "left = 1\nimport rungbook\nrungbook.left = 1\nopen('/tmp/left', 'w').write('x')")
        ran = run(cage, "import os, rungbook\nprint('left' in globals(), hasattr(rungbook, 'left'), os.listdir('.'))")
        assert printed(ran, 0) == "False False []\n"
        assert printed(run(cage, "import os\nprint(os.path.exists('/tmp/left'))"), 0) == "False\n"


class TestEnds:
    def test_leaving_without_a_word_is_no_success(self, cage: Cage) -> None:
        ran = run(cage, "a = {}", ("a",), "import os\nos._exit(0)", ("a", "b"))
        assert ran.why == "a cell ended the notebook's process (exit status 0)"
        assert ran.answers == {("t", "a"): Handed("dict", "{}")}, "what was handed out before still counts"

    def test_sys_exit_ends_a_cell_only(self, cage: Cage) -> None:
        ran = run(cage, "import sys\nsys.exit()", "a = {}", ("a",))
        assert ran.why == ""
        assert ("t", "a") in ran.answers

    def test_a_cell_that_loops_is_interrupted_and_the_next_runs(self, cage: Cage) -> None:
        ran = run(cage, "while True: pass", "a = {}", ("a",))
        assert error(ran, 0) == "KeyboardInterrupt"
        assert ("t", "a") in ran.answers
        assert ran.why == ""

    def test_a_cell_that_will_not_be_interrupted_is_killed(self, cage: Cage) -> None:
        code = "import signal\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\nwhile True: pass"
        began = time.monotonic()
        ran = run(cage, "a = {}", ("a",), code)
        assert ran.why == "a cell ran longer than 2 s and could not be interrupted"
        assert time.monotonic() - began < 15
        assert ("t", "a") in ran.answers

    def test_a_crash_is_named(self, cage: Cage) -> None:
        assert run(cage, "import ctypes\nctypes.string_at(0)").why == "the notebook's process crashed (SIGSEGV)"

    def test_the_whole_notebook_has_an_end_too(self, cage: Cage) -> None:
        ran = run(cage, *["import time\ntime.sleep(1.5)"] * 9, limits=Limits(cell=2, wall=3, seconds=3))
        assert ran.why == "the notebook took longer than 3 s"

    def test_too_much_memory_is_an_error_in_the_cell(self, cage: Cage) -> None:
        ran = run(cage, "a = bytearray(10**10)", "b = {}", ("b",))
        assert error(ran, 0) == "MemoryError"
        assert ("t", "b") in ran.answers

    def test_many_processes_together_are_held_to_the_memory_of_one(self, cage: Cage) -> None:
        code = (
            "import os, time\n"
            "for _ in range(6):\n"
            "    if os.fork() == 0:\n"
            "        a = bytearray(b'x') * 100_000_000\n"
            "        time.sleep(60)\n"
            "time.sleep(60)"
        )
        ran = run(cage, code, limits=Limits(cell=15, wall=20, seconds=20, memory=500_000_000))
        assert ran.why == "the notebook used more than 500 MB of memory"

    def test_processes_that_multiply_stop_multiplying(self, cage: Cage) -> None:
        code = "import os, time\nn = 0\nwhile n < 500:\n    if os.fork() == 0: time.sleep(60)\n    n += 1"
        ran = run(cage, code, "a = {}", ("a",))
        assert error(ran, 0) == "BlockingIOError"
        assert ("t", "a") in ran.answers

    def test_a_flood_of_printing_is_cut(self, cage: Cage) -> None:
        ran = run(cage, "while True: print('x' * 100_000)", "a = {}", ("a",))
        assert len(printed(ran, 0)) < 300_000
        assert ("t", "a") in ran.answers


class TestWalls:
    def test_the_notebook_is_not_root_and_alone(self, cage: Cage) -> None:
        ran = run(
            cage, "import os\nprint(os.getuid(), os.getpid(), os.listdir('/proc'), os.getcwd(), os.environ['HOME'])"
        )
        assert printed(ran, 0) == "1000 1 [] /tmp/work /tmp/work\n"

    def test_the_course_and_the_home_are_not_there(self, cage: Cage) -> None:
        root = Path(__file__).parents[3]
        hidden = [str(root / "solutions"), str(root / "README.md"), "/home", "/var", "/etc/passwd", "/root/.ssh"]
        assert (root / "solutions").is_dir()
        ran = run(cage, f"import os\nprint([path for path in {hidden} if os.path.exists(path)])")
        assert printed(ran, 0) == "[]\n"

    def test_a_hidden_folder_is_empty_even_where_python_lies(self, walls: None) -> None:
        cage = Cage("cage", [Path("/usr/share"), Path("/usr/not-there")])
        try:
            ran = run(cage, "import os\nprint(os.listdir('/usr/share'))")
        finally:
            cage.close()
        assert printed(ran, 0) == "[]\n"

    def test_nothing_of_the_system_can_be_written(self, cage: Cage) -> None:
        code = (
            "import os, rungbook\n"
            "done = []\n"
            "for path in ('/x', '/usr/x', '/etc/x', rungbook.__file__, os.__file__, '/dev/x'):\n"
            "    try:\n"
            "        open(path, 'a').close()\n"
            "        done.append(path)\n"
            "    except OSError:\n"
            "        pass\n"
            "print(done)"
        )
        assert printed(run(cage, code), 0) == "[]\n"

    def test_there_is_no_network(self, cage: Cage) -> None:
        code = "import socket\ns = socket.socket()\ns.settimeout(2)\ns.connect(('192.0.2.1', 80))"
        assert error(run(cage, code), 0) == "OSError"
        names = "import socket\nprint([name for _, name in socket.if_nameindex()])"
        assert printed(run(cage, names), 0) == "['lo']\n"

    @pytest.mark.parametrize(
        "call",
        [
            "unshare(0x10000000)",
            "unshare(0x20000)",
            "mount(b'none', b'/tmp', b'tmpfs', 0, None)",
            "umount2(b'/tmp', 2)",
            "ptrace(16, 1, 0, 0)",
            "setns(0, 0)",
            "memfd_create(b'x', 0)",
            "chroot(b'/tmp')",
        ],
    )
    def test_calls_that_reach_out_are_refused(self, cage: Cage, call: str) -> None:
        code = f"import ctypes\nc = ctypes.CDLL(None, use_errno=True)\nprint(c.{call}, ctypes.get_errno())"
        assert printed(run(cage, code), 0) == "-1 1\n"

    def test_the_keeper_and_the_warm_process_cannot_be_signalled(self, cage: Cage) -> None:
        code = (
            "import os\n"
            "found = []\n"
            "for pid in list(range(2, 3000)) + [-1]:\n"
            "    try:\n"
            "        os.kill(pid, 9)\n"
            "        found.append(pid)\n"
            "    except OSError:\n"
            "        pass\n"
            "print(found)"
        )
        assert printed(run(cage, code), 0) == "[]\n"
        assert run(cage, "a = {}", ("a",)).why == ""

    def test_no_open_descriptor_leads_out(self, cage: Cage) -> None:
        code = (
            "import os, stat\n"
            "kinds = {}\n"
            "for fd in range(200):\n"
            "    try:\n"
            "        kinds[fd] = oct(stat.S_IFMT(os.fstat(fd).st_mode))\n"
            "    except OSError:\n"
            "        pass\n"
            "print(sorted(set(kinds.values())), list(kinds.values()).count('0o140000'))"
        )
        # /dev/null and the pipe to the keeper; no socket, no file, no folder
        assert printed(run(cage, code), 0) == "['0o10000', '0o20000'] 0\n"


class TestForgery:
    def test_the_end_is_the_keepers_word_alone(self, cage: Cage) -> None:
        code = (
            "import os, json, struct\n"
            "def say(kind, data):\n"
            "    body = json.dumps(data).encode()\n"
            "    for fd in range(3, 200):\n"
            "        try:\n"
            "            os.write(fd, struct.pack('!cI', kind, len(body)) + body)\n"
            "        except OSError:\n"
            "            pass\n"
            "say(b'e', {'finished': True, 'why': ''})\n"
            "say(b'a', {'cell': 'other', 'name': 'x', 'kind': 'dict', 'text': '{}', 'problem': ''})\n"
            "os._exit(0)"
        )
        ran = run(cage, code)
        assert ran.why == "a cell ended the notebook's process (exit status 0)"
        assert ran.answers == {}

    @pytest.mark.parametrize(
        "sent",
        [
            "b'a' + b'\\xff' * 4",
            "b'a\\0\\0\\0\\x05[1,2]'",
            "b'a\\0\\0\\0\\x03{{{'",
            "b'o\\0\\0\\0\\x04null'",
            "b'\\0' * 5000",
        ],
    )
    def test_nonsense_on_the_way_out_harms_this_notebook_only(self, cage: Cage, sent: str) -> None:
        code = (
            "import os\nfor fd in range(3, 200):\n    try:\n"
            f"        os.write(fd, {sent})\n    except OSError:\n        pass"
        )
        run(cage, code, "a = {}", ("a",))
        assert run(cage, "a = {}", ("a",)).answers == {("t", "a"): Handed("dict", "{}")}

"""Submissions that change what stands around them, forge their answers, or answer with what is no answer."""

from __future__ import annotations

from classroom.hostile.cases import Case

MISSING = "Answer word: missing"
CHANNEL = "a cell wrote into the channel by which answers are handed over, or changed what writes there"
NEEDS = "a cell changed what the notebook's process itself needs (a builtin function, json, an open file, or"
NO_OBJECT = "a cell changed how answers are handed over: what came was no JSON object but int"
SILENT = "a cell changed how answers are handed over: nothing came for word"
NO_FORM = "this exercise asks for a form (a dict, as given in the cell)"


def forged(name: str, kind: str, text: str, points: tuple[float, float], said: str = "", why: str = "") -> Case:
    """A notebook whose process hands over `text`, an expression, for the circuit or, of kind "dict", for the word."""
    whose = "pump" if kind == "Ladder" else "word"
    code = (
        "import rungbook.classroom.marking.session as s\nfrom rungbook.grading.handed import Handed\n"
        f"true = s.hand_over\ns.hand_over = lambda n, a: Handed({kind!r}, {text}) if n == {whose!r} else true(n, a)"
    )
    return Case(name, code, points, why, said, head=True)


def ladder(rungs: str, version: str = "1", title: str = '"t"') -> str:
    """An expression for a ladder's JSON."""
    start = f'{{"rungbook": "ladder", "version": {version}, "title": {title}, "devices": null, "rungs": ['
    return f"{start!r} + {rungs} + ']}}'"


RUNG = '{"contacts": {"NO": "S2"}, "loads": [{"coil": "Q1"}], "note": ""}'
NESTED = repr('{"contacts": ') + " + '{\"series\": [' * 50_000 + '1' + ']}' * 50_000"

CHANGES = (
    Case(
        "another-mark",
        "import rungbook.grading as g\ng.mark = lambda *a, **k: 99\ndef mark(*a, **k): return 99",
        word="word = {}",
        points=(50, 0),
    ),
    Case(
        "another-requirement",
        "from rungbook.grading import requirement\nrequirement.Requirement.judge = lambda *a: 99",
        word='word = {"relay": "spring"}',
        points=(50, 0),
    ),
    Case(
        "ladders-all-equal",
        "Ladder.__eq__ = lambda a, b: True\nLadder.rung = lambda *a, **k: None\nLadder.validate = lambda s: None",
    ),
    Case("no-print", "import builtins\nbuiltins.print = lambda *a, **k: None\nbuiltins.open = builtins.eval = None"),
    Case("no-length", "import builtins\nbuiltins.len = lambda x: 0", (50, 0), f"{CHANNEL}: it held a frame of"),
    Case(
        "everything-is-an-instance",
        "import builtins\nbuiltins.isinstance = lambda *a: True\nbuiltins.type = lambda x: dict",
        (50, 0),
        NEEDS,
    ),
    Case("json-that-says-99", "import json\njson.dumps = lambda *a, **k: '99'", (50, 0), NO_OBJECT, MISSING),
    Case(
        "json-that-says-nothing",
        "import json\njson.dumps = lambda *a, **k: 1 / 0",
        (50, 0),
        NEEDS,
    ),
    Case(
        "no-hand-over",
        "import rungbook.classroom.marking.session as s\ns.hand_over = None",
        (50, 0),
        NEEDS,
    ),
    Case(
        "equal-to-everything",
        word="class Any:\n    def __eq__(self, other): return True\n    __hash__ = None\n"
        "    def __getattr__(self, name): return self\n    def __call__(self, *a): return self\nword = Any()",
        points=(50, 0),
        said=NO_FORM,
    ),
    Case(
        "dict-equal-to-everything",
        word="class D(dict):\n    def __eq__(self, other): return True\nword = D(relay='spring')",
        points=(50, 0),
        said=NO_FORM,
    ),
    Case(
        "text-equal-to-everything",
        word="class T(str):\n    def __eq__(self, other): return True\n    __hash__ = str.__hash__\n"
        "word = {'relay': T('spring')}",
        points=(50, 0),
    ),
    Case(
        "a-type-named-ladder",
        pump="class Ladder:\n    rungs = ()\n    declared = None\n    title = ''\npump = Ladder()",
        points=(0, 30),
    ),
    Case(
        "hooks-before-every-cell",
        "get_ipython().events.register('pre_run_cell', lambda *a: 1 / 0)\nget_ipython().ast_transformers.append(None)",
        (50, 30),
    ),
    Case(
        "another-clock",
        "import time\ntime.monotonic = time.time = lambda: 0\ntime.sleep = lambda s: None\nwhile True: pass",
        said="KeyboardInterrupt",
    ),
)

ANSWERS = (
    forged("ladder-of-another-version", "Ladder", ladder("''", "99"), (0, 30), "version"),
    forged("ladder-of-a-million-rungs", "Ladder", ladder(f"', '.join([{RUNG!r}] * 50_000)"), (0, 30), "is too large"),
    forged("ladder-of-201-rungs", "Ladder", ladder(f"', '.join([{RUNG!r}] * 201)"), (0, 30), "at most 200"),
    forged("ladder-named-nan", "Ladder", ladder("''", title="NaN"), (0, 30), "NaN is no JSON number"),
    forged("ladder-of-version-infinity", "Ladder", ladder("''", "1e999"), (0, 30), "version"),
    forged("ladder-nested-without-end", "Ladder", ladder(NESTED), (0, 30), "pump: 0 of 50 points"),
    forged("ladder-of-null", "Ladder", "'null'", (0, 30), "pump: 0 of 50 points"),
    forged("ladder-that-is-a-list", "Ladder", "'[]'", (0, 30), "another Ladder"),
    forged(
        "ladder-twice-the-same-key",
        "Ladder",
        '\'{"rungbook": "ladder", "version": 1, "version": 1}\'',
        (0, 30),
        "version",
    ),
    forged("ladder-cut-off", "Ladder", f"({ladder(repr(''))})[:40]", (0, 30), "holds words and numbers only"),
    forged("ladder-of-another-kind", "Ladder\0<script>", "'{}'", (50, 0)),
    forged("ladder-of-ten-megabytes", "Ladder", "'x' * 10_000_000", (0, 30), "Answer pump: is too large"),
    forged("ladder-with-a-pair-cut-in-half", "Ladder", ladder("''", title='"\ud800"'), (0, 30), "title"),
    forged("form-of-nan", "dict", "'{\"relay\": NaN}'", (50, 0)),
    forged(
        "form-of-a-million-entries", "dict", "'{' + ', '.join(f'\"{n}\": 1' for n in range(300_000)) + '}'", (50, 0)
    ),
    forged(
        "form-with-a-number-too-long", "dict", "'{\"relay\": ' + '9' * 10_000 + '}'", (50, 0), "words and numbers only"
    ),
    forged("form-without-text", "dict", "7", (50, 0), MISSING, NEEDS),
    Case(
        "form-that-holds-itself", word="word = {}\nword['relay'] = word", points=(50, 0), said="words and numbers only"
    ),
    Case("form-of-two-megabytes", word="word = {'relay': 'x' * 2_000_000}", points=(50, 0), said="at most 1000000"),
    Case(
        "form-nested-without-end",
        word="word = {}\nfor n in range(10**5): word = {'relay': word}",
        points=(50, 0),
        said="words and numbers only",
    ),
    Case("form-of-functions", word="word = {'relay': print, print: 1}", points=(50, 0), said="words and numbers only"),
    Case("form-of-half-a-pair", word="word = {'relay': 'coil\\ud800\\0'}", points=(50, 0)),
    Case("circuit-that-is-a-number", pump="pump = 7", points=(0, 30), said="this exercise asks for a Ladder"),
    Case(
        "circuit-of-overwritten-parts",
        pump="pump = Ladder('x')\nobject.__setattr__(pump, 'rungs', 7)\npump.title = 7",
        points=(0, 30),
        said="pump: 0 of 50 points",
    ),
    Case(
        "claims-the-answer-early",
        "import json, os, struct\n"
        "told = {'cell': 'lab07-word-marks', 'name': 'word', 'kind': 'dict', "
        "'text': '{\"relay\": \"x\"}', 'problem': ''}\n"
        "body = json.dumps(told).encode()\n"
        "for fd in range(3, 64):\n    try:\n        os.write(fd, struct.pack('!cI', b'a', len(body)) + body)\n"
        "    except OSError:\n        pass",
        (50, 0),
    ),
    Case(
        "claims-the-end",
        "import os\nfor fd in range(3, 64):\n    try:\n"
        '        os.write(fd, b\'e\\0\\0\\0\\x22{"finished": true, "why": "fine!"}\' + b\'f\\0\\0\\0\\2{}\')\n'
        "    except OSError:\n        pass\nos._exit(0)",
        (50, 0),
        SILENT,
        MISSING,
    ),
    Case(
        "writes-noise-to-the-marker",
        "import os\nfor fd in range(3, 64):\n    try:\n        os.write(fd, os.urandom(10**6))\n"
        "    except OSError:\n        pass",
        (50, 0),
        f"{CHANNEL}: it held a frame of",
    ),
    Case(
        "begins-a-frame-without-end",
        "import os\nfor fd in range(3, 64):\n    try:\n        os.write(fd, b'o\\0\\x10\\0\\0{')\n"
        "    except OSError:\n        pass",
        (50, 0),
        f"{CHANNEL}: it ended in the middle of a frame",
    ),
    Case(
        "floods-the-marker",
        "import os, signal\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\n"
        "frame = b'o\\0\\x40\\0\\0' + b' ' * 0x400000\nwhile True:\n    for fd in range(3, 64):\n"
        "        try:\n            view = memoryview(frame)\n            while view: view = view[os.write(fd, view):]\n"
        "        except OSError:\n            pass",
        (50, 0),
        "the notebook's outputs are too large",
    ),
)

OUTPUTS = (
    Case("half-pairs-and-nul", "print('a\\ud800\\0b')\n1 / 0 if not print('\\x1b[31m\\u202e') else 0", said="a\ufffd"),
    Case(
        "error-with-a-broken-name",
        "class Odd(Exception):\n    def __str__(self): return '\\ud800\\0<script>'\nraise Odd",
        said="Odd",
    ),
    Case(
        "error-that-cannot-be-told",
        "class Odd(Exception):\n    def __str__(self): 1 / 0\n    __repr__ = __str__\nraise Odd",
    ),
    Case("shell-lines", "!echo hello\n%pwd", said="hello"),
    Case("runs-a-file", "%run -i CLASS/source/lab07-small/lab07.ipynb", said="not found"),
    Case("bash-cell", "%%bash\necho from bash; cat CLASS/gradebook.db", said="from bash"),
    Case("forgets-all-names", "%reset -f\nfrom rungbook import *"),
    Case("asks-for-input", "input('?')", said="nobody is there to answer"),
    Case("asks-for-a-password", "import getpass\ngetpass.getpass()", said="EOFError"),
    Case("debugger", "import pdb\npdb.set_trace()\nbreakpoint()"),
    Case("window", "import tkinter\ntkinter.Tk()", said="Error"),
    Case("show-that-waits", "%matplotlib qt\nimport matplotlib.pyplot as plt\nplt.plot([1, 2]); plt.show(block=True)"),
    Case("changes-folder", "%cd /\nimport sys\nsys.path.clear()"),
    Case("forgets-all-modules", "import sys\nsys.modules.clear()", (50, 0), said=MISSING),
)

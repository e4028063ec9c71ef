"""Submissions that are broken or mean harm, each with the outcome that it must have.

The small lab asks for a circuit (`pump`, 50 points) and a word (`word`, 30), in this order. Most cases are right work
with a cell more, between the two: what came before it must count, and what comes after it if the notebook goes on.
Words in capitals stand for what only the test knows: CLASS, OUTSIDE, PORT, SOLUTIONS.
"""

from __future__ import annotations

from dataclasses import dataclass

from classroom.small_class import PUMP, WORD


@dataclass(frozen=True)
class Case:
    """code: the cell more. pump, word: answer cells in the place of the right ones. points: for pump and word. why: how
    the reason begins that the log gives, "" for a notebook that ran to its end. said: what the notebook's outputs, its
    feedback included, hold. head: the cell comes first instead."""

    name: str
    code: str = ""
    points: tuple[float, float] = (50, 30)
    why: str = ""
    said: str = ""
    pump: str = PUMP
    word: str = WORD
    head: bool = False


ENDED = "a cell ended the notebook's process (exit status 0)"
STUCK = "a cell ran longer than 2 s and could not be interrupted"

TIME = (
    Case("endless-loop", "while True: pass", said="KeyboardInterrupt"),
    Case("sleeps-for-ever", "import time\ntime.sleep(10**6)", said="KeyboardInterrupt"),
    Case(
        "swallows-interrupts",
        "import time\nwhile True:\n    try:\n        time.sleep(60)\n    except BaseException:\n        print('no')",
        (50, 0),
        STUCK,
        "Stopped here: " + STUCK,
    ),
    Case(
        "ignores-signals",
        "import signal\nfor n in range(1, 64):\n    try:\n        signal.signal(n, signal.SIG_IGN)\n"
        "    except (OSError, ValueError):\n        pass\nwhile True: pass",
        (50, 0),
        STUCK,
    ),
    Case(
        "says-it-began-again",
        "import os, time\nwhile True:\n    for fd in range(3, 64):\n        try:\n"
        "            os.write(fd, b'b\\0\\0\\0\\2{}')\n        except OSError:\n            pass\n    time.sleep(.01)",
        (50, 0),
        "the notebook took longer than 9 s",
    ),
    Case("shell-that-sleeps", "!sleep 1000"),
    Case(
        "thread-left-running",
        "import threading, time\n"
        "def loop():\n    while True:\n        print('thread'); time.sleep(.001)\n"
        "threading.Thread(target=loop).start()",
    ),
)

AMOUNT = (
    Case(
        "fork-bomb",
        "import os, signal\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\n"
        "while True:\n    try:\n        os.fork()\n    except OSError:\n        pass",
        (50, 0),
        STUCK,
    ),
    Case("forks-and-goes-on", "import os\nos.fork(); os.fork()"),
    Case("memory-flood", "held = []\nwhile True: held.append(bytearray(10**7))", said="MemoryError"),
    Case(
        "memory-flood-in-many-processes",
        "import os, signal, time\nsignal.signal(signal.SIGINT, signal.SIG_IGN)\n"
        "for _ in range(8):\n    if os.fork() == 0:\n        a = bytearray(b'x') * 120_000_000\n"
        "        time.sleep(60)\ntime.sleep(60)",
        (50, 0),
        "the notebook used more than 600 MB of memory",
    ),
    Case("disk-flood-in-one-file", "with open('x', 'wb') as f:\n    while True: f.write(bytes(10**6))", said="OSError"),
    Case(
        "disk-flood-in-many-files",
        "n = 0\nwhile True:\n    n += 1\n    open(f'/tmp/{n}', 'wb').write(bytes(10**6))",
        said="No space left on device",
    ),
    Case(
        "shared-memory-flood",
        "with open('/dev/shm/x', 'wb') as f:\n    while True: f.write(bytes(10**6))",
        said="OSError",
    ),
    Case("print-flood", "while True: print('x' * 10_000)", said="… Output truncated …"),
    Case("one-great-print", "print('x' * 100_000_000)", said="x" * 1000),
    Case("many-displays", "for n in range(20_000): display(n)", said="399"),
    Case(
        "stderr-flood",
        "import sys\nfor n in range(10**6): sys.stderr.write('complaint\\n')",
        said="… Output truncated …",
    ),
    Case("shell-flood", "!yes", said="… Output truncated …"),
    Case(
        "standard-output-by-number",
        "import os\nfor n in range(1000): os.write(1, b'x' * 1000); os.write(2, b'x' * 1000)",
    ),
    Case("deep-recursion", "def f(): return f()\nf()", said="RecursionError"),
    Case(
        "recursion-without-limit",
        "import sys\nsys.setrecursionlimit(10**9)\nf = lambda x: [*map(f, [x])]\nf(1)",
        (50, 0),
        "the notebook's process crashed (SIGSEGV)",
    ),
    Case("open-files", "held = []\nwhile True: held.append(open('/dev/null'))", said="Too many open files"),
)

ENDS = (
    Case("leaves-with-success", "import os\nos._exit(0)", (50, 0), ENDED, "Stopped here: " + ENDED),
    Case("leaves-before-all", "import os\nos._exit(0)", (0, 0), ENDED, head=True),
    Case("sys-exit", "import sys\nsys.exit(0)"),
    Case(
        "kills-itself",
        "import os, signal\nos.kill(os.getpid(), signal.SIGSEGV)\nos.abort()",
        (50, 0),
        "the notebook's process crashed (SIG",
    ),
    Case("kills-its-parent", "import os\nos.kill(os.getppid(), 9)"),
    Case("kills-its-group", "import os\nos.kill(0, 9)\nos.killpg(os.getpgid(0), 9)"),
    Case("stops-its-group", "import os, signal\nos.kill(0, signal.SIGSTOP)\nos.kill(0, signal.SIGTSTP)"),
    Case(
        "kills-all-it-may",
        "import os\nfor pid in [-1, *range(2, 40_000)]:\n    try:\n        os.kill(pid, 9)\n"
        "    except OSError:\n        pass",
    ),
    Case("at-exit", "import atexit, os\natexit.register(lambda: os.write(1, b'x'))\natexit.register(lambda: 1 / 0)"),
    Case(
        "last-words",
        "class Last:\n    def __del__(self):\n        raise SystemExit\nlast = Last()\ndel last\nlast = Last()",
    ),
    Case(
        "closes-every-descriptor",
        "import os\nos.closerange(0, 256)",
        (50, 0),
        "a cell changed what the notebook's process",
    ),
)

READS = (
    Case(
        "reads-sources-and-gradebook",
        "import os, rungbook\nfound, own = [], os.path.dirname(rungbook.__file__)\n"
        "for top in ('CLASS', 'SOLUTIONS', '/home', '/work', '/var', '/mnt', '/srv', '/media'):\n"
        "    for place, _, names in os.walk(top):\n"
        "        if not place.startswith(own):\n"
        "            found += [n for n in names if n.endswith(('.ipynb', '.md', '.db', '.jsonl', '.secret'))]\n"
        "print('found', found)",
        said="found []",
    ),
    Case(
        "looks-for-the-hidden-tests",
        "import gc, sys, inspect\n"
        "hit = ''.join(('Because', ' it', ' holds'))\n"
        "texts = [o for o in gc.get_objects() if isinstance(o, (str, bytes))]\n"
        "frame, seen = inspect.currentframe(), []\n"
        "while frame:\n    seen += [repr(v)[:10**6] for v in frame.f_locals.values()]; frame = frame.f_back\n"
        "print('hidden', any(('off_' + 'while(') in t or ('BEGIN ' + 'HIDDEN') in t for t in seen))",
        said="hidden False",
    ),
    Case(
        "reads-the-environment",
        "import os\nprint('keys', [k for k, v in os.environ.items() if 'canary' in v])",
        said="keys []",
    ),
    Case("reads-the-environment-of-others", "import glob\nprint('others', glob.glob('/proc/*'))", said="others []"),
    Case(
        "reads-by-the-shell",
        "!cat CLASS/gradebook.db CLASS/submitted/*/*/*.ipynb /etc/passwd",
        said="No such file or directory",
    ),
    Case(
        "writes-outside",
        "import os, shutil\ndone = []\n"
        "for path in ('OUTSIDE', 'CLASS/gradebook.db', 'CLASS/submitted/a-honest/x', '/etc/x', os.__file__):\n"
        "    try:\n        open(path, 'a').write('x')\n        done.append(path)\n    except OSError:\n        pass\n"
        "print('done', done)\nshutil.rmtree('/etc', ignore_errors=True)",
        said="done []",
    ),
    Case(
        "leaves-word-for-the-next",
        "import os\nleft = []\n"
        "for top, folders, _ in os.walk('/'):\n"
        "    if top in ('/tmp', '/usr', '/proc', '/dev/shm') or top.count('/') > 3:\n"
        "        folders.clear()\n        continue\n"
        "    try:\n        open(os.path.join(top, '.word'), 'w').close()\n        left.append(top)\n"
        "    except OSError:\n        pass\nprint('left', left)",
        said="left []",
    ),
    Case(
        "calls-home",
        "import socket\nreached = []\n"
        "for family, address in ((socket.AF_INET, ('127.0.0.1', PORT)), (socket.AF_INET6, ('::1', PORT)),\n"
        "                        (socket.AF_UNIX, '\\0rungbook-test-PORT'), (socket.AF_UNIX, 'OUTSIDE.sock')):\n"
        "    try:\n        s = socket.socket(family); s.settimeout(1); s.connect(address); reached.append(address)\n"
        "    except OSError:\n        pass\nprint('reached', reached)",
        said="reached []",
    ),
)

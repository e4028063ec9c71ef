"""The form grader as a browser gets it, from a real server."""

import json
import socket
import subprocess
import time
import urllib.error
import urllib.request
from pathlib import Path

from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.folder import make_class, scripts_on_path
from rungbook.classroom.form_grader import command
from rungbook.classroom.labs import find_lab

ROOT = Path(__file__).parents[2]


def fetched(port: int, path: str) -> str:
    request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers={"Authorization": "token t"})
    with urllib.request.urlopen(request, timeout=60) as answer:
        return answer.read().decode()


def test_opens_on_the_class_and_on_this_machine_alone(tmp_path: Path) -> None:
    lab = find_lab(ROOT, "lab02")
    make_class(tmp_path / "class", [lab])
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    scripts_on_path()
    more = ["--no-browser", "--allow-root", f"--ServerApp.port={port}", "--IdentityProvider.token=t"]
    asked = command(ClassFolder(tmp_path / "class"), more)
    assert "--ServerApp.ip=127.0.0.1" in asked
    with (tmp_path / "log").open("w") as log:
        server = subprocess.Popen(asked, cwd=tmp_path / "class", stdout=log, stderr=log)
    try:
        end = time.monotonic() + 150
        while True:
            try:
                page = fetched(port, "/formgrader")
                break
            except (urllib.error.URLError, ConnectionError):
                assert server.poll() is None, (tmp_path / "log").read_text()
                assert time.monotonic() < end, (tmp_path / "log").read_text()
                time.sleep(0.5)
        labs = json.loads(fetched(port, "/formgrader/api/assignments"))
    finally:
        server.terminate()
        server.wait(30)
    assert "<title>nbgrader formgrade</title>" in page
    assert [one["name"] for one in labs] == [lab.name]

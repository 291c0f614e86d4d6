"""The command that opens the desk, tried as a user would: in a process and folder of its own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli import serve
from comity.cli.main import app

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

COMITY = [sys.executable, "-m", "comity"]
PATIENCE = 90


def environment(home: Path, **more: str) -> dict[str, str]:
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("COMITY_", "DJANGO_"))
    }
    return {**kept, "COMITY_HOME": str(home), "PYTHONUNBUFFERED": "1", **more}


def free_port() -> int:
    with closing(socket.socket()) as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])


@contextmanager
def opened(home: Path, *options: str, port: int) -> Iterator[subprocess.Popen[str]]:
    command = [*COMITY, "serve", "--port", str(port), *options]
    process = subprocess.Popen(
        command, env=environment(home), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        wait_for(port, process)
        yield process
    finally:
        process.kill()
        process.communicate()


def wait_for(port: int, process: subprocess.Popen[str]) -> None:
    last = time.monotonic() + PATIENCE
    while time.monotonic() < last and process.poll() is None:
        with closing(socket.socket()) as trial:
            if trial.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    pytest.fail(f"the desk did not open: {process.communicate(timeout=5)}")


def page(port: int, path: str) -> tuple[int, str, dict[str, str]]:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=30) as answer:
        return answer.status, answer.read().decode(), dict(answer.headers)


def refused(home: Path, *options: str) -> tuple[int, str]:
    done = subprocess.run(
        [*COMITY, "serve", *options],
        env=environment(home),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )
    assert "Traceback" not in done.stderr
    return done.returncode, done.stderr


def test_the_demo_opens_with_its_sign_in_and_ends_with_ctrl_c(tmp_path: Path) -> None:
    port = free_port()
    with opened(tmp_path, "--demo", port=port) as process:
        status, shown, headers = page(port, "/sign-in")
        process.send_signal(signal.SIGINT)
        printed, complained = process.communicate(timeout=PATIENCE)
    assert (status, "Demonstration with invented people" in shown) == (200, True)
    assert "Server" not in headers
    assert printed.splitlines() == [
        f"The desk is open at http://127.0.0.1:{port}",
        "Invented people; the day there is 25 November 2026. Sign in as",
        "  owner      owner@demo.example",
        "  adviser    adviser@demo.example",
        "  applicant  hana@demo.example",
        "  password   demonstration",
        "Ctrl-C closes it.",
        "The desk is closed.",
    ]
    assert (process.returncode, complained) == (0, "")
    assert_not_opened_as_a_real_office(tmp_path)


def assert_not_opened_as_a_real_office(home: Path) -> None:
    status, said = refused(home, "--port", str(free_port()))
    assert status == 1
    assert said.startswith("error: this is the demo's office, whose passwords everybody knows;")


def test_an_empty_office_asks_to_be_set_up_and_refuses_the_demo_afterwards(tmp_path: Path) -> None:
    port = free_port()
    with opened(tmp_path, port=port) as process:
        _status, shown, _headers = page(port, "/sign-in")
        process.send_signal(signal.SIGTERM)
        printed, _complained = process.communicate(timeout=PATIENCE)
    assert "Set up your office" in shown
    assert f"The office's things are in {tmp_path}" in printed
    assert "Nobody has an account yet: open the address to set the office up." in printed
    assert process.returncode == 0


def test_a_port_that_is_taken_is_told_with_another_one(tmp_path: Path) -> None:
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        status, said = refused(tmp_path, "--port", str(port))
    assert status == 1
    assert said == (
        f"error: port {port} is taken; stop what uses it, perhaps another desk, "
        f"or choose another one: comity serve --port {port + 1}\n"
    )


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    status, said = refused(tmp_path / "file" / "office", "--port", str(free_port()))
    assert status == 1
    assert said.startswith(f"error: the office's folder {tmp_path}/file/office cannot be made:")
    assert "set COMITY_HOME to a folder you may write to" in said


def test_a_database_that_is_none_is_told(tmp_path: Path) -> None:
    (tmp_path / "office.sqlite3").write_bytes(b"this is no database at all" * 100)
    status, said = refused(tmp_path, "--port", str(free_port()))
    assert status == 1
    assert said.startswith("error: the office's database is damaged; restore the last backup")


@pytest.mark.parametrize("host", ["192.0.2.7", "::", "desk.example"])
def test_the_demo_is_kept_on_this_machine(host: str) -> None:
    result = CliRunner().invoke(app, ["serve", "--demo", "--host", host])
    assert result.exit_code == 2
    assert "can be reached by others" in result.stderr


def test_a_demo_day_that_is_none_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COMITY_TODAY", "tomorrow")
    result = CliRunner().invoke(app, ["serve", "--demo"])
    assert result.exit_code == 2
    assert "'tomorrow' is no day; write year-month-day, as 2026-11-25." in result.stderr


def test_an_address_that_is_not_this_machines_is_told() -> None:
    result = CliRunner().invoke(app, ["serve", "--host", "192.0.2.7"])
    assert result.exit_code == 1
    assert "nothing can listen at 192.0.2.7, port 8765: " in result.stderr


def test_a_name_that_is_no_address_is_told() -> None:
    result = CliRunner().invoke(app, ["serve", "--host", "no-such-host.invalid"])
    assert result.exit_code == 2
    assert "no-such-host.invalid is no address of this machine." in result.stderr


def test_without_the_desks_parts_it_is_told_how_to_install_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(serve, "find_spec", lambda _name: None)
    result = CliRunner().invoke(app, ["serve"])
    assert (result.exit_code, result.stderr) == (
        1,
        "error: the desk's server is not installed; install it: pip install 'comity[desk]'\n",
    )


def test_a_port_that_needs_special_rights_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def refusing(*_given: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", refusing)
    result = CliRunner().invoke(app, ["serve", "--port", "80"])
    assert (result.exit_code, result.stderr) == (
        1,
        "error: port 80 needs special rights; choose one above 1023\n",
    )


@pytest.mark.parametrize(
    ("host", "is_loopback"),
    [
        ("127.0.0.1", True),
        ("127.5.5.5", True),
        ("::1", True),
        ("[::1]", True),
        ("localhost", True),
        ("192.0.2.7", False),
        ("desk.example", False),
    ],
)
def test_loopback_is_known_however_it_is_written(host: str, is_loopback: object) -> None:
    assert serve._is_loopback(host) is is_loopback

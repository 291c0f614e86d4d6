"""How long the desk's pages take with ten thousand applicants, beside an empty page of its own.

The desk runs as it is served: waitress, SQLite in a file, a signed-in session, pages over HTTP.
Pages are asked for in turn, so that a busy spell of the machine hits all of them.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import threading
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, sleep
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from tests.bench.registry import Measure, Settings, bench

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

N_APPLICANTS = 10_000
N_ROUNDS = 20
MOST_TIMES_A_PAGE = 6.0
MOST_TIMES_AN_EDIT = 10.0
N_USERS = 50
N_EACH = 12
MOST_SECONDS_TO_FILL = 900
TOKEN = "a" * 32
EMPTY = "an empty signed-in page"
OK = 200


@dataclass
class Browser:
    """A signed-in person who keeps one connection open."""

    office: Mapping[str, Any]
    session: str
    connection: HTTPConnection = field(init=False)

    def __post_init__(self) -> None:
        """Open the connection."""
        self.connection = HTTPConnection("127.0.0.1", self.office["port"], timeout=120)

    def ask(self, path: str, sent: Mapping[str, str] | None = None) -> tuple[int, str]:
        """Return the status and the text of a page."""
        cookies = {self.office["cookie"]: self.session, self.office["form_cookie"]: TOKEN}
        headers = {"Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items())}
        if sent is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
            headers |= {"X-CSRFToken": TOKEN, "HX-Request": "true"}
        method, body = ("GET", None) if sent is None else ("POST", urlencode(sent))
        self.connection.request(method, path, body, headers)
        answer = self.connection.getresponse()
        return answer.status, answer.read().decode("utf-8")


@bench
def desk_with_ten_thousand(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Ask for pages, change facts, and let fifty people in at once."""
    with served(N_APPLICANTS) as office:
        browser = Browser(office, office["sessions"][0])
        asked = _questions(browser)
        _check(asked)
        seconds = _interleaved(asked, N_ROUNDS * settings.rounds)
        base = _p95(seconds[EMPTY])
        for name, each in seconds.items():
            most = MOST_TIMES_AN_EDIT if "changed" in name else MOST_TIMES_A_PAGE
            times = _p95(each) / base
            target = None if name == EMPTY else f"<= {most:g} times"
            ok = None if name == EMPTY else times <= most
            yield (
                f"desk, {name}, p95",
                Measure(1000 * _p95(each), "ms", 1000 * base, times, target, ok),
            )
        yield _crowd(office)


def _questions(browser: Browser) -> dict[str, Callable[[], str]]:
    """Return what is asked for, by name; each call takes another case."""
    cases = browser.office["cases"]
    turn = {"n": 0, "edit": 0}

    def page(path: str) -> Callable[[], str]:
        return lambda: _whole(browser.ask(path))

    def a_case() -> str:
        turn["n"] += 1
        return _whole(browser.ask(f"/cases/{cases[turn['n'] % len(cases)]['id']}"))

    def a_fact() -> str:
        turn["edit"] += 1
        return _changed(browser, cases[turn["edit"] % len(cases)], turn["edit"])

    return {
        EMPTY: page("/bench/empty"),
        "Needs you, whole office": page("/?whose=office"),
        "Needs you, my cases": page("/?whose=mine"),
        "applicants": page("/applicants"),
        "applicants by an answer on one title": page(
            "/applicants?title=xb-register%2Fdietitian&verdict=met"
        ),
        "applicants by an answer on any title": page("/applicants?verdict=unknown"),
        "applicants by next action": page("/applicants?sort=next"),
        "a case": a_case,
        "a fact changed, to answer and strip": a_fact,
    }


def _changed(browser: Browser, case: dict[str, str], number: int) -> str:
    """Change the hours of a post; the page that comes back has what the next change starts from."""
    sent = {"base": case["base"], "hours_a_week": str(20 + number % 17)}
    page = _whole(browser.ask(f"/cases/{case['id']}/facts/practice/{case['entry']}", sent))
    case["base"] = _base(browser, case)
    return page


def _base(browser: Browser, case: Mapping[str, str]) -> str:
    path = f"/cases/{case['id']}/facts/practice/{case['entry']}?edit"
    match = re.search(r'name="base" value="([0-9a-f]+)"', _whole(browser.ask(path)))
    if match is None:
        message = f"no form at {path}"
        raise AssertionError(message)
    return match[1]


def _whole(answer: tuple[int, str]) -> str:
    status, text = answer
    if status != OK:
        message = f"status {status}: {text[:300]}"
        raise AssertionError(message)
    return text


def _check(asked: Mapping[str, Callable[[], str]]) -> None:
    """Tell that the pages show what they are asked for, before anything is timed."""
    signs = {
        "Needs you, whole office": 'class="need ',
        "applicants": "More than 1,000 applicants",
        "applicants by an answer on one title": "verdict-met",
        "a case": 'id="strip-wide"',
        "a fact changed, to answer and strip": 'id="strip-wide"',
    }
    for name, sign in signs.items():
        if sign not in asked[name]():
            message = f"{name}: {sign} does not stand on the page"
            raise AssertionError(message)


def _interleaved(asked: Mapping[str, Callable[[], str]], rounds: int) -> dict[str, list[float]]:
    seconds: dict[str, list[float]] = {name: [] for name in asked}
    for number in range(rounds + 2):
        for name, ask in asked.items():
            start = perf_counter()
            ask()
            if number > 1:
                seconds[name].append(perf_counter() - start)
    return seconds


def _p95(seconds: list[float]) -> float:
    """Return the value that 95 of a hundred do not exceed (nearest rank)."""
    ordered = sorted(seconds)
    return ordered[-(-95 * len(ordered) // 100) - 1]


def _crowd(office: Mapping[str, Any]) -> tuple[str, Measure]:
    """Let fifty people ask at once, every tenth time changing a fact; count what goes wrong."""
    wrong: list[str] = []
    threads = [
        threading.Thread(target=_busy, args=(Browser(office, session), number, wrong))
        for number, session in enumerate(office["sessions"])
    ]
    start = perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    seconds = perf_counter() - start
    print(f"{len(threads)} people, {N_EACH} pages each: {seconds:.0f} s; {wrong[:3]}")
    return (
        f"desk, {N_USERS} people at once, pages that fail",
        Measure(len(wrong), "pages", target="none", ok=not wrong and len(threads) == N_USERS),
    )


def _busy(browser: Browser, number: int, wrong: list[str]) -> None:
    cases = browser.office["cases"]
    case = cases[number % len(cases)]
    paths = ("/", "/applicants", f"/cases/{case['id']}", "/applicants?sort=-next")
    for turn in range(N_EACH):
        try:
            if turn % 10 == number % 10:
                # Somebody else may have changed the same post a moment ago: that is an answer, too.
                sent = {"base": case["base"], "hours_a_week": str(20 + number % 17)}
                path = f"/cases/{case['id']}/facts/practice/{case['entry']}"
                status, _text = browser.ask(path, sent)
                is_fine = status in {OK, 409}
            else:
                status, _text = browser.ask(paths[(turn + number) % len(paths)])
                is_fine = status == OK
            if not is_fine:
                wrong.append(f"status {status}")
        except OSError as error:
            wrong.append(repr(error))
            return


@contextmanager
def served(n_applicants: int) -> Iterator[Mapping[str, Any]]:
    """Serve an office of so many in another process."""
    with TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "tests.bench.desk.serving", folder, str(n_applicants)]
        process = subprocess.Popen(command)
        try:
            yield _office(Path(folder, "office.json"), process)
        finally:
            process.terminate()
            process.wait(timeout=30)


def _office(path: Path, process: subprocess.Popen[bytes]) -> dict[str, Any]:
    for _ in range(MOST_SECONDS_TO_FILL * 4):
        if path.exists():
            found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
            return found
        if process.poll() is not None:
            break
        sleep(0.25)
    message = "the office did not open"
    raise RuntimeError(message)

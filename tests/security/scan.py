"""Scan the running demo with scanners that nobody here wrote: `python -m tests.security.scan`

    wapiti   a web scanner: crawls as each role and attacks every form and address it finds
    sqlmap   an SQL-injection tester: tries the fields of addresses and forms, as each role

Both are installed from PyPI into an environment of their own, which is thrown away (`--environment` keeps it), and look at
this machine only. A page with known holes is scanned in the same run: a scanner that does not find them proves nothing.
Ends with 1 when there is a finding of medium severity or higher, or when a scanner missed the known holes.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from fnmatch import fnmatch
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Final
from urllib.parse import parse_qsl, urlencode, urljoin, urlsplit

from bs4 import BeautifulSoup, Tag
from sqlalchemy import select

from tests.ports import free_port
from trainer.cli import demo
from trainer.cli.place import store_file
from trainer.records import sessions
from trainer.records.actors import as_actor, person_of
from trainer.records.models import PersonRole
from trainer.records.store import open_store
from trainer.web import create_app

SCANNERS: Final = ("wapiti3==3.2.3", "sqlmap==1.10.10")
ROLES: Final = ("nobody", "apprentice", "trainer", "owner")
# Those that ask outside services or download lists are left out.
ATTACKS: Final = "sql,xss,permanentxss,file,exec,crlf,redirect,csp,http_headers,cookieflags,csrf"
MEDIUM: Final = 2  # of wapiti's levels: 1 low, 2 medium, 3 high, 4 critical
# What would end the scan's own session, or let nobody in any more.
TOKENS: Final = {
    "csrf_token",
    "form_token",
    "made_from",
}  # a changed one ends in a refusal, before anything is asked
MOST_FIELDS: Final = 6
MOST_OF_A_SHELF: Final = (
    30  # pages beside one another: the bank has hundreds of questions with the same forms
)
LEAVING: Final = ("sign-out", "account/*", "people/*/*", "language")
HOLES: Final = """
import sqlite3
from flask import Flask, request
app = Flask("holes")

@app.get("/")
def page():
    held = sqlite3.connect(":memory:")
    held.execute("CREATE TABLE person (id INTEGER, name TEXT)")
    held.execute("INSERT INTO person VALUES (1, 'brick')")
    try:
        found = held.execute("SELECT name FROM person WHERE id = " + request.args.get("id", "1")).fetchall()
    except sqlite3.Error as error:
        return f"sqlite3.OperationalError: {error}", 500
    return f"<a href='/?id=1&said=x'>again</a> {found} " + request.args.get("said", "")
"""
SQLMAP: Final = (
    "--batch",
    "--flush-session",
    "--dbms=sqlite",
    "--technique=BEU",
    "--timeout=20",
    "--retries=1",
)


@dataclass(frozen=True)
class Target:
    """An address to try, and what its form sends; None for an address alone."""

    url: str
    data: str | None

    @property
    def names(self) -> list[str]:
        """Of everything that is sent."""
        sent = parse_qsl(f"{urlsplit(self.url).query}&{self.data or ''}", keep_blank_values=True)
        return sorted({name for name, _ in sent} - TOKENS)

    @property
    def fields(self) -> list[str]:
        """Those that are tried: all, but of many alike, as the sizes of a take-off are, some."""
        return self.names[:MOST_FIELDS]

    @property
    def kind(self) -> str:
        """The same for addresses and fields that differ in numbers and values only."""
        path, names = urlsplit(self.url).path, sorted({re.sub(r"[0-9]+", "N", one) for one in self.names})
        return f"{'GET' if self.data is None else 'POST'} {re.sub(r'[0-9]+', 'N', path)} {' '.join(names)}"


@contextmanager
def served(command: list[str], port: int, folder: Path) -> Iterator[str]:
    """A server of our own, its address while it runs."""
    process = subprocess.Popen(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        for _ in range(600):
            with suppress(OSError, HTTPException):
                HTTPConnection("127.0.0.1", port, timeout=20).request("GET", "/")
                break
            time.sleep(0.1)
        yield f"http://127.0.0.1:{port}/"
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait()


def cookies(data: Path) -> dict[str, str]:
    """A signed cookie for each role of the demo, with a form token, so that forms are taken."""
    store = open_store(data)
    app = create_app(store)
    serializer = app.session_interface.get_signing_serializer(app)  # type: ignore[attr-defined]
    made = {"nobody": serializer.dumps({"csrf_token": "0" * 40})}
    with store.write() as session:
        for role in ROLES[1:]:
            held = session.scalars(select(PersonRole.person_id).where(PersonRole.role == role)).first()
            key = sessions.start(session, as_actor(person_of(session, held)), datetime.now(UTC))
            made[role] = serializer.dumps({"key": key, "csrf_token": "0" * 40, "_permanent": True})
    store.close()
    return made


def wapiti(tools: Path, url: str, cookie: str | None, out: Path, seconds: int) -> tuple[list[str], int]:
    """(findings of medium severity or higher, pages crawled)"""
    command = [str(tools / "wapiti"), "-u", url, "--scope", "folder", "-m", ATTACKS]
    for path in LEAVING:
        command += ["-x", f"{url}{path}"]
    command += ["--max-scan-time", str(seconds), "--max-attack-time", str(max(10, seconds // 5))]
    command += ["--flush-session", "--no-bugreport", "--tasks", "2", "-t", "20", "-v", "1"]
    command += ["--store-session", str(out.with_suffix(".session")), "-f", "json", "-o", str(out)]
    if cookie is not None:
        command += ["-H", f"Cookie: trainer={cookie}"]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, timeout=20 * seconds)
    report = json.loads(out.read_text())
    return [
        f"{kind}: {one['method']} {one['path']} {one['info']}"
        for part in ("vulnerabilities", "anomalies")
        for kind, those in report[part].items()
        for one in those
        if one["level"] >= MEDIUM
    ], int(report["infos"]["crawled_pages_nbr"])


def targets(url: str, cookie: str, most: int) -> list[Target]:
    """One of each kind of address with a query and of each kind of form, from a crawl of our own."""
    found: dict[str, Target] = {}
    waiting, seen, shelves = [url], {re.sub(r"[0-9]+", "N", url)}, Counter[str]()
    while waiting and len(seen) < 400:
        page = waiting.pop(0)
        connection = HTTPConnection(urlsplit(url).netloc, timeout=30)
        connection.request("GET", page[len(url) - 1 :], headers={"Cookie": f"trainer={cookie}"})
        answer = connection.getresponse()
        body = answer.read()
        if answer.status in (302, 303):
            links = [answer.getheader("Location") or ""]
        elif "html" in (answer.getheader("Content-Type") or ""):
            soup = BeautifulSoup(body, "html.parser")
            links = [str(link["href"]) for link in soup.select("a[href]")]
            for form in soup.select("form"):
                target = _form(page, form)
                if target.names and not any(fnmatch(target.url, f"{url}{path}") for path in LEAVING):
                    found.setdefault(target.kind, target)
        else:
            continue
        for link in links:
            whole = urljoin(page, link).partition("#")[0]
            alike = re.sub(r"[0-9]+", "N", whole.partition("?")[0])
            if not whole.startswith(url) or "/static/" in whole:
                continue
            if "?" in whole:
                one = Target(whole, None)
                if one.names:
                    found.setdefault(one.kind, one)
            shelf = alike.rpartition("/")[0]
            if alike not in seen and shelves[shelf] < MOST_OF_A_SHELF:
                seen.add(alike)
                shelves[shelf] += 1
                waiting.append(whole)
    return list(found.values())[:most]


def _form(page: str, form: Tag) -> Target:
    fields = [
        (str(item["name"]), str(item.get("value") or "1"))
        for item in form.select("input[name], select[name], textarea[name]")
    ]
    action = urljoin(page, str(form.get("action") or page))
    if str(form.get("method", "get")).lower() == "get":
        return Target(f"{action.partition('?')[0]}?{urlencode(dict(fields))}", None)
    return Target(action, urlencode(dict(fields)))


def sqlmap(tools: Path, target: Target, cookie: str | None, out: Path) -> list[str]:
    """What sqlmap says can be injected."""
    command = [str(tools / "sqlmap"), "-u", target.url, *SQLMAP, "--level=1", "--risk=1"]
    command += ["--output-dir", str(out), "--disable-coloring", "-p", ",".join(target.fields)]
    command += ["--ignore-code=400,403,404,405,429,500,503", "--drop-set-cookie"]
    if target.data is not None:
        command += ["--data", target.data]
    if cookie is not None:
        command += ["--cookie", f"trainer={cookie}", "--param-exclude", "trainer"]
    said = subprocess.run(command, capture_output=True, text=True, timeout=900, stdin=subprocess.DEVNULL)
    if "is vulnerable" in said.stdout or "injection point(s)" in said.stdout:
        return [f"SQL injection: {target.url} {target.data or ''}"]
    if (
        "all tested parameters do not appear to be injectable" not in said.stdout
        and target.kind not in UNTRIED
    ):
        UNTRIED[target.kind] = said.stdout.strip().splitlines()[-3:]
    return []


UNTRIED: Final[dict[str, list[str]]] = {}  # targets that sqlmap could not try, and what it said


def installed(environment: Path) -> Path:
    """The scanners' programs, installed when they are not there."""
    tools = environment / "bin"
    if not (tools / "wapiti").exists():
        subprocess.run([sys.executable, "-m", "venv", str(environment)], check=True)
        subprocess.run([str(tools / "pip"), "install", "-q", *SCANNERS], check=True)
    return tools


def scan(tools: Path, folder: Path, roles: list[str], seconds: int, most: int) -> list[str]:
    """Everything of medium severity or higher that was found, and what speaks against the scan itself."""
    port = free_port()
    (folder / "holes.py").write_text(HOLES)
    found: list[str] = []
    serve = [sys.executable, "-m", "gunicorn", "-b", f"127.0.0.1:{port}", "--threads", "4", "holes:app"]
    with served(serve, port, folder) as url:
        known, _ = wapiti(tools, url, None, folder / "holes.json", 40)
        kinds = {one.partition(":")[0] for one in known}
        print(f"known holes: wapiti found {', '.join(sorted(kinds)) or 'nothing'}", flush=True)
        if not {"SQL Injection", "Reflected Cross Site Scripting"} <= kinds:
            found.append("wapiti missed the holes that are known")
        if not sqlmap(tools, Target(f"{url}?id=1", None), None, folder / "sqlmap"):
            found.append("sqlmap missed the hole that is known")
    demo.make(folder / "demo")
    cookie = cookies(store_file(folder / "demo"))
    port = free_port()
    serve = [sys.executable, "-m", "trainer", "serve", "--data", str(folder / "demo"), "--port", str(port)]
    with served([*serve, "--log", str(folder / "log"), "--copies", "0"], port, folder) as url:
        for role in roles:
            begun = time.monotonic()
            tried = targets(url, cookie[role], most)
            with ThreadPoolExecutor(2) as pool:
                injected = [
                    each
                    for several in pool.map(
                        lambda one: sqlmap(tools, one, cookie[role], folder / "sqlmap"),  # noqa: B023
                        tried,
                    )
                    for each in several
                ]
            here, pages = wapiti(tools, url, cookie[role], folder / f"{role}.json", seconds)
            print(
                f"{role}: {pages} pages and their forms by wapiti, {len(tried)} addresses and forms by sqlmap: "
                f"{len(here) + len(injected)} findings, {time.monotonic() - begun:.0f} s",
                flush=True,
            )
            found += [f"{role}: {each}" for each in [*injected, *here]]
            if role != "nobody" and pages < 15:
                found.append(f"{role}: wapiti came to {pages} pages only: it was not signed in")
    broken = [line for line in (folder / "log").read_text().splitlines() if '"faults"' in line]
    return found + [f"a fault of the program: {line}" for line in broken]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--environment", type=Path, help="where the scanners are, or are to be, installed")
    parser.add_argument("--role", action="append", choices=ROLES, help="as this role only; repeat for more")
    parser.add_argument("--seconds", type=int, default=120, help="for crawling, a role [120]")
    parser.add_argument("--most", type=int, default=60, help="addresses and forms for sqlmap, a role [60]")
    given = parser.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # the servers end with the scan
    with tempfile.TemporaryDirectory() as temporary:
        tools = installed(given.environment or Path(temporary) / "environment")
        found = scan(tools, Path(temporary), given.role or list(ROLES), given.seconds, given.most)
    for kind, said in UNTRIED.items():
        print(f"not tried by sqlmap: {kind}: {' | '.join(said)}")
    print("\n".join(found) or "No finding of medium severity or higher.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())

"""Lighthouse on the served demo, as a phone on a slow network sees it: `python -m tests.browser.lighthouse`

The heaviest lesson, the lightest and one between, today's work, practice and signing in, each as a first visit on
Lighthouse's own phone profile (slow 4G, a processor four times slower). Of each page the median of several runs counts, as
Lighthouse advises. Ends with 1 when a page is below the marks: 98 for speed, 100 for access and for good practice.

Lighthouse comes from npm (it needs node) into a folder that is thrown away; `--environment` keeps it. It drives the Chromium
of this machine and looks at this machine only. Speed is worth what the machine is: nothing else should run, and the column
"machine" is Lighthouse's own figure for its processor.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from tests.browser.conftest import ARGUMENTS, NAMES
from tests.ports import free_port
from tests.security.scan import cookies, served
from trainer.cli import demo
from trainer.cli.place import store_file
from trainer.lessons import load_lessons

PACKAGE: Final = "lighthouse@12"
TRIES: Final = 3  # now and then Lighthouse loses its Chromium before a page is shown
MARKS: Final = {"performance": 98, "accessibility": 100, "best-practices": 100}
FIGURES: Final = {
    "LCP ms": "largest-contentful-paint",
    "TBT ms": "total-blocking-time",
    "CLS": "cumulative-layout-shift",
    "bytes": "total-byte-weight",
}


@dataclass(frozen=True, slots=True)
class Seen:
    """One page: its scores out of 100, its figures, and what took points away."""

    path: str
    scores: dict[str, float]
    figures: dict[str, float]
    machine: float
    lacking: tuple[str, ...]

    @property
    def below(self) -> bool:
        return any(self.scores[name] < mark for name, mark in MARKS.items())


def weight(address: str, path: str, cookie: str) -> int:
    """Bytes of the page as it is sent."""
    asked = urllib.request.Request(address + path, headers={"Cookie": cookie, "Accept-Encoding": "br"})
    with urllib.request.urlopen(asked) as answer:
        return len(answer.read())


def pages(address: str, cookie: str) -> list[tuple[str, bool]]:
    """(path, whether one is signed in) of each page to look at."""
    lessons = sorted(
        (f"/lessons/{id}" for id in load_lessons().ids), key=lambda path: weight(address, path, cookie)
    )
    chosen = [lessons[-1], lessons[len(lessons) // 2], lessons[0]]
    return [*((path, True) for path in (*chosen, "/today", "/practice")), ("/sign-in", False)]


def look(program: Path, address: str, path: str, cookie: str | None, runs: int) -> Seen:
    """What Lighthouse says of the page: of each score and figure the median."""
    reports = [_report(program, address + path, cookie) for _ in range(runs)]
    last = reports[-1]
    return Seen(
        path=path,
        scores={
            name: statistics.median(round(100 * one["categories"][name]["score"]) for one in reports)
            for name in MARKS
        },
        figures={
            name: statistics.median(one["audits"][audit]["numericValue"] for one in reports)
            for name, audit in FIGURES.items()
        },
        machine=statistics.median(one["environment"]["benchmarkIndex"] for one in reports),
        lacking=tuple(
            audit["title"]
            for name in ("accessibility", "best-practices")
            for each in last["categories"][name]["auditRefs"]
            if (audit := last["audits"][each["id"]])["score"] is not None
            and audit["score"] < 1
            and each["weight"]
        ),
    )


def _report(program: Path, url: str, cookie: str | None) -> dict[str, Any]:
    chromium = next((found for name in NAMES if (found := shutil.which(name))), None)
    if chromium is None:
        raise SystemExit("no Chromium on this machine; install it: sudo apt-get install chromium")
    command = [
        str(program),
        url,
        "--quiet",
        "--no-enable-error-reporting",
        "--output=json",
        "--output-path=stdout",
    ]
    command += [f"--only-categories={','.join(MARKS)}", f"--chrome-flags=--headless {' '.join(ARGUMENTS)}"]
    if cookie is not None:
        command.append(f"--extra-headers={json.dumps({'Cookie': cookie})}")
    for left in reversed(range(TRIES)):
        said = subprocess.run(
            command, env={**os.environ, "CHROME_PATH": chromium}, capture_output=True, text=True, timeout=180
        )
        if said.returncode == 0:
            break
        if not left:
            raise SystemExit(f"{url} was not looked at: {said.stderr.strip()[-1000:]}")
    report: dict[str, Any] = json.loads(said.stdout)
    if report.get("runtimeError") or report["finalDisplayedUrl"] != url:
        raise SystemExit(
            f"{url} was not looked at: {report.get('runtimeError') or report['finalDisplayedUrl']}"
        )
    return report


def installed(environment: Path) -> Path:
    """Lighthouse's program, installed when it is not there."""
    program = environment / "node_modules" / ".bin" / "lighthouse"
    if not program.exists():
        npm = [
            "npm",
            "install",
            "--prefix",
            str(environment),
            "--no-audit",
            "--no-fund",
            "--loglevel=error",
            PACKAGE,
        ]
        subprocess.run(npm, check=True)
    return program


def run(program: Path, folder: Path, runs: int) -> list[Seen]:
    """Every page of a demo made for this, printed as it is done."""
    demo.make(folder)
    cookie = f"trainer={cookies(store_file(folder))['apprentice']}"
    port = free_port()
    command = [sys.executable, "-m", "trainer", "serve", "--data", str(folder)]
    command += ["--port", str(port), "--log", "none", "--copies", "0"]
    found = []
    print("speed  access  practice  " + "  ".join(f"{name:>7}" for name in FIGURES) + "  machine  page")
    with served(command, port, folder) as url:
        address = url.rstrip("/")
        for path, inside in pages(address, cookie):
            seen = look(program, address, path, cookie if inside else None, runs)
            scores = "".join(
                f"{seen.scores[name]:{width}.0f}" for name, width in zip(MARKS, (5, 8, 10), strict=True)
            )
            figures = "  ".join(
                f"{value:7.2f}" if value < 1 else f"{value:7.0f}" for value in seen.figures.values()
            )
            print(
                f"{scores}  {figures}  {seen.machine:7.0f}  {path}",
                *seen.lacking,
                sep="\n       ",
                flush=True,
            )
            found.append(seen)
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--environment", type=Path, help="where Lighthouse is, or is to be, installed")
    parser.add_argument("--runs", type=int, default=3, help="how often each page is looked at (3)")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        program = installed(given.environment or Path(made))
        found = run(program, Path(made) / "demo", given.runs)
    return int(any(seen.below for seen in found))


if __name__ == "__main__":
    sys.exit(main())

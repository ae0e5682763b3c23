"""The wheel holds the content folders and serves a page from an empty environment."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
import urllib.request
import zipfile
from pathlib import Path

import pytest

from tests.ports import free_port

ROOT = Path(__file__).parents[2]
CONTENT = ("lessons", "question_bank", "static", "templates")
SIGN_IN_SECONDS = 60

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", folder, ROOT],
        check=True,
        capture_output=True,
        cwd=folder,
    )
    return next(folder.glob("topping_out-*.whl"))


def test_content_of_the_wheel_is_the_content_of_the_checkout(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    for folder in CONTENT:
        shipped = {
            name.removeprefix("trainer/_shipped/")
            for name in names
            if name.startswith(f"trainer/_shipped/{folder}/")
        }
        here = {file.relative_to(ROOT).as_posix() for file in (ROOT / folder).rglob("*") if file.is_file()}
        assert shipped == here and here
    assert "trainer/translations/es/LC_MESSAGES/messages.mo" in names
    assert "trainer/calc/units.txt" in names
    assert any(re.fullmatch(r"trainer/records/migrations/versions/\w+\.py", name) for name in names)


@pytest.mark.wheel
def test_installed_wheel_serves_a_page(wheel, tmp_path):
    environment = tmp_path / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", environment], check=True)
    # The pip of this environment installs into that one; modules are compiled as they are first imported.
    install = [sys.executable, "-m", "pip", "--python", environment / "bin" / "python", "install", "-q"]
    subprocess.run([*install, "--no-compile", wheel], check=True, capture_output=True)
    trainer = environment / "bin" / "trainer"
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "TRAINER"))}
    listed = subprocess.run(
        [trainer, "calc"], cwd=tmp_path, env=clean, check=True, capture_output=True, text=True
    )
    assert "crown.slab" in listed.stdout
    begun = [
        trainer,
        "init",
        "--shop",
        "A Shop",
        "--owner",
        "An Owner",
        "--sign-in",
        "owner",
        "--zone",
        "UTC",
    ]
    made = subprocess.run(begun, cwd=tmp_path, env=clean, check=True, capture_output=True, text=True)
    assert re.search(r"one-time code \S{4}-\S{4}-\S{4}", made.stdout)
    served = subprocess.Popen(
        [trainer, "serve", "--workers", "1", "--port", str(free_port())],
        cwd=tmp_path,
        env=clean,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        assert served.stdout is not None
        address = ""
        while not address:
            line = served.stdout.readline()
            assert line, "the server ended without an address"
            found = re.search(r"http://\S+", line)
            address = found.group() if found else ""
        page = _fetched(address)
        assert "Topping Out" in page and "A Shop" in page
    finally:
        served.terminate()
        served.wait(20)
        served.stdout.close()


def _fetched(address: str) -> str:
    for _ in range(SIGN_IN_SECONDS * 2):
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.5)
    raise AssertionError(f"no answer from {address}")

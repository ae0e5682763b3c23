"""What lies at the top of the repository, and how long a module may be."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDERS = {"trainer", "lessons", "question_bank", "tests", "static", "templates"}
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}


def tracked() -> list[str]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout")
    return listed.stdout.splitlines()


def test_top_level_is_what_the_layout_names():
    top = {path.split("/")[0] for path in tracked() if not path.startswith(".")}
    assert top == FOLDERS | FILES


def test_no_module_is_too_long_to_read():
    long = {path: count for path in tracked() if path.startswith("trainer/") and path.endswith(".py")
            if (count := len((ROOT / path).read_text(encoding="utf-8").splitlines())) > 400}  # fmt: skip
    assert long == {}

"""A small bank of three questions, and the way to change one of its files."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.questions import Bank, load_bank

SMALL = Path(__file__).parent / "data" / "small"


@pytest.fixture(scope="session")
def small_bank() -> Bank:
    bank = load_bank(SMALL)
    assert bank.problems == ()
    return bank


@pytest.fixture
def changed_bank(tmp_path: Path) -> Callable[..., Bank]:
    """The small bank read again after replacing texts in one of its files."""

    def change(file: str, *replacements: tuple[str, str]) -> Bank:
        folder = tmp_path / "bank"
        shutil.copytree(SMALL, folder, dirs_exist_ok=True)
        path = folder / file
        text = path.read_text(encoding="utf-8")
        for before, after in replacements:
            assert before in text
            text = text.replace(before, after, 1)
        path.write_text(text, encoding="utf-8")
        return load_bank(folder)

    return change

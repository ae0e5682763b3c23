"""A course of two small lessons, one of them in English only, and the small bank that its things to try come from."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.lessons import Library, Renderer, load_lessons
from trainer.questions import Bank, load_bank

COURSE = Path(__file__).parent / "data" / "course"
BANK = Path(__file__).parents[1] / "questions" / "data" / "small"


@pytest.fixture(scope="session")
def bank() -> Bank:
    return load_bank(BANK)


@pytest.fixture(scope="session")
def course() -> Library:
    library = load_lessons(COURSE)
    assert library.problems == ()
    return library


@pytest.fixture
def renderer(course: Library, bank: Bank) -> Renderer:
    return Renderer(course, bank)


@pytest.fixture
def changed_course(tmp_path: Path) -> Callable[..., Library]:
    """The course read again after replacing texts in one of its files."""

    def change(file: str, *replacements: tuple[str, str]) -> Library:
        folder = tmp_path / "course"
        shutil.copytree(COURSE, folder, dirs_exist_ok=True)
        path = folder / file
        text = path.read_text(encoding="utf-8")
        for before, after in replacements:
            assert before in text
            text = text.replace(before, after, 1)
        path.write_text(text, encoding="utf-8")
        return load_lessons(folder)

    return change

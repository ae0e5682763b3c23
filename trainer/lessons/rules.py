"""The rules of clearance, fitted to the lessons and the bank there are."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from trainer.clearance import LessonRef, Rules, load_rules, readable_rules
from trainer.errors import ContentError
from trainer.lessons.library import Library
from trainer.questions import Bank


def shop_rules(bank: Bank, library: Library, folder: Path | None = None) -> Rules:
    """The clearances and tasks of the folder (by default question_bank). Raises ContentError."""
    return load_rules(folder, **_beside(bank, library))


def rules_as_read(
    bank: Bank, library: Library, folder: Path | None = None
) -> tuple[Rules, tuple[ContentError, ...]]:
    """The same without what is wrong in its files, and what is wrong: nobody is cleared by what was left out."""
    return readable_rules(folder, **_beside(bank, library))


def _beside(bank: Bank, library: Library) -> dict[str, Any]:
    return {
        "lessons": {id: _ref(library, id) for id in library.ids},
        "skills": {id: skill.name for id, skill in bank.skills.items()},
        "must_pass": bank.must_pass_wanted,
    }


def _ref(library: Library, id: str) -> LessonRef:
    lesson = library.lesson(id)
    return LessonRef(id, lesson.version, library.title(id), lesson.sections, lesson.check)

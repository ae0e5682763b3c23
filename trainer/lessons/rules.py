"""The rules of clearance, fitted to the lessons and the bank there are."""

from __future__ import annotations

from pathlib import Path

from trainer.clearance import LessonRef, Rules, load_rules
from trainer.lessons.library import Library
from trainer.questions import Bank


def shop_rules(bank: Bank, library: Library, folder: Path | None = None) -> Rules:
    """The clearances and tasks of the folder (by default question_bank). Raises ContentError."""
    return load_rules(
        folder,
        lessons={id: _ref(library, id) for id in library.ids},
        skills={id: skill.name for id, skill in bank.skills.items()},
        must_pass=bank.must_pass_skills,
    )


def _ref(library: Library, id: str) -> LessonRef:
    lesson = library.lesson(id)
    return LessonRef(id, lesson.version, library.title(id), lesson.sections, lesson.check)

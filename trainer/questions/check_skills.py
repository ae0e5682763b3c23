"""The check of skills: each is taught, tested often enough, and must-pass where a wrong answer can hurt someone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Final

from trainer.errors import ContentError
from trainer.questions.bank import Bank
from trainer.questions.model import Skill

FILE: Final = "skills.toml"
FEWEST_QUESTIONS: Final = 3


def check_skills(bank: Bank, lessons: Mapping[str, Collection[str]] | None) -> list[ContentError]:
    """Skills that too few questions test, that no lesson teaches, or that lack a decision on must-pass.

    A lesson that teaches no skill is told by the check of lessons.

    lessons: the skills that each lesson names, by the lesson's id; None leaves the check of lessons out
    """
    found = []
    for skill in bank.skills.values():
        if not skill.line:
            continue  # skills.toml could not be read, which is told already
        sentences = [*_questions(bank, skill), *_must_pass(bank, skill)]
        if lessons is not None:
            sentences += _lesson(skill, lessons)
        found += [ContentError(FILE, skill.line, sentence) for sentence in sentences]
    return found


def _questions(bank: Bank, skill: Skill) -> Iterator[str]:
    count = len(bank.of_skill(skill.id))
    if count == 0:
        yield f"no question tests the skill {skill.id}."
    elif count < FEWEST_QUESTIONS:
        yield f"only {count} of the bank's questions test the skill {skill.id}; there must be {FEWEST_QUESTIONS}."


def _must_pass(bank: Bank, skill: Skill) -> Iterator[str]:
    asked = skill.id in bank.must_pass_skills
    if not asked and skill.no_must_pass is None:
        yield (
            f"the skill {skill.id} has no must-pass question: mark one whose wrong answer can hurt someone, "
            "or say in no_must_pass why none can."
        )
    if asked and skill.no_must_pass is not None:
        yield f"the skill {skill.id} says in no_must_pass why none is needed, but it has one; take that line out."


def _lesson(skill: Skill, lessons: Mapping[str, Collection[str]]) -> Iterator[str]:
    if skill.lesson not in lessons:
        yield f"the skill {skill.id} names a lesson {skill.lesson!r}, which does not exist."
    elif skill.id not in lessons[skill.lesson]:
        yield f"the lesson {skill.lesson} does not name the skill {skill.id} that it is to teach."

"""The lesson check: every lesson rendered, and the two languages compared.

A lesson in Spanish holds what the English one holds: the same headings, fences, examples, places and links, and the
same figures typed in the text, because a wrong figure hurts someone in either language.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.lessons.library import Lesson, Library
from trainer.lessons.markdown import tokens
from trainer.lessons.rendering import Renderer
from trainer.questions import Bank, NoDraw, draw
from trainer.questions.model import Question
from trainer.questions.template import BadTemplate, places

NUMBER: Final = re.compile(r"\d+(?:[.,/]\d+)*")
LEAST_CHECK_QUESTIONS: Final = 2
# Fences whose content is names, not words: it must be the same in both languages.
NAMING: Final = {"figure": 1, "working": None, "try": None}


def check_lessons(library: Library, bank: Bank | None = None) -> tuple[ContentError, ...]:
    """Everything wrong with the lessons, with file, line and a sentence."""
    found = list(library.problems)
    renderer = Renderer(library, bank)
    for language, lessons in library.by_language.items():
        for id, lesson in lessons.items():
            found += renderer.render(id, DEFAULT_SHOP, language).problems
            found += _head_problems(lesson, library, bank)
    for id in library.ids:
        both = [library.by_language.get(language, {}).get(id) for language in ("en", "es")]
        if both[0] is not None and both[1] is not None:
            found += differences(both[0], both[1])
        else:
            here, there = ("en", "es") if both[0] is not None else ("es", "en")
            found.append(ContentError(f"{here}/{id}.md", 0, f"there is no {there}/{id}.md."))
    return tuple(sorted(found, key=lambda problem: (problem.path, problem.line, problem.sentence)))


def _head_problems(lesson: Lesson, library: Library, bank: Bank | None) -> list[ContentError]:
    found = [
        ContentError(lesson.path, 0, f"there is no lesson {id!r} to read before this one.")
        for id in lesson.prerequisites
        if id not in library.ids or id == lesson.id
    ]
    if bank is not None and bank.skills:
        found += [
            ContentError(lesson.path, 0, f"there is no skill {skill!r} in question_bank/skills.toml.")
            for skill in lesson.skills
            if skill not in bank.skills
        ]
    return [*found, *check_question_problems(lesson, bank)]


def check_question_problems(lesson: Lesson, bank: Bank | None) -> list[ContentError]:
    """What is wrong with the questions that are to be answered before the lesson counts as read."""
    found = []
    if len(set(lesson.check)) < LEAST_CHECK_QUESTIONS:
        found.append(f"name at least {LEAST_CHECK_QUESTIONS} check questions, not {len(set(lesson.check))}.")
    if not lesson.sections:
        found.append("there is no second-level heading, so nobody can come to its last part.")
    for id, times in Counter(lesson.check).items():
        if times > 1:
            found.append(f"the check question {id!r} is named {times} times.")
        if bank is None:
            continue
        question = bank.questions.get(id)
        if question is None:
            found.append(f"there is no question {id!r} in the bank to check with.")
        elif not set(question.skills) & set(lesson.skills):
            taught = ", ".join(lesson.skills)
            found.append(
                f"the check question {id!r} asks for {', '.join(question.skills)}; taught is {taught}."
            )
        elif not _can_be_drawn(question):
            found.append(f"the check question {id!r} cannot be drawn with the shop standard as shipped.")
    return [ContentError(lesson.path, lesson.check_line, sentence) for sentence in found]


def _can_be_drawn(question: Question) -> bool:
    try:
        draw(question, 1, DEFAULT_SHOP)
    except NoDraw:
        return False
    return True


def orphans(library: Library, bank: Bank) -> tuple[ContentError, ...]:
    """Lessons that teach nothing: no skill of the bank names them as the lesson that teaches it."""
    taught = {skill.lesson for skill in bank.skills.values()}
    sentence = "no skill of question_bank/skills.toml names this lesson as the one that teaches it."
    return tuple(ContentError(library.lesson(id).path, 0, sentence) for id in library.ids if id not in taught)


def differences(english: Lesson, spanish: Lesson) -> list[ContentError]:
    """Where the Spanish lesson does not hold what the English one holds."""
    found = []
    for key in ("order", "version", "skills", "prerequisites", "sources", "check"):
        if getattr(english, key) != getattr(spanish, key):
            found.append(f"{key} differs from the English lesson's.")
    if _examples(english) != _examples(spanish):
        found.append("the examples differ from the English lesson's in name, calculation or inputs.")
    ours, theirs = _outline(english), _outline(spanish)
    for name, words in (
        ("headings", "headings have other ids or another order"),
        ("fences", "fences differ"),
        ("links", "links lead elsewhere"),
    ):
        if ours[name] != theirs[name]:
            found.append(f"the {words}: {_first_difference(ours[name], theirs[name])}.")
    for name, words in (("places", "places in double braces"), ("numbers", "typed figures")):
        missing, extra = ours[name] - theirs[name], theirs[name] - ours[name]
        if missing or extra:
            lost = f"missing {_listed(missing)}" if missing else ""
            more = f"not in the English {_listed(extra)}" if extra else ""
            found.append(f"the {words} differ: {', '.join(part for part in (lost, more) if part)}.")
    return [ContentError(spanish.path, 0, sentence) for sentence in found]


def _examples(lesson: Lesson) -> dict[str, Any]:
    return {name: (example.calculation, example.texts) for name, example in lesson.examples.items()}


def _outline(lesson: Lesson) -> dict[str, Any]:
    """What must be the same in both languages."""
    outline: dict[str, Any] = {
        "headings": [],
        "fences": [],
        "links": [],
        "places": Counter(_places(lesson.body)),
        "numbers": Counter(NUMBER.findall(_without_places(lesson.body))),
    }
    for token in tokens(lesson.body):
        if token.type == "heading_open":
            outline["headings"].append(f"{token.tag} {token.attrGet('id')}")
        elif token.type == "fence":
            name = token.info.strip()
            content = token.content.strip().split("\n")
            outline["fences"].append((name, *(content[: NAMING[name]] if name in NAMING else ())))
        for child in token.children or ():
            if child.type == "link_open":
                outline["links"].append(str(child.attrGet("href")))
    return outline


def _places(body: str) -> Iterable[str]:
    for line in body.split("\n"):
        try:
            yield from re.findall(r"\{\{\s*(.*?)\s*\}\}", line) if places(line) else ()
        except BadTemplate:
            continue  # told by the rendering check, with its line


def _without_places(body: str) -> str:
    return re.sub(r"\{\{.*?\}\}|\{#.*?\}|\]\([^)]*\)", " ", body)


def _first_difference(ours: list[Any], theirs: list[Any]) -> str:
    for place, (one, other) in enumerate(zip(ours, theirs, strict=False), 1):
        if one != other:
            return f"number {place} is {_said(one)} in English and {_said(other)} here"
    return f"{len(ours)} in English and {len(theirs)} here"


def _said(one: Any) -> str:
    return " ".join(one) if isinstance(one, tuple) else str(one)


def _listed(counter: Counter[str]) -> str:
    return ", ".join(f"{name} ({count} times)" if count > 1 else name for name, count in counter.items())

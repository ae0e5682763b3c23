"""The content of the site: bank, lessons and clearance rules, read once when the application is made.

Files do not change while the program runs, so this is no state: every process reads the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import cast

from flask import Flask, current_app
from werkzeug.local import LocalProxy

from trainer.clearance import JobRule, Rules, load_job_rules
from trainer.errors import ContentError
from trainer.learning import BadParameters, Parameters, load_parameters
from trainer.lessons import Library, Renderer, Search, Urls, load_lessons, rules_as_read
from trainer.paths import content_dir
from trainer.questions import Bank, load_bank

CONTENT = "trainer.content"
LEARNING = "learning.toml"


@dataclass(frozen=True, slots=True)
class Content:
    """Everything read from lessons/ and question_bank/.

    problems: what is wrong with the files, or the parts of files, that were left out; paths from the content folders
    """

    bank: Bank
    library: Library
    renderer: Renderer
    search: Search
    rules: Rules
    job_rules: tuple[JobRule, ...]
    learning: Parameters
    problems: tuple[ContentError, ...] = ()


content = cast(Content, LocalProxy(lambda: current_app.extensions[CONTENT]))


def load_content(question_bank: Path | None = None, lessons: Path | None = None) -> Content:
    """Read the content folders (the shipped ones by default).

    A broken file is left out and listed in `problems`, and stops no other. Of clearances.toml and tasks.toml each
    broken table is left out, and with it every clearance that rests on it: nobody is cleared by what was not read.
    """
    bank = load_bank(question_bank)
    library = load_lessons(lessons)
    rules, misread = rules_as_read(bank, library, question_bank)
    # The addresses are those of views/lessons.py, views/practice.py and views/calculations.py; a test follows every
    # link of every lesson.
    urls = Urls("/lessons/{}".format, "/practice/{}".format, "/calculations/{}?{}".format)
    job_rules, unread = _job_rules(rules, question_bank)
    problems = [
        ContentError(f"{folder}/{problem.path}", problem.line, problem.sentence)
        for folder, those in (
            ("question_bank", [*bank.problems, *misread, *unread]),
            ("lessons", library.problems),
        )
        for problem in those
    ]
    learning = _parameters(question_bank, problems)
    return Content(
        bank,
        library,
        Renderer(library, bank, urls),
        Search(library),
        rules,
        job_rules,
        learning,
        tuple(problems),
    )


def _job_rules(rules: Rules, folder: Path | None) -> tuple[tuple[JobRule, ...], tuple[ContentError, ...]]:
    """The rules of the job check, or none and why: then nobody may go on any job."""
    if folder is not None and not (folder / "jobs.toml").exists():
        return (), ()
    try:
        return load_job_rules(rules, folder), ()
    except ContentError as problem:
        return (), (problem,)


def _parameters(folder: Path | None, problems: list[ContentError]) -> Parameters:
    """The figures of learning.toml; the shipped ones where a folder has none or they cannot be used."""
    shipped = content_dir("question_bank") / LEARNING
    path = shipped if folder is None else folder / LEARNING
    try:
        return load_parameters(path if path.exists() else shipped)
    except BadParameters as error:
        problems.append(ContentError(f"question_bank/{LEARNING}", 0, str(error)))
        return load_parameters(shipped)


def supply(app: Flask, read: Content | None) -> None:
    """Make the content known to the application: what was read already, else what the folders hold."""
    app.extensions[CONTENT] = read or load_content()
    app.jinja_env.globals["content"] = content

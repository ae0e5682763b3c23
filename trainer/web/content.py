"""The content of the site: bank, lessons and clearance rules, read once when the application is made.

Files do not change while the program runs, so this is no state: every process reads the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from flask import Flask, current_app
from werkzeug.local import LocalProxy

from trainer.clearance import Rules
from trainer.errors import ContentError
from trainer.learning import BadParameters, Parameters, load_parameters
from trainer.lessons import Library, Renderer, Urls, load_lessons, shop_rules
from trainer.paths import content_dir
from trainer.questions import Bank, load_bank

CONTENT = "trainer.content"


@dataclass(frozen=True, slots=True)
class Content:
    """Everything read from lessons/ and question_bank/."""

    bank: Bank
    library: Library
    renderer: Renderer
    rules: Rules
    learning: Parameters


content = cast(Content, LocalProxy(lambda: current_app.extensions[CONTENT]))


def load_content() -> Content:
    """Read the content folders.

    A broken lesson or question is left out and listed in its `problems`; a broken clearance, task or learning file raises
    ContentError, for nobody may be cleared by rules that could not be read.
    """
    bank = load_bank()
    library = load_lessons()
    # The addresses are those of views/lessons.py, views/practice.py and views/calculations.py; a test follows every
    # link of every lesson.
    urls = Urls("/lessons/{}".format, "/practice/{}".format, "/calculations/{}?{}".format)
    return Content(bank, library, Renderer(library, bank, urls), shop_rules(bank, library), _parameters())


def _parameters() -> Parameters:
    try:
        return load_parameters(content_dir("question_bank") / "learning.toml")
    except BadParameters as error:
        raise ContentError("learning.toml", 0, str(error)) from error


def supply(app: Flask, read: Content | None) -> None:
    """Make the content known to the application: what was read already, else what the folders hold."""
    app.extensions[CONTENT] = read or load_content()
    app.jinja_env.globals["content"] = content

"""The lessons: Markdown with front matter, figures, live worked examples and things to try.

load_lessons     read lessons/, each file checked; what is wrong is listed and left out
Renderer         a lesson as HTML with a shop's figures in it, cached
parts            that HTML cut at its sections
shop_rules       the rules of clearance, fitted to the lessons and the bank
check_lessons    every lesson rendered, every broken rule and difference between the languages reported
"""

from __future__ import annotations

from trainer.lessons.library import Lesson, Library, load_lessons
from trainer.lessons.markdown import Section
from trainer.lessons.parts import Part, parts
from trainer.lessons.rendering import Rendered, Renderer, Urls
from trainer.lessons.rules import rules_as_read, shop_rules

__all__ = [
    "Lesson",
    "Library",
    "Part",
    "Rendered",
    "Renderer",
    "Section",
    "Urls",
    "load_lessons",
    "parts",
    "rules_as_read",
    "shop_rules",
]

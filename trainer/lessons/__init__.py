"""The lessons: Markdown with front matter, figures, live worked examples and things to try.

load_lessons     read lessons/, each file checked; what is wrong is listed and left out
Renderer         a lesson as HTML with a shop's figures in it, cached
cut_at_sections  that HTML in its parts
shop_rules       the rules of clearance, fitted to the lessons and the bank
Search           finds words in the lessons and the glossary, in both languages
check_course     every lesson rendered, every broken rule and difference between the languages reported
"""

from __future__ import annotations

from trainer.lessons.library import Lesson, Library, load_lessons
from trainer.lessons.markdown import Section
from trainer.lessons.rendering import Rendered, Renderer, Urls
from trainer.lessons.rules import rules_as_read, shop_rules
from trainer.lessons.search import Search
from trainer.lessons.sections import Part, cut_at_sections

__all__ = [
    "Lesson",
    "Library",
    "Part",
    "Rendered",
    "Renderer",
    "Search",
    "Section",
    "Urls",
    "cut_at_sections",
    "load_lessons",
    "rules_as_read",
    "shop_rules",
]

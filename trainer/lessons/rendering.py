"""A lesson as HTML, with a shop's figures, drawings and worked examples in it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.lessons.directives import directives
from trainer.lessons.glossary import Term
from trainer.lessons.library import Lesson, Library, work_all
from trainer.lessons.markdown import Page, Section, render
from trainer.lessons.values import template_values
from trainer.questions import Bank
from trainer.questions.template import BadTemplate, fill

MOST_CACHED: Final = 256


@dataclass(frozen=True, slots=True)
class Urls:
    """Where a lesson, a question's practice and a calculation with its numbers (name, query) are found, so that this
    layer knows nothing of the web."""

    lesson: Callable[[str], str] = "/lessons/{}".format
    question: Callable[[str], str] = "/practice/{}".format
    calculation: Callable[[str, str], str] = "/calculations/{}?{}".format


@dataclass(frozen=True, slots=True)
class Rendered:
    """A lesson ready to show.

    language: of the words; translated: whether that is the language asked for (if not, the page says so)
    html: safe; sections: its second-level headings; tries: the questions it links to, in order
    terms: the glossary's terms that it uses, by their names; each is linked to `#term-ID` where it is first used
    """

    lesson: Lesson
    language: str
    translated: bool
    html: str
    sections: tuple[Section, ...]
    tries: tuple[str, ...]
    problems: tuple[ContentError, ...]
    terms: tuple[Term, ...]


@dataclass(slots=True)
class Renderer:
    """Renders the lessons of one library, and keeps what it rendered.

    bank: where the questions to try are looked up; None takes every question's name as given
    """

    library: Library
    bank: Bank | None = None
    urls: Urls = field(default_factory=Urls)
    _kept: OrderedDict[tuple[Any, ...], Rendered] = field(default_factory=OrderedDict)

    def render(self, id: str, shop: Mapping[str, Any] = DEFAULT_SHOP, language: str = "en") -> Rendered:
        """The lesson with the figures of `shop` in `language`, in English when it is not translated.

        Raises UnknownName when there is no such lesson; mistakes in its text are listed in `problems`.
        """
        lesson = self.library.lesson(id, language)
        key = (lesson.hash, language, tuple(sorted(shop.items())))
        kept = self._kept.get(key)
        if kept is None:
            kept = self._render(lesson, shop, language)
            self._kept[key] = kept
            if len(self._kept) > MOST_CACHED:
                self._kept.popitem(last=False)
        return kept

    def _render(self, lesson: Lesson, shop: Mapping[str, Any], language: str) -> Rendered:
        words = lesson.language
        examples = work_all(lesson.examples, shop)
        page = Page(
            lesson.path,
            directives(examples, shop, words, self.bank, self.urls),
            resolve=self._address,
            finder=self.library.glossary.finders[words],
        )
        text = _filled(lesson, template_values(lesson, examples, shop, words), page)
        html = render(text, page, lesson.first)
        for id, line in page.within:
            if id not in page.ids:
                page.problem(line, f"no heading here has the id {id!r}.")
        return Rendered(
            lesson,
            words,
            words == language,
            html,
            tuple(page.sections),
            tuple(page.tries),
            tuple(page.problems),
            tuple(term for term in self.library.glossary.sorted(words) if term.id in page.terms),
        )

    def _address(self, href: str) -> str:
        """The address of a link between lessons or to a question; ValueError with a sentence for any other."""
        kind, _, id = href.partition(":")
        if kind == "lesson":
            if id not in self.library.ids:
                raise ValueError(f"there is no lesson {id!r}; there are {', '.join(self.library.ids)}.")
            return self.urls.lesson(id)
        if kind == "question":
            if self.bank is not None and id not in self.bank.questions:
                raise ValueError(f"there is no question {id!r} in the bank.")
            return self.urls.question(id)
        raise ValueError(
            f"the link {href!r} leads nowhere; write lesson:ID, question:ID, #section or a web address."
        )


def _filled(lesson: Lesson, values: Mapping[str, Any], page: Page) -> str:
    """The body with its places filled line by line, so that a mistake is found on its line and spoils no other."""
    lines = []
    for number, line in enumerate(lesson.body.split("\n"), lesson.first):
        try:
            lines.append(fill(line, values) if "{{" in line or "{%" in line else line)
        except BadTemplate as bad:
            page.problem(number, f"{bad.sentence}.")
            lines.append(line)
    return "\n".join(lines)

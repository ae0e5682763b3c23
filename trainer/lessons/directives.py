"""What a named fence of a lesson becomes.

figure      a drawing of an example                working     the worked solution of an example
try         links that open practice               checklist   the field checklist
danger, warning, caution, notice                   a caution box with its signal word
differ      where common practice and the published sources differ
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from html import escape
from typing import TYPE_CHECKING, Any, Final

from trainer import calc
from trainer.calc import Evaluation, typed
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.lessons.markdown import Page, render
from trainer.questions import Bank, NoDraw, draw

if TYPE_CHECKING:
    from trainer.lessons.rendering import Urls

Directive = Callable[[str, Page, int], str]

# The signal words of ANSI Z535: what follows is death, could be death, is a lesser injury, is damage only.
SIGNALS: Final = {
    "danger": Text(en="Danger", es="Peligro"),
    "warning": Text(en="Warning", es="Advertencia"),
    "caution": Text(en="Caution", es="Precaución"),
    "notice": Text(en="Notice", es="Aviso"),
}
NOT_HERE: Final = Text(
    en="This example does not work with this shop's figures:",
    es="Este ejemplo no sale con las cifras de este taller:",
)
OTHER_NUMBERS: Final = Text(en="Work it with other numbers", es="Calcularlo con otros números")
NAMES: Final = ("figure", "working", "try", "checklist", "differ", *SIGNALS)


def directives(
    examples: Mapping[str, Evaluation | Refusal],
    shop: Mapping[str, Any],
    language: str,
    bank: Bank | None,
    urls: Urls,
) -> dict[str, Directive]:
    """The function of every fence name for one lesson in one shop."""

    def example(page: Page, name: str, line: int) -> Evaluation | Refusal | None:
        found = examples.get(name)
        if found is None:
            page.problem(line, f"there is no example {name!r}; there are {', '.join(examples) or 'none'}.")
        return found

    def refused(refusal: Refusal) -> str:
        """Why there is no sum or drawing here in this shop; the check finds it when it is so in every shop."""
        words = f"{NOT_HERE.in_language(language)} {refusal.in_language(language)}"
        return _boxed("notice", SIGNALS["notice"].in_language(language), f"<p>{escape(words)}</p>")

    def figure(content: str, page: Page, line: int) -> str:
        head, _, caption = content.strip().partition("\n")
        name, _, of = head.strip().partition(" ")
        evaluation = example(page, of.strip(), line)
        if evaluation is None:
            return ""
        if isinstance(evaluation, Refusal):
            return refused(evaluation)
        from trainer import drawings

        try:
            projection = shop["projection"] if name == "crown.section" else None
            drawing = drawings.draw(name, evaluation, language, projection=projection)
        except UnknownName as unknown:
            page.problem(line, str(unknown))
            return ""
        except Refusal as refusal:
            if shop == calc.DEFAULT_SHOP:
                page.problem(line, str(refusal))
            return refused(refusal)
        words = (
            f"<figcaption>{_inline(render(caption, page, line + 1, nested=True, linking=False))}</figcaption>"
            if caption
            else ""
        )
        return f'<figure class="drawing">{drawing.svg}{words}</figure>\n'

    def working(content: str, page: Page, line: int) -> str:
        evaluation = example(page, content.strip(), line)
        if isinstance(evaluation, Refusal):
            return refused(evaluation)
        if evaluation is None:
            return ""
        address = urls.calculation(evaluation.calculation.name, typed.query(evaluation, shop, language))
        link = f'<a class="tap" href="{escape(address)}">{OTHER_NUMBERS.in_language(language)}</a>'
        return f"{calc.working.as_html(evaluation, language)}<p>{link}</p>\n"

    def tries(content: str, page: Page, line: int) -> str:
        items = []
        for place, id in enumerate(content.split("\n")):
            if not id.strip():
                continue
            asked = _asked(bank, id.strip(), shop, language)
            if asked is None:
                page.problem(line + place, f"there is no question {id.strip()!r} in the bank.")
                continue
            page.tries.append(id.strip())
            items.append(f'<li><a href="{escape(urls.question(id.strip()))}">{escape(asked)}</a></li>')
        return f'<ul class="tries">{"".join(items)}</ul>\n'

    def checklist(content: str, page: Page, line: int) -> str:
        html = render(content, page, line, nested=True)
        if not html.startswith("<ul>"):
            page.problem(line, "a checklist holds a list; begin each line with a dash.")
        return html.replace("<ul>", '<ul class="checklist">', 1)

    def differ(content: str, page: Page, line: int) -> str:
        return f'<section class="differ">{render(content, page, line, nested=True)}</section>\n'

    made: dict[str, Directive] = {
        "figure": figure,
        "working": working,
        "try": tries,
        "checklist": checklist,
        "differ": differ,
    }
    return made | {name: _caution(name, word.in_language(language)) for name, word in SIGNALS.items()}


def _caution(name: str, word: str) -> Directive:
    def box(content: str, page: Page, line: int) -> str:
        return _boxed(name, word, render(content, page, line, nested=True))

    return box


def _boxed(name: str, word: str, inside: str) -> str:
    return f'<aside class="caution caution-{name}" role="note"><p class="signal-word">{word}</p>{inside}</aside>\n'


def _inline(html: str) -> str:
    """A caption's HTML without the paragraph round it."""
    return re.sub(r"^<p>(.*)</p>\s*$", r"\1", html, flags=re.DOTALL)


def _asked(bank: Bank | None, id: str, shop: Mapping[str, Any], language: str) -> str | None:
    """The words of a question's link: its first skill and what it asks; its id when there is no bank to look in."""
    if bank is None:
        return id
    question = bank.questions.get(id)
    if question is None:
        return None
    skill = bank.skills[question.skills[0]].name.in_language(language) if bank.skills else id
    try:
        text = draw(question, 1, shop).text.in_language(language)
    except NoDraw:
        return skill
    asked = re.split(r"(?<=[.!?:])\s+", text.strip())[-1]
    return f"{skill}: {asked[:1].upper()}{asked[1:]}"

"""The one Markdown reader: CommonMark with tables, raw HTML off, and four rules of the lessons.

heading ids      `## Why it matters {#why}`; without one, the id comes from the words
terms            the first use of a term in running text is linked to its meaning at the end of the lesson
links            `lesson:ID`, `question:ID`, `#section` and web addresses; anything else is a mistake
fences           every named fence is a directive (directives.py); an unknown name is a mistake
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Any, Final

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

from trainer.errors import ContentError
from trainer.lessons.glossary import Finder

HEADING_ID: Final = re.compile(r"\s*\{#([A-Za-z][\w-]*)\}\s*$")


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a lesson headed by a second-level heading."""

    id: str
    title: str


@dataclass(slots=True)
class Page:
    """What rendering one lesson gathers; nested Markdown shares it.

    directives: fence name → function of (content, page, line) giving safe HTML
    resolve: the address of a `lesson:` or `question:` link; raises ValueError with a sentence for an unknown one
    finder: finds the glossary's terms in the page's language; terms: those found so far, in the order of first use
    """

    path: str
    directives: dict[str, Callable[[str, Page, int], str]]
    resolve: Callable[[str], str]
    finder: Finder = field(default_factory=lambda: Finder(None, {}))
    terms: list[str] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)
    ids: set[str] = field(default_factory=set)
    within: list[tuple[str, int]] = field(default_factory=list)
    tries: list[str] = field(default_factory=list)
    problems: list[ContentError] = field(default_factory=list)

    def problem(self, line: int, sentence: str) -> None:
        self.problems.append(ContentError(self.path, line, sentence))


@dataclass(frozen=True, slots=True)
class Place:
    """Where a piece of Markdown stands: its page, the file's line of its first line, whether it is nested, and
    whether terms are linked in it."""

    page: Page
    first: int
    nested: bool = False
    linking: bool = True


def render(text: str, page: Page, first: int, nested: bool = False, linking: bool = True) -> str:
    """Markdown as HTML; `first` is the line of the file on which it starts."""
    return str(_MARKDOWN.render(text, {"place": Place(page, first, nested, linking)}))


def tokens(text: str) -> Sequence[Token]:
    """The tokens of a lesson's body, for comparing lessons; nothing is resolved."""
    return _MARKDOWN.parse(text, {})


def section_ids(text: str) -> tuple[str, ...]:
    """The ids of the second-level headings of a lesson's body, without reading anything inside a line."""
    opened = [
        token for token in _BLOCKS.parse(text, {}) if token.type == "heading_open" and token.tag == "h2"
    ]
    return tuple(str(token.attrGet("id")) for token in opened)


def slug(words: str) -> str:
    """An id made from a heading's words."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "section"


def _heading_ids(state: StateCore) -> None:
    place: Place | None = state.env.get("place")
    for opening, inline in zip(state.tokens, state.tokens[1:], strict=False):
        if opening.type != "heading_open":
            continue
        found = HEADING_ID.search(inline.content)
        if found:
            inline.content = inline.content[: found.start()]
        id = found[1] if found else slug(inline.content)
        opening.attrSet("id", id)
        if place is not None:
            _note_heading(place, opening, id, inline.content)


def _note_heading(place: Place, opening: Token, id: str, title: str) -> None:
    page, line = place.page, place.first + (opening.map[0] if opening.map else 0)
    if opening.tag == "h1":
        page.problem(line, "the title stands in the front matter; begin headings with ##.")
    if id in page.ids:
        page.problem(line, f"two headings have the id {id!r}; give one of them another {{#id}}.")
    page.ids.add(id)
    if opening.tag == "h2" and not place.nested:
        page.sections.append(Section(id, re.sub(r"[*_`]", "", title)))


def _links(state: StateCore) -> None:
    place: Place | None = state.env.get("place")
    if place is None:
        return
    for token in state.tokens:
        line = place.first + (token.map[0] if token.map else 0)
        for child in token.children or ():
            if child.type in ("softbreak", "hardbreak"):
                line += 1
            elif child.type == "link_open":
                child.attrSet("href", _address(place.page, str(child.attrGet("href") or ""), line))
            elif child.type == "image":
                place.page.problem(line, "pictures come from the drawings; use a fence named figure.")


def _running_text(state: StateCore) -> None:
    """Words that stand on two lines become one text, and text of headings and links is marked as not to be linked in."""
    heading = False
    for token in state.tokens:
        heading = token.type == "heading_open" or (heading and token.type != "heading_close")
        joined: list[Token] = []
        links = 0
        for child in token.children or ():
            links += (child.type == "link_open") - (child.type == "link_close")
            if child.type == "softbreak":
                child = Token("text", "", 0, content="\n")
            if child.type != "text":
                joined.append(child)
                continue
            quiet = heading or links > 0
            if joined and joined[-1].type == "text" and ("quiet" in joined[-1].meta) == quiet:
                joined[-1].content += child.content
            else:
                child.meta = {"quiet": True} if quiet else {}
                joined.append(child)
        if token.children is not None:
            token.children = joined


def _text(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    """Text with the terms in it that the page has not used before; rendering goes through the page from top to end."""
    token = tokens[index]
    place: Place | None = env.get("place")
    if place is None or not place.linking or "quiet" in token.meta:
        return escape(token.content)
    page, parts, at = place.page, [], 0
    for start, end, id in page.finder.found(token.content):
        if id not in page.terms:
            page.terms.append(id)
            words = escape(token.content[start:end])
            parts += [escape(token.content[at:start]), f'<a class="term" href="#term-{id}">{words}</a>']
            at = end
    return "".join([*parts, escape(token.content[at:])])


def _address(page: Page, href: str, line: int) -> str:
    kind, _, rest = href.partition(":")
    if kind in ("http", "https") and rest.startswith("//"):
        return href
    if href.startswith("#"):
        page.within.append((href[1:], line))
        return href
    try:
        return page.resolve(href)
    except ValueError as wrong:
        page.problem(line, str(wrong))
        return "#"


def _fence(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    token = tokens[index]
    name = token.info.strip()
    place: Place | None = env.get("place")
    if place is None or not name:
        return f"<pre><code>{escape(token.content)}</code></pre>\n"
    line = place.first + (token.map[0] if token.map else 0)
    directive = place.page.directives.get(name)
    if directive is None:
        place.page.problem(
            line, f"there is no fence named {name!r}; there are {', '.join(sorted(place.page.directives))}."
        )
        return ""
    # The content starts on the line after the fence's own.
    return directive(token.content, place.page, line + 1)


def _image(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    return escape(tokens[index].content)


def _table_open(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    # A wide table scrolls inside its own box on a phone, and by keyboard.
    return '<div class="table-box" tabindex="0"><table>\n'


def _table_close(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    return "</table></div>\n"


def _made() -> MarkdownIt:
    markdown = MarkdownIt("js-default", {"html": False, "linkify": False, "typographer": False})
    markdown.core.ruler.after("block", "heading_ids", _heading_ids)
    markdown.core.ruler.push("lesson_links", _links)
    markdown.core.ruler.push("running_text", _running_text)
    rules: dict[str, Any] = {
        "fence": _fence,
        "image": _image,
        "text": _text,
        "table_open": _table_open,
        "table_close": _table_close,
    }
    for name, rule in rules.items():
        markdown.add_render_rule(name, rule)
    return markdown


_MARKDOWN: Final = _made()
_BLOCKS: Final = _made()
_BLOCKS.core.ruler.disable(
    [rule for rule in _BLOCKS.get_active_rules()["core"] if rule not in ("normalize", "block", "heading_ids")]
)

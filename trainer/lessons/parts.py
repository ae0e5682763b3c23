"""A rendered lesson cut at its second-level headings, so that a page can say between them how far one has come."""

from __future__ import annotations

from typing import NamedTuple

from trainer.lessons.markdown import Section


class Part(NamedTuple):
    """One section with its heading. html: safe, as it was rendered."""

    section: Section
    html: str


def parts(html: str, sections: tuple[Section, ...]) -> tuple[str, tuple[Part, ...]]:
    """(what stands before the first section, each section); joined again they are `html`.

    sections: as they were gathered while `html` was rendered
    """
    starts = [html.index(f'<h2 id="{section.id}">') for section in sections]
    ends = [*starts[1:], len(html)]
    found = (
        Part(section, html[start:end]) for section, start, end in zip(sections, starts, ends, strict=True)
    )
    return html[: starts[0] if starts else len(html)], tuple(found)

"""The words of the trade, in both languages at once: a crew speaks both."""

from __future__ import annotations

from itertools import groupby

from flask import Blueprint, render_template

from trainer.languages import folded
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language

bp = Blueprint("glossary", __name__, url_prefix="/glossary")


@bp.get("")
@access(Access.SIGNED_IN)
def page() -> str:
    here = language()
    terms = content.library.glossary.sorted(here)
    first = groupby(terms, key=lambda term: folded(term.name.in_language(here))[0])
    return render_template("glossary/page.html", letters=[(letter, tuple(group)) for letter, group in first])

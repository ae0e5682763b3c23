"""Search in the lessons and the words of the trade."""

from __future__ import annotations

from flask import Blueprint, render_template, request

from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language, shop

bp = Blueprint("search", __name__, url_prefix="/search")


@bp.get("")
@access(Access.SIGNED_IN)
def page() -> str:
    asked = request.args.get("q", "")
    hits = content.search.find(asked, shop().standard, language())
    return render_template("search/page.html", asked=asked, hits=hits, title=content.library.title)

"""A lesson's drawing on a page of its own, large."""

from __future__ import annotations

from flask import Blueprint, abort, render_template

from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language, shop

bp = Blueprint("figures", __name__, url_prefix="/lessons")


@bp.get("/<lesson>/figures/<int:number>")
@access(Access.SIGNED_IN)
def page(lesson: str, number: int) -> str:
    if lesson not in content.library.ids:
        abort(404)
    rendered = content.renderer.render(lesson, shop().standard, language())
    if not 1 <= number <= len(rendered.figures):
        abort(404)
    return render_template("lessons/figure.html", rendered=rendered, number=number)

"""The shop standard: the shop's own figures, on one page."""

from __future__ import annotations

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from trainer.calc import standard
from trainer.errors import Refusal
from trainer.records import shop as shops
from trainer.web.access import Access, access
from trainer.web.current import now, person, shop, store
from trainer.web.forms.standard import standard_form
from trainer.web.i18n import _
from trainer.web.pages import done, refuse

bp = Blueprint("standard", __name__, url_prefix="/standard")


@bp.route("", methods=["GET", "POST"])
@access(Access.OWNER)
def page() -> str | Response:
    form = standard_form(shop().standard, shop().standard_mark)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                shops.change_standard(writing, person(), now(), form.figures(), form.made_from.data)
        except Refusal as refusal:
            refuse(form, refusal, made_from=_mark_now)
        else:
            return done(
                _("Saved. Lessons, questions and calculations use these figures from now on."),
                "standard.page",
            )
    with store.read() as reading:
        changes = shops.standard_history(reading, person())
    notices = standard.check_all(shop().standard)
    return render_template(
        "standard/page.html", form=form, fields=standard.FIELDS, notices=notices, changes=changes
    )


def _mark_now() -> str:
    with store.read() as reading:
        return shops.the_shop(reading).standard_mark

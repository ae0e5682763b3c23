"""The shop itself: its name, its clock, the language that new people begin with."""

from __future__ import annotations

from flask import Blueprint, render_template
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.records import shop as shops
from trainer.web.access import Access, access
from trainer.web.current import now, person, shop, store
from trainer.web.forms.shop import ShopForm
from trainer.web.i18n import _
from trainer.web.pages import done, refuse

bp = Blueprint("shop", __name__, url_prefix="/shop")


@bp.route("", methods=["GET", "POST"])
@access(Access.OWNER)
def page() -> str | Response:
    info = shop()
    form = ShopForm(name=info.name, zone=info.zone, language=info.language, made_from=info.mark)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                shops.change_shop(
                    writing,
                    person(),
                    now(),
                    name=form.name.data,
                    zone=form.zone.data,
                    language=form.language.data,
                    made_from=form.made_from.data,
                )
        except Refusal as refusal:
            refuse(form, refusal, made_from=_mark_now)
        else:
            return done(_("Saved."), "shop.page")
    return render_template("shop/page.html", form=form, now=now())


def _mark_now() -> str:
    with store.read() as reading:
        return shops.the_shop(reading).mark

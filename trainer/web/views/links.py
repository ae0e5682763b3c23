"""Private links: wallet cards with their page, and calendars. Whoever has such an address needs no sign-in.

A link that was withdrawn and one that never was give the same page; none of them is to be indexed or kept.
"""

from __future__ import annotations

import segno
from flask import Blueprint, Response, abort, g, make_response, render_template, request, url_for
from flask_babel import force_locale
from markupsafe import Markup
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response as AnyResponse

from trainer import printing
from trainer.calc.cautions import FALL
from trainer.errors import Refusal
from trainer.notices import calendar as calendars
from trainer.records import links, queries
from trainer.records.passwords import keyed_hash
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, shop, store
from trainer.web.forms import options
from trainer.web.forms.links import CalendarForm, CardsForm
from trainer.web.happened import USES
from trainer.web.i18n import LOCALES, _
from trainer.web.pages import back, done, refuse

bp = Blueprint("links", __name__)


@bp.after_request
def keep_private(response: AnyResponse) -> AnyResponse:
    """No search engine lists what is behind a link, and no other site is told the address."""
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers.setdefault("Cache-Control", "no-store")
    return response


@bp.route("/cards", methods=["GET", "POST"])
@access(Access.OWNER)
def cards() -> str | AnyResponse:
    """Print cards; each gets a new link. And every live link, to be withdrawn."""
    with store.read() as reading:
        page = queries.cards(reading, person(), now(), content.rules)
    form = CardsForm(language=g.language, people=request.args.getlist("person", type=int))
    form.people.choices = options((row.id, row.name) for row, _shown in page.people)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                keys = {id: _new_card(writing, form, id) for id in form.people.data}
        except Refusal as refusal:
            refuse(form, refusal, "people")
        else:
            chosen = [(shown, keys[row.id]) for row, shown in page.people if row.id in keys]
            return _sheet(chosen, form.language.data, form.paper.data)
    return render_template("links/cards.html", page=page, form=form, uses=USES)


def _new_card(writing: Session, form: CardsForm, person_id: int) -> str:
    key = links.make(
        writing, person(), now(), use=links.CARD, person_id=person_id, token=form.form_token.data
    )
    if form.withdraw.data:
        links.withdraw_others(writing, person(), now(), use=links.CARD, person_id=person_id, keep=key)
    return key


def _sheet(chosen: list[tuple[queries.CardView, str]], language: str, paper: str) -> Response:
    """The cards as PDF, in the language asked for."""
    spoken, g.language = g.language, language
    try:
        with force_locale(LOCALES[language]):
            shown = [(view, _code(url_for("links.card", key=key, _external=True))) for view, key in chosen]
            html = render_template("print/cards.html", cards=shown, fall=FALL)
    finally:
        g.language = spoken
    response = Response(printing.pdf(html, paper), mimetype="application/pdf")
    response.headers["Content-Disposition"] = "inline; filename=wallet-cards.pdf"
    return response


def _code(address: str) -> Markup:
    """The address as a QR code (ISO/IEC 18004), with the quiet zone of four modules that it asks for."""
    made = segno.make(address, error="m", micro=False)
    return Markup(made.svg_inline(border=4, omitsize=True, svgclass="code", lineclass=None))  # our own text


@bp.get("/card/<key>")
@access(Access.PUBLIC)
def card(key: str) -> str:
    """A name, the clearances in force today, their dates: nothing else."""
    with store.read() as reading:
        view = queries.card(reading, now(), key, content.rules)
    if view is None:
        abort(404)
    return render_template("links/card.html", view=view)


@bp.route("/calendar", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def calendar() -> str | AnyResponse:
    """Make the link to one's own calendar, shown this once; and the live ones."""
    uses = links.CALENDARS if person().may_review else (links.OWN_DAYS,)
    form = CalendarForm()
    form.use.choices = options((use, USES[use]) for use in uses)
    address = None
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                key = links.make(
                    writing,
                    person(),
                    now(),
                    use=form.use.data,
                    person_id=person().id,
                    token=form.form_token.data,
                )
        except Refusal as refusal:
            refuse(form, refusal)
        else:
            address = url_for("links.feed", key=key, _external=True)
    with store.read() as reading:
        live = queries.own_links(reading, person())
    return render_template("links/calendar.html", form=form, address=address, live=live, uses=USES)


@bp.get("/calendar/<key>.ics")
@access(Access.PUBLIC)
def feed(key: str) -> AnyResponse:
    """The days behind the link as iCalendar; unchanged since the last time, only that is said."""
    with store.read() as reading:
        link = links.opened(reading, key, *links.CALENDARS)
        if link is None:
            abort(404)
        whole = link.use == links.SHOP_DAYS
        days = queries.days(reading, now(), content.rules, None if whole else (link.person.id,))
    made = calendars.feed(
        days,
        shop=shop().name,
        zone=shop().zone,
        shop_mark=keyed_hash(shop().secret, "calendar"),
        language=link.person.language,
        whole=whole,
    )
    response = make_response(made)
    response.headers["Content-Type"] = "text/calendar; charset=utf-8"
    response.headers["Content-Disposition"] = "inline; filename=days.ics"
    response.headers["Cache-Control"] = "private, no-cache"  # kept, but asked about each time
    response.add_etag()
    return response.make_conditional(request)


@bp.post("/links/<int:link_id>/withdraw")
@access(Access.SIGNED_IN)
def withdraw(link_id: int) -> AnyResponse:
    with store.write() as writing:
        links.withdraw(writing, person(), now(), link_id)
    endpoint = "links.cards" if back("") == url_for("links.cards") else "links.calendar"
    return done(_("Withdrawn. The address leads nowhere now."), endpoint)

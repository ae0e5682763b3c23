"""Small things that every view does the same way.

back(default)                   where to return to, never off this site
done(message, endpoint, ...)    say that it is done and go on (303)
refuse(form, refusal, field)    put a refusal's sentence beside the field it is about
ShortInteger                    ids in addresses: no longer than a store can hold
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from flask import flash, redirect, request, url_for
from flask_wtf import FlaskForm
from werkzeug.routing import IntegerConverter
from werkzeug.wrappers import Response

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records.signin import TooManyTries
from trainer.records.submissions import ChangedMeanwhile, SentBefore
from trainer.web.forms import new_token
from trainer.web.i18n import said


def back(default: str) -> str:
    """The page named by the form's or address's `after`, else `default`.

    Only a plain path of this site is followed: an address with a host, or one that a browser would read as
    having one ("//host", a backslash, a control character), is not.
    """
    target = request.values.get("after", "")
    plain = target.startswith("/") and not target.startswith("//") and target.isprintable()
    if not plain or "\\" in target:
        return default
    try:
        parts = urlsplit(target)
    except ValueError:
        return default
    return default if parts.scheme or parts.netloc else target


def done(message: str, endpoint: str, **values: Any) -> Response:
    """Flash `message` and go to `endpoint`."""
    flash(message)
    return redirect(url_for(endpoint, **values), 303)


def refuse(
    form: FlaskForm,
    refusal: Refusal,
    field: str | None = None,
    made_from: Callable[[], str] | None = None,
) -> None:
    """Show the refusal in the reader's language beside `field`, or above the form when no field is named.

    What no change to the form would mend is raised again, for its own page: no such thing, not allowed, too
    many tries. A form that was sent before gets a new token, and one made from what has changed the new mark
    (`made_from` gives it), so that sending it once more counts.
    """
    if isinstance(refusal, (UnknownName, NotAllowed, TooManyTries)):
        raise refusal
    if isinstance(refusal, SentBefore) and "form_token" in form:
        form.form_token.data = new_token()
    if isinstance(refusal, ChangedMeanwhile) and made_from is not None:
        form.made_from.data = made_from()
    sentence = said(refusal)
    errors = form.form_errors if field is None else form[field].errors
    if isinstance(errors, list):
        errors.append(sentence)
    else:
        form[field].errors = [*errors, sentence]


class ShortInteger(IntegerConverter):
    """An id or a page number; a longer one is no address of this site, and would break the store's integers."""

    regex = r"\d{1,9}"

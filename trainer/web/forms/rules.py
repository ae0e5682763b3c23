"""Forms about the rules of clearance: what an owner decides, each with its reason."""

from __future__ import annotations

from typing import Final

from wtforms import HiddenField, RadioField, TextAreaField

from trainer.web.forms import Form, at_most, form_token_field, made_from_field, needed, options
from trainer.web.i18n import _l

STILL, ANEW = "still", "anew"
GRANTS: Final = (
    (STILL, _l("They still count, as long as everything asked for is met")),
    (ANEW, _l("They end; whoever is to have it needs a new grant")),
)


class DecideForm(Form):
    """What every decision has: the reason, a token, what it was made from, and what the owner was shown of it.

    looked: a mark of the effect on people that the page showed; a decision is only taken on what was seen
    """

    reason = TextAreaField(_l("Why"), validators=[needed(), at_most(1500)])
    form_token = form_token_field()
    made_from = made_from_field()
    looked = HiddenField(validators=[at_most(80)])


class AdoptForm(DecideForm):
    """Whether the program's own rules are taken over."""

    grants = RadioField(
        _l("Grants given before, for what changes"),
        choices=options(GRANTS),
        default=STILL,
        validators=[needed()],
    )

"""Forms about a question that was wrong: which version and how it is mended, the confirmation, and an owner's look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wtforms import HiddenField, RadioField, TextAreaField
from wtforms.validators import InputRequired

from trainer.records.queries import AskedVersion
from trainer.records.regrade_plan import CORRECTED, FULL, LEFT_OUT
from trainer.web.forms import Form, at_most, form_token_field, made_from_field, needed, options
from trainer.web.i18n import _, _l, _n

LONGEST: Final = 2000  # letters
HOW: Final = {
    CORRECTED: _l("Grade the answers by the question as it is now"),
    FULL: _l("Everyone gets full credit for it"),
    LEFT_OUT: _l("Leave it out of the score"),
}
MEANS: Final = {
    CORRECTED: _l(
        "Each person keeps the numbers they had; the right answer is worked out again from the mended question."
    ),
    FULL: _l("Whatever they answered, and if they answered nothing."),
    LEFT_OUT: _l(
        "The score is made of the other questions. A skill whose only must-pass question is left out no longer counts "
        "as shown."
    ),
}


class ChooseForm(Form):
    """Which version of the question, and how it is mended. Sent by address, so that the page can be turned."""

    class Meta(Form.Meta):
        csrf = False

    version = RadioField(
        _l("Which version was wrong?"), coerce=int, validators=[InputRequired(_l("Choose one."))]
    )
    how = RadioField(
        _l("How is it mended?"), choices=options(HOW.items()), validators=[InputRequired(_l("Choose one."))]
    )

    def known(self, versions: Sequence[AskedVersion]) -> None:
        """Offer the versions that stand on papers."""
        self.version.choices = options((one.version, _on_papers(one)) for one in versions)
        if len(versions) == 1 and self.version.data is None:
            self.version.data = versions[0].version


class ConfirmForm(Form):
    """The reason, and a mark of what the page showed; nothing else is done."""

    version = HiddenField(validators=[at_most(9)])
    how = HiddenField(validators=[at_most(20)])
    reason = TextAreaField(_l("What was wrong with the question"), validators=[needed(), at_most(LONGEST)])
    form_token = form_token_field()
    made_from = made_from_field()


class SettleForm(Form):
    """What an owner decided about a grant in doubt."""

    note = TextAreaField(_l("What you decided, and why"), validators=[needed(), at_most(LONGEST)])


def settle_form(doubt_id: int) -> SettleForm:
    """The form of one doubt; there may be several on one page."""
    return SettleForm(prefix=f"doubt{doubt_id}-")


def _on_papers(one: AskedVersion) -> str:
    on = _n("on %(num)d paper", "on %(num)d papers", one.papers)
    out = _n("%(num)d of them still out", "%(num)d of them still out", one.still_out)
    said = _("Version %(version)d: %(on)s", version=one.version, on=on)
    return f"{said}, {out}" if one.still_out else str(said)

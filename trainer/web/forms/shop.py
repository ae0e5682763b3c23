"""The form of the shop itself: name, time zone, language."""

from __future__ import annotations

from typing import Final
from zoneinfo import available_timezones

from wtforms import RadioField, SelectField, StringField

from trainer.web.forms import Form, at_most, made_from_field, needed, options
from trainer.web.i18n import NAMES, _l

# The zones of the United States that differ today, from east to west; every other zone stands below them.
NEAR: Final = (
    "America/New_York",
    "America/Chicago",
    "America/Denver",
    "America/Phoenix",
    "America/Los_Angeles",
    "America/Anchorage",
    "Pacific/Honolulu",
    "America/Puerto_Rico",
)
CHOOSE: Final = _l("Choose one of the list.")


class ShopForm(Form):
    """What the owner can change of the shop."""

    name = StringField(_l("Name of the shop"), validators=[needed(), at_most(200)])
    zone = SelectField(_l("Time zone"), validators=[needed()], invalid_choice_message=CHOOSE)
    language = RadioField(
        _l("Language of new people"),
        choices=options(NAMES.items()),
        validators=[needed()],
        invalid_choice_message=CHOOSE,
    )
    made_from = made_from_field()

    def __init__(self, **given: str) -> None:
        super().__init__(**given)
        known = {*NEAR, given["zone"]}
        others = sorted(zone for zone in available_timezones() if "/" in zone and zone not in known)
        first = [*NEAR] if given["zone"] in NEAR else [given["zone"], *NEAR]
        self.zone.choices = options((zone, zone) for zone in (*first, *others))

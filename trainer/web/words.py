"""Words that several pages share: roles, sources, units, signal words, symbols."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from flask import Flask
from markupsafe import Markup

from trainer.calc.sources import source
from trainer.calc.units import KINDS, unit_named
from trainer.calc.working import html_symbols
from trainer.clearance.needs import needed
from trainer.languages import Text
from trainer.questions.drawn import DrawnSlip
from trainer.questions.preview import slips
from trainer.questions.writing import written
from trainer.web.current import language
from trainer.web.i18n import _, _l, local

ROLES: Final = {"apprentice": _l("New hire"), "trainer": _l("Trainer"), "owner": _l("Owner")}

# The signal words of ANSI Z535: how a caution of a content file begins in English.
SIGNALS: Final = ("danger", "warning", "caution", "notice")


def role_names(roles: Collection[str]) -> str:
    """The roles in words, always in the same order."""
    return ", ".join(str(name) for role, name in ROLES.items() if role in roles)


def source_title(source_id: str) -> str:
    """The title of a source in the reader's language."""
    return local(source(source_id).title)


def unit_name(unit: str) -> str:
    """The unit as it stands after an answer field; nothing for a bare count."""
    return unit_named(unit).many.in_language(language())


def how_to_type(unit: str) -> str:
    """Examples of how a quantity of this unit is typed."""
    examples = KINDS[unit_named(unit).kind].examples
    return str(_("For example: %(examples)s", examples=local(examples)))


KIND_NAMES: Final = {
    "number": _l("a number"),
    "choose": _l("choose one"),
    "several": _l("choose all that fit"),
    "order": _l("put in order"),
    "linked": _l("linked numbers"),
    "faults": _l("find the faults"),
}


def kind_name(kind: str) -> str:
    """A kind of question in the reader's words."""
    return str(KIND_NAMES[kind])


def slip_value(slip: DrawnSlip, unit: str) -> str:
    """Where a slip leads, as the trade writes it."""
    return written(slip.value, unit).in_language(language())


def signal_of(caution: Text) -> tuple[str, str]:
    """A caution's level and its sentence in the reader's language without the signal word it begins with."""
    level = caution.en.partition(":")[0].lower()
    if level not in SIGNALS:
        return "warning", local(caution)
    sentence = local(caution).partition(":")[2].strip()
    return level, sentence[:1].upper() + sentence[1:]


def symbol(text: str) -> Markup:
    """A quantity's symbol as it stands on the board: "L_c" with its mark below the line."""
    return Markup(html_symbols(text))  # escaped there


def plain(value: float) -> str:
    """A number without needless digits: 12.0 -> "12", 11.5 -> "11.5"."""
    return f"{round(value, 2):g}"


def took(seconds: float) -> str:
    """A length of time: "45 s", "3 min", "2 h 5 min"."""
    if seconds < 100:
        return f"{seconds:.0f}\u00a0s"
    minutes = round(seconds / 60)
    hours, rest = divmod(minutes, 60)
    return f"{hours}\u00a0h {rest}\u00a0min" if hours else f"{minutes}\u00a0min"


def teach(app: Flask) -> None:
    """Offer the words to templates."""
    app.jinja_env.globals.update(
        role_names=role_names,
        source_title=source_title,
        unit_name=unit_name,
        how_to_type=how_to_type,
        signal_of=signal_of,
        symbol=symbol,
        needed=needed,
        took=took,
        slips=slips,
        value=slip_value,
        plain=plain,
    )
    app.jinja_env.filters.update(needed_in=needed, extract=lambda key, table: table[key])
    app.jinja_env.filters.update(kind_name=kind_name, source_title=source_title)

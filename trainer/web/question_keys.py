"""What each key of a question file says, for the page that shows how one is added."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from trainer.web.i18n import _l


class Key(NamedTuple):
    """A key or table of a question file, as it stands there, and what it holds."""

    name: str
    says: Any


KEYS: Final = (
    Key("version", _l("1 for a new question. Raise it with every change to what is asked: the numbers are then drawn afresh.")),
    Key("skills", _l("The skills it tests, by their names in skills.toml. It is listed under the first one.")),
    Key("level", _l("1 one step, 2 two or three steps, 3 the whole way from the tape.")),
    Key("must_pass", _l("true when a wrong answer can hurt someone. Only a fully right answer then counts.")),
    Key("sources", _l("Where the facts come from. “common-practice” when the trade does it so and no source says it.")),
    Key("kind", _l("What is asked for: number, choose, several, order, linked or faults.")),
    Key("[text]", _l("The job in both languages. {{ name }} stands for a given, and both languages use the same ones.")),
    Key("[given.NAME]", _l("A number or word of the job: low, high and step; or list; or value; or shop, the shop's own figure; or a calculation and result of givens above.")),
    Key("[answer]", _l("Which calculation answers it and which of its results; the unit asked for; the tolerance of the trade: a length, a percent, or exact. A given with the name of an input is its value.")),
    Key("[[slip]]", _l("A known way to go wrong: change an input to half, double, zero or none, or name another result, and say what happened. Mix-ups of units are tried by themselves.")),
    Key("[consequence]", _l("What too little (short) or too much (over) does on the job. {{ difference }} and {{ given }} are filled in.")),
    Key("[hints]", _l("Up to three, from which sizes matter to the first step of the working. None may say the answer.")),
    Key("[figure]", _l("The name of a drawing and which sizes may stand on it before the answer.")),
    Key("[field]", _l("From where to where such an answer lies on a real job. Numbers outside it are drawn again.")),
)  # fmt: skip

KINDS: Final = (
    Key("number", _l("One number with its unit: [answer], and slips.")),
    Key("choose", _l("One option fits: [[option]] with right = true on one, why on the others, and [because].")),
    Key("several", _l("Two or more fit: five to eight [[option]], each with why.")),
    Key("order", _l("Steps to put in order: [[step]] in a right order, and [[rule]] with what comes before what, and why.")),
    Key("linked", _l("Numbers that follow from one another: [[part]] with [part.answer] and [[part.slip]].")),
    Key("faults", _l("A drawn chimney top to look over: [faults] says which may occur and how many.")),
)  # fmt: skip

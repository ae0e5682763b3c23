"""From what a person types to the values a calculation takes; the text edge of the core."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from trainer.calc import entries, notation, tiles
from trainer.calc.allowed import allowed
from trainer.calc.entries import takes_minus
from trainer.calc.openings import Flue
from trainer.calc.spec import Calculation, Input
from trainer.errors import Refusal, Unreadable
from trainer.languages import Text

SIDES = {"outside": Text("outside", "por fuera"), "inside": Text("inside", "por dentro")}
NONE_WORDS = frozenset({"", "none", "no", "ninguno"})


def read_input(each: Input, text: str, language: str = "en") -> Any:
    """One typed value in the input's unit: an exact Fraction, a `Flue`, an `Entry`, a date or a choice.

    Raises Refusal naming the input, what was given and what is allowed.
    """
    if each.kind == "choice":
        return _read_choice(each, text)
    try:
        if each.kind == "flue":
            return _read_flue(each, text)
        if each.kind == "date":
            return entries.read_date(text)
        if each.parts:
            return entries.read_entry(each.kind, each.parts, text, language)
        return notation.read(text, each.unit, language, signed=takes_minus(each)).value
    except Unreadable as unreadable:
        raise Refusal(
            Text(
                en="%(name)s (%(meaning)s): %(why)s Give %(allowed)s.",
                es="%(name)s (%(meaning)s): %(why)s Dé %(allowed)s.",
            ),
            name=each.name,
            meaning=each.meaning,
            why=Text(en=unreadable.in_language("en"), es=unreadable.in_language("es")),
            allowed=allowed(each),
        ) from None


def _read_flue(each: Input, text: str) -> Flue:
    """The flue typed; a round one at the side of its wall that the input is about."""
    shape, length, width = notation.read_flue(text)
    if shape == "rectangular":
        return Flue(shape, float(length), float(width))
    wanted = "outside" if each.measured == "outside" else "inside"
    diameter = tiles.round_size(float(length), shape.removeprefix("round").strip() or wanted, wanted)
    if diameter is None:
        raise Refusal(
            Text(
                en="%(name)s (%(meaning)s): no published wall is held for a round tile of %(given)s; measure it "
                "%(wanted)s and give that.",
                es="%(name)s (%(meaning)s): no hay una pared publicada para un tubo redondo de %(given)s; mídalo "
                "%(wanted)s y dé esa medida.",
            ),
            name=each.name,
            meaning=each.meaning,
            given=repr(text.strip()),
            wanted=SIDES[wanted],
        )
    return Flue("round", diameter, diameter)


def _read_choice(each: Input, text: str) -> str:
    """The choice meant by `text`: spaces and case do not count, and a bare number is enough."""

    def folded(choice: str) -> str:
        return "".join(choice.lower().split()).removesuffix("bag").rstrip("s")

    wanted = folded(text)
    for choice in each.choices:
        named = each.words.get(choice, Text(choice, choice))
        if wanted in (
            folded(choice),
            folded(choice).removesuffix("lb"),
            folded(choice).removeprefix("#"),
            folded(named.en),
            folded(named.es),
        ):
            return choice
    return text  # refused by the calculation's own check, which names the choices


def read_inputs(
    calculation: Calculation, texts: Mapping[str, str | Sequence[str]], language: str = "en"
) -> dict[str, Any]:
    """Every typed value of a calculation.

    texts: one text an input, or several for an input that takes many; "none" leaves such an input empty
    Raises Refusal on an unknown name, on a repeated value where one is taken, and on an unreadable value.
    """
    values: dict[str, Any] = {}
    for name, given in texts.items():
        each = calculation.input(name)
        many = [given] if isinstance(given, str) else list(given)
        if each.many:
            values[name] = [
                read_input(each, one, language) for one in many if one.strip().lower() not in NONE_WORDS
            ]
        elif len(many) != 1:
            raise Refusal(
                Text(
                    en="%(name)s was given %(count)d times; give it once.",
                    es="%(name)s se dio %(count)d veces; délo una vez.",
                ),
                name=name,
                count=len(many),
            )
        else:
            value = read_input(each, many[0], language)
            values[name] = float(value) if isinstance(value, Fraction) else value
    return values

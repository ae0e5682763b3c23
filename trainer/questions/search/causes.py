"""What a wrong number may come from: each way to go wrong, how likely it is, and the sentence that says it.

A cause is one change of one thing. Its sentence is made from the calculation's own words for its quantities, so it holds
for every calculation in both languages.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from trainer.calc import Input, Quantity
from trainer.calc.algebra import Traced
from trainer.calc.units import unit_named
from trainer.calc.working import Step, shown, with_numbers
from trainer.languages import Text
from trainer.questions.writing import written, written_input


class Way(NamedTuple):
    """One way to go wrong. weight: how likely beside the others, from experience in teaching, no source."""

    weight: float
    says: Text


IN_STEP: Final = Text(
    en="in the step “%(step)s”, %(wrong)s in place of %(right)s",
    es="en el paso «%(step)s», %(wrong)s en lugar de %(right)s",
)
WAYS: Final[Mapping[str, Way]] = {
    "left out": Way(1.0, Text(en="left out: %(it)s", es="se omitió: %(it)s")),
    "counted twice": Way(0.6, Text(en="counted twice: %(it)s", es="se contó dos veces: %(it)s")),
    "taken at half": Way(0.6, Text(en="taken at half: %(it)s", es="se tomó la mitad: %(it)s")),
    "mixed up": Way(
        0.5, Text(en="%(it)s and %(other)s taken for each other", es="se confundieron %(it)s y %(other)s")
    ),
    "another's number": Way(
        0.4,
        Text(
            en="the number of %(other)s used in place of %(it)s",
            es="se usó el número de %(other)s en lugar de %(it)s",
        ),
    ),
    "usual figure": Way(
        0.4, Text(en="the usual %(new)s used in place of %(it)s", es="se usó el usual %(new)s en lugar de %(it)s")
    ),
    "taken as": Way(
        0.5,
        Text(en="the number of %(it)s taken as %(unit)s", es="el número de %(it)s se tomó como %(unit)s"),
    ),
    "turned into": Way(
        0.5,
        Text(en="%(it)s turned into %(unit)s first", es="%(it)s: primero se pasó a %(unit)s"),
    ),
    "wrong row": Way(
        0.5,
        Text(en="the row of the table for %(new)s, not for %(it)s", es="la fila de la tabla de %(new)s, no la de %(it)s"),
    ),
    "turned round": Way(0.4, Text(en="turned a quarter round: %(it)s", es="girado un cuarto de vuelta: %(it)s")),
    "misread": Way(0.25, Text(en="%(it)s read as %(new)s", es="%(it)s: se leyó %(new)s")),
    "another number": Way(
        0.8,
        Text(
            en="this is another number of the working: %(step)s",
            es="este es otro número del cálculo: %(step)s",
        ),
    ),
    "wrong sign": Way(0.6, IN_STEP),
    "part forgotten": Way(0.5, IN_STEP),
    "wrong rounding": Way(0.5, IN_STEP),
    "decimal point": Way(
        0.2, Text(en="the decimal point of the answer is one place off", es="el punto decimal de la respuesta está corrido un lugar")
    ),
}  # fmt: skip


class Told(NamedTuple):
    """An input as it was given.

    value: in the input's unit, or of its kind; meaning: what it is called here
    part: the one of an entry's numbers that is spoken of, with its unit
    """

    input: Input
    value: Any
    meaning: Text
    part: tuple[float, str] | None = None

    def in_language(self, language: str) -> str:
        said = amount(self, self.value, language)
        if self.part is not None:
            said += f": {written(*self.part).in_language(language)}"
        return f"{self.meaning.in_language(language)} ({said})"


def amount(told: Told, value: Any, language: str) -> str:
    """A value of that input as the trade writes it."""
    each = told.input
    return written_input(each, [value] if each.many else value).in_language(language)


@dataclass(frozen=True, slots=True)
class Cause:
    """One change and the number it leads to.

    way: a key of WAYS; value: [the answer's unit]; weight: the way's, lowered for what is less likely to be touched
    about: names what is changed, the same for the same change; it, other: inputs; new: the value used instead
    step, wrong, right: the step, and the place of its expression that was worked wrongly, and how it goes
    """

    way: str
    value: float
    weight: float
    about: tuple[str, ...]
    it: Told | None = None
    other: Told | None = None
    new: Any = None
    unit: str = ""
    step: Step | None = None
    wrong: Traced | None = None
    right: Traced | None = None
    quantity: Quantity | None = None

    def sentence(self, language: str) -> str:
        """What was done, without a full stop, in lower case."""
        words: dict[str, str] = {}
        if self.it is not None:
            words["it"] = self.it.in_language(language)
            words["new"] = amount(self.it, self.new, language) if self.new is not None else ""
        if self.other is not None:
            words["other"] = self.other.in_language(language)
        if self.unit:
            words["unit"] = unit_named(self.unit).many.in_language(language)
        if self.quantity is not None:
            words["step"] = (
                f"{self.quantity.meaning.in_language(language)} ({shown(self.new, self.quantity, language)})"
            )
        if self.step is not None and self.wrong is not None and self.right is not None:
            words["step"] = self.step.quantity.meaning.in_language(language)
            words["wrong"] = with_numbers(self.wrong, language)
            words["right"] = with_numbers(self.right, language)
        return WAYS[self.way].says.in_language(language) % words

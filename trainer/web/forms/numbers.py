"""The forms of the reference: one to look for a calculation, and one for each calculation, made from the registry.

SearchForm      words to look for
NumbersForm     the inputs of a calculation as they stand in an address; the evaluation when they can be worked
in_words        a refusal of the core as it reads on a page, where inputs have labels
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from werkzeug.datastructures import MultiDict
from wtforms import Field, SearchField
from wtforms.form import BaseForm
from wtforms.meta import DefaultMeta
from wtforms.validators import ValidationError

from trainer import calc
from trainer.calc import Calculation, Evaluation, Input, notation, report
from trainer.calc.allowed import allowed
from trainer.calc.inputs import REQUIRED, checked, missing
from trainer.calc.reading import NONE_WORDS, read_inputs
from trainer.errors import Refusal
from trainer.web.current import language
from trainer.web.forms import AddressForm
from trainer.web.i18n import _l, local, said

SPARE_ROWS: Final = 2
"""Empty rows after what was typed, for one more flue or piece without a script."""


class SearchForm(AddressForm):
    """Words to look for."""

    search = SearchField(_l("Find a calculation"), filters=[lambda text: text[:60] if text else text])


class InputField(Field):  # type: ignore[misc]
    """What was typed for one input, once or several times.

    typed: the texts as given; data: the value as the formula takes it, None when nothing was given; readings: each
    text as it was read
    """

    def __init__(self, label: str, *, calculation: Calculation, each: Input, **options: Any) -> None:
        self.calculation, self.each = calculation, each
        self.typed: list[str] = []
        self.readings: list[str] = []
        super().__init__(label, **options)

    @property
    def rows(self) -> list[str]:
        """The texts of the boxes to show: one, or for an input that takes many a few empty ones after the last."""
        return [*self.typed, *[""] * SPARE_ROWS] if self.each.many else self.typed[:1] or [""]

    def process_formdata(self, valuelist: Sequence[str]) -> None:
        self.typed = [text for text in valuelist if text.strip()]
        if not self.typed:
            return
        try:
            read = read_inputs(self.calculation, {self.each.name: self.typed}, language())[self.each.name]
            self.data = (
                [checked(self.each, one) for one in read] if self.each.many else checked(self.each, read)
            )
        except Refusal as refusal:
            raise ValueError(in_words(self.calculation, refusal)) from refusal
        self.readings = [
            _reading(self.each, text, value)
            for text, value in zip(
                self._texts_read(), self.data if self.each.many else [self.data], strict=True
            )
        ]

    def pre_validate(self, form: BaseForm) -> None:
        """What has no default must be given."""
        if not self.process_errors and self.data in (None, []) and self.each.default is REQUIRED:
            raise ValidationError(in_words(self.calculation, missing(self.each)))

    def _texts_read(self) -> list[str]:
        return [text for text in self.typed if not self.each.many or text.strip().lower() not in NONE_WORDS]


class NumbersForm(BaseForm):  # type: ignore[misc]
    """The inputs of one calculation. It changes nothing, so it needs no token and its address can be shared.

    evaluation: the calculation worked with these numbers, once `validate` has found nothing wrong
    """

    def __init__(
        self,
        calculation: Calculation,
        shop: Mapping[str, Any],
        typed: MultiDict[str, str],
    ) -> None:
        self.calculation, self.shop = calculation, shop
        self.evaluation: Evaluation | None = None
        super().__init__(
            {
                each.name: InputField(capital(local(each.meaning)), calculation=calculation, each=each)
                for each in calculation.inputs
            },
            meta=DefaultMeta(),
        )
        self.process(typed)

    def validate(self, extra_validators: Any = None) -> bool:
        """Each input alone, then all of them together; what they are refused for together stands at the first named."""
        if not super().validate(extra_validators):
            return False
        values = {name: field.data for name, field in self._fields.items() if field.data is not None}
        try:
            self.evaluation = calc.work(self.calculation.name, values, self.shop)
        except Refusal as refusal:
            named = _first_named(self.calculation, refusal)
            errors = self.form_errors if named is None else self[named].errors
            errors.append(in_words(self.calculation, refusal))
            return False
        return True


def sample(calculation: Calculation) -> MultiDict[str, str]:
    """The calculation's worked example, as typed."""
    return MultiDict(
        (name, text)
        for name, texts in calculation.sample.items()
        for text in ([texts] if isinstance(texts, str) else texts)
    )


def takes(calculation: Calculation, each: Input, shop: Mapping[str, Any]) -> str:
    """What an input takes and what is taken when it is left empty, in one line under its label."""
    default = report.default_in_words(calculation, each, shop, language())
    line = default if each.kind == "choice" else f"{local(allowed(each))}; {default}"
    return capital(line) + "."


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def in_words(calculation: Calculation, refusal: Refusal) -> str:
    """The refusal with the inputs' labels in place of the names that programs use for them."""
    sentence = said(refusal)
    for each in calculation.inputs:
        meaning = local(each.meaning)
        sentence = _put(sentence, rf"{each.name} \({re.escape(meaning)}\)", meaning)
    for each in calculation.inputs:
        # In English a name of one word ("flue", "overhang") reads as the word it is.
        if "_" in each.name or language() != "en":
            short = re.split(r"[;:,(]", local(each.meaning))[0].strip()
            sentence = _put(sentence, rf"{each.name}\b", f"“{short}”")
    return capital(sentence)


def _put(sentence: str, pattern: str, words: str) -> str:
    return re.sub(rf"\b{pattern}", lambda _: words, sentence, flags=re.IGNORECASE)


def _first_named(calculation: Calculation, refusal: Refusal) -> str | None:
    """The input that the sentence names first."""
    names = "|".join(re.escape(each.name) for each in calculation.inputs)
    found = re.search(rf"\b({names})\b", str(refusal))
    return found[1] if found else None


def _reading(each: Input, text: str, value: Any) -> str:
    """How a text was read, in the units it was typed in."""
    if each.kind == "number":
        return notation.read(text, each.unit, language(), signed=each.low < 0).shown(language())
    return report.written(each, value, language())

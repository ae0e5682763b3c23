"""The places of a text checked when it is read: every one has a value, and both languages use the same."""

from __future__ import annotations

from collections.abc import Set

from trainer.languages import LANGUAGES, Text
from trainer.questions.source import Source
from trainer.questions.template import BadTemplate, names


def check_places(source: Source, text: Text, known: Set[str], where: tuple[str | int, ...]) -> None:
    """Note a place without a value, a place in one language only, and anything in braces that is no place."""
    found = {}
    for language in LANGUAGES:
        try:
            found[language] = names(text.in_language(language))
        except BadTemplate as bad:
            source.problem((*where, language), f"{bad.sentence}.")
            return
        for name in sorted(found[language] - known):
            source.problem(
                (*where, language),
                f"{{{{ {name} }}}} has no value; there are {', '.join(sorted(known)) or 'none'}.",
            )
    if found["en"] != found["es"]:
        only = sorted(found["en"] ^ found["es"])
        source.problem(
            (*where, "es"), f"{', '.join(only)} stands in one language only; both must use the same values."
        )

"""The two languages of the shop, and a text held in both."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import Final

LANGUAGES: Final = ("en", "es")


@dataclass(frozen=True, slots=True)
class Text:
    """One text in English and in Spanish."""

    en: str
    es: str

    def in_language(self, language: str) -> str:
        """The text in `language`; English for any language the shop does not hold."""
        return self.es if language == "es" else self.en

    def __str__(self) -> str:
        return self.en


def in_language(value: object, language: str) -> object:
    """A `Text` in `language`; anything else as it is."""
    return value.in_language(language) if isinstance(value, Text) else value


def folded(text: str) -> str:
    """The text as it is looked up, without capitals and accents: "Separación" and "separacion" are one word."""
    parts = unicodedata.normalize("NFKD", text.casefold())
    return "".join(part for part in parts if not unicodedata.combining(part))

"""Every error the program raises on purpose.

TrainerError
    Refusal (ValueError)          something given by a person cannot be taken; one sentence, two languages
        Unreadable                a text is not a quantity as the trade writes it, or not the letters asked for
        UnknownName (LookupError) no calculation, question, lesson, task or person has that name
    ContentError                  a lesson, question, task or clearance file is wrong: file, line, sentence
    ContentMissing                a content folder is missing from the installation
    NotAllowed                    the person may not do this (their own sign-off, someone else's paper)
    StoreError                    the data store cannot be used as it is (too new, missing, locked)
"""

from __future__ import annotations

from trainer.languages import Text, in_language


class TrainerError(Exception):
    """Root of every error raised on purpose."""


class Refusal(TrainerError, ValueError):
    """Something given cannot be taken; says in one sentence what was wrong and what is allowed.

    message: the sentence in both languages, with %(name)s places filled from `facts`
    facts: the values named in the sentence; a `Text` among them is shown in the reader's language
    """

    def __init__(self, message: Text, **facts: object) -> None:
        self.message = message
        self.facts = facts
        super().__init__(message, facts)

    def in_language(self, language: str) -> str:
        filled = {name: in_language(value, language) for name, value in self.facts.items()}
        return self.message.in_language(language) % filled

    def __str__(self) -> str:
        return self.in_language("en")


class Unreadable(Refusal):
    """A text is not a quantity as the trade writes it, or not the letters asked for."""


class UnknownName(Refusal, LookupError):
    """Nothing has that name."""


class ContentError(TrainerError):
    """A content file is wrong.

    path: the file, relative to its content folder; line: 1-based, 0 when the whole file is meant
    """

    def __init__(self, path: str, line: int, sentence: str) -> None:
        self.path, self.line, self.sentence = path, line, sentence
        super().__init__(path, line, sentence)

    def __str__(self) -> str:
        place = f"{self.path}:{self.line}" if self.line else self.path
        return f"{place}: {self.sentence}"


class ContentMissing(TrainerError):
    """A content folder is missing from the installation."""


class NotAllowed(Refusal):
    """The person may not do this."""


class StoreError(TrainerError):
    """The data store cannot be used as it is; the message says what to do."""

"""One content file being read: its tables, and the list of what is wrong with them.

Reading goes on after a problem, so that a person sees every mistake of a file at once.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from trainer.errors import ContentError
from trainer.languages import LANGUAGES, Text

KINDS: Final = {
    str: "a text in quotes",
    int: "a whole number",
    bool: "true or false",
    list: "a list in square brackets",
    dict: "a table",
}


# No content file comes near it; reading a hostile one takes time in proportion to its length.
MOST_BYTES: Final = 200_000

NEXT_KEY: Final = re.compile(r"""["']?[\w-]+["']?\s*=""")

# A key path in a file, such as ("slip", 1, "en"): tables of a list by their place from 0.
Where = tuple[str | int, ...]


def read_file(file: Path, name: str, problems: list[ContentError]) -> str | None:
    """The text of a content file; None, with one problem noted, when it cannot be read as text.

    name: the file as problems give it, relative to its content folder
    """
    try:
        content = file.read_bytes()
    except IsADirectoryError:
        sentence = "this is a folder; a file was meant to be here."
    except OSError as error:
        sentence = f"the file cannot be read: {(error.strerror or 'no reason given').lower()}."
    else:
        return as_text(content, name, problems)
    problems.append(ContentError(name, 0, sentence))
    return None


def as_text(content: bytes, name: str, problems: list[ContentError]) -> str | None:
    """The bytes of a content file as text; None, with one problem noted, when they are none or too many."""
    if len(content) > MOST_BYTES:
        problems.append(ContentError(name, 0, f"the file is longer than {MOST_BYTES // 1000} KB."))
        return None
    try:
        return content.decode()
    except UnicodeDecodeError:
        problems.append(ContentError(name, 0, "the file is not UTF-8 text."))
        return None


class Source:
    """A content file's text and problems.

    path: relative to its content folder; text: the whole file; first: the line of the file on which `text` starts
    beside: what other files of the folder hold that this one may build on, by file name
    """

    def __init__(
        self, path: str, text: str, first: int = 1, beside: Mapping[str, Any] = MappingProxyType({})
    ) -> None:
        self.path = path
        self.beside = beside
        self.lines = text.splitlines()
        self.first = first
        self.problems: list[ContentError] = []
        self._text = text

    def tables(self) -> dict[str, Any]:
        """The file as TOML; an empty table, with a problem noted, when it is not TOML."""
        try:
            return tomllib.loads(self._text)
        except RecursionError:
            self.problem_at(self.first, "the file is not TOML: brackets stand in brackets far too often.")
            return {}
        except ValueError as error:  # TOMLDecodeError, and a number with thousands of digits
            found = re.search(r"\(at line (\d+), column (\d+)\)", str(error))
            reason = re.sub(r"\s*\(at .*\)$", "", str(error))
            line = int(found[1]) if found else len(self.lines)
            self.problem_at(line + self.first - 1, f"the file is not TOML here: {reason}.")
            return {}

    def problem(self, where: tuple[str | int, ...], sentence: str) -> None:
        """Note what is wrong at the key path `where`, such as ("slip", 1, "en")."""
        self.problem_at(self.line(where), sentence)

    def problem_at(self, line: int, sentence: str) -> None:
        self.problems.append(ContentError(self.path, line, sentence))

    def line(self, where: tuple[str | int, ...]) -> int:
        """The line on which the key path stands, or the nearest table above it; 0 when neither is found."""
        start, end = 0, len(self.lines)
        found = 0
        for depth, key in enumerate(where):
            if isinstance(key, int):
                continue
            place = where[depth + 1] if depth + 1 < len(where) else None
            nth = place if isinstance(place, int) else 0
            header = self._header(
                ".".join(str(part) for part in where[: depth + 1] if isinstance(part, str)), nth, start
            )
            if header is not None:
                start, found = header + 1, header + self.first
                end = next(
                    (n for n in range(start, len(self.lines)) if self.lines[n].lstrip().startswith("[")), end
                )
                continue
            key_line = self._key(key, start, end)
            if key_line is None:
                # [given.overhang] has no [given] of its own above it
                below = self._header_below(key, start) if depth + 1 == len(where) else None
                found = found if below is None else below + self.first
                continue
            found, start = key_line + self.first, key_line
            # The value ends where the next key begins.
            end = next((n for n in range(start + 1, end) if NEXT_KEY.match(self.lines[n])), end)
        return found

    def _header(self, name: str, nth: int, start: int) -> int | None:
        pattern = re.compile(rf"\s*\[\[?\s*{re.escape(name)}\s*\]\]?\s*(#.*)?$")
        places = [n for n in range(start, len(self.lines)) if pattern.match(self.lines[n])]
        return places[nth] if nth < len(places) else None

    def _header_below(self, name: str, start: int) -> int | None:
        pattern = re.compile(rf"\s*\[\[?\s*{re.escape(name)}\s*\.")
        return next((n for n in range(start, len(self.lines)) if pattern.match(self.lines[n])), None)

    def _key(self, key: str, start: int, end: int) -> int | None:
        pattern = re.compile(rf"""(^|[\s{{,])["']?{re.escape(key)}["']?\s*=""")
        return next((n for n in range(start, end) if pattern.search(self.lines[n])), None)

    def known(
        self, table: Mapping[str, Any], allowed: Collection[str], where: tuple[str | int, ...] = ()
    ) -> None:
        """Note every key of `table` that is not allowed there."""
        for key in table:
            if key not in allowed:
                place = f" in [{_named(where)}]" if where else ""
                self.problem(
                    (*where, key), f"there is no {key!r}{place}; allowed are {', '.join(sorted(allowed))}."
                )

    def take(
        self,
        table: Mapping[str, Any],
        key: str,
        kind: type,
        where: tuple[str | int, ...] = (),
        *,
        default: Any = ...,
    ) -> Any:
        """The value of `key`, of the wanted kind; else the default (None when there is none) and a problem."""
        if key not in table:
            if default is ...:
                place = f"[{_named(where)}]" if where else "the file"
                self.problem(where, f"{place} has no {key!r}; it must be {KINDS[kind]}.")
                return None
            return default
        value = table[key]
        wrong = not isinstance(value, kind) or (kind is int and isinstance(value, bool))
        if wrong:
            self.problem(
                (*where, key), f"{_named((*where, key))} must be {KINDS[kind]}, not {_shown(value)}."
            )
            return None if default is ... else default
        if kind is str and not value.strip():
            self.problem((*where, key), f"{_named((*where, key))} is empty; it must be {KINDS[kind]}.")
        return value

    def texts(
        self, table: Mapping[str, Any], key: str, where: tuple[str | int, ...] = (), *, optional: bool = False
    ) -> list[str]:
        """A list of texts; an empty list, with a problem noted, when it is anything else."""
        values = self.take(table, key, list, where, default=[] if optional else ...)
        if values is None:
            return []
        wrong = [value for value in values if not isinstance(value, str)]
        if wrong:
            self.problem(
                (*where, key), f"{_named((*where, key))} must be a list of texts; {_shown(wrong[0])} is none."
            )
        return [value for value in values if isinstance(value, str)]

    def both(self, table: Any, where: tuple[str | int, ...]) -> Text | None:
        """A text in both languages from a table with `en` and `es`; None, with problems noted, when one is missing."""
        if not isinstance(table, Mapping):
            self.problem(
                where, f'{_named(where)} must hold the text in both languages, as en = "..." and es = "...".'
            )
            return None
        found = {}
        for language in LANGUAGES:
            value = table.get(language)
            if isinstance(value, str) and value.strip():
                found[language] = " ".join(value.split()) if "\n\n" not in value else value.strip()
            else:
                name = "English" if language == "en" else "Spanish"
                self.problem(
                    (*where, language), f'{_named(where)} has no {name} text; give {language} = "...".'
                )
        return Text(**found) if len(found) == len(LANGUAGES) else None


def _named(where: tuple[str | int, ...]) -> str:
    """A key path in words: "slip 2 en"; tables of a list are counted from 1."""
    return " ".join(str(part + 1) if isinstance(part, int) else part for part in where)


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."

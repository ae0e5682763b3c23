"""Reading a content file of tables, each mistake with the line it stands on."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from trainer.errors import ContentError
from trainer.languages import Text

NAME: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
HEADER: Final = re.compile(r"^\s*\[\[?\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?$")
KINDS: Final = {str: "a text", int: "a whole number", bool: "true or false", list: "a list", dict: "a table"}


class Table:
    """One table of a file. number: which of several tables of that name, from 0."""

    def __init__(self, file: File, name: str, data: Mapping[str, Any], number: int = 0) -> None:
        self.file, self.name, self.data, self.number = file, name, data, number

    def wrong(self, sentence: str, key: str = "") -> ContentError:
        """The error to raise: something about this table, or about its `key`, is wrong."""
        return ContentError(self.file.name, self.file.line(self.name, key, self.number), sentence)

    def only(self, known: Collection[str]) -> None:
        """Refuse a key that means nothing here: it is most often misspelt."""
        for key in self.data:
            if key not in known:
                raise self.wrong(f"{self.name} has no {key!r}; it may have {', '.join(sorted(known))}.", key)

    def value(self, key: str, kind: type, default: Any = None, *, needed: bool = False) -> Any:
        """The value of `key`, of that kind; `default` when it is not there and not needed."""
        if key not in self.data:
            if needed:
                raise self.wrong(f"{self.name} lacks {key}, {KINDS[kind]}.")
            return default
        value = self.data[key]
        if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            raise self.wrong(f"{key} of {self.name} must be {KINDS[kind]}, not {value!r}.", key)
        return value

    def number_from(
        self, key: str, low: int, high: int, default: int | None = None, *, needed: bool = False
    ) -> Any:
        """A whole number from `low` to `high`."""
        value = self.value(key, int, default, needed=needed)
        if value is not None and not low <= value <= high:
            raise self.wrong(f"{key} of {self.name} is {value}; it must be {low} to {high}.", key)
        return value

    def text(self, key: str, *, needed: bool = True) -> Text | None:
        """A text in both languages."""
        value = self.value(key, dict, needed=needed)
        return None if value is None else self._both(value, key)

    def texts(self, key: str, *, needed: bool = False) -> tuple[Text, ...]:
        """A list of texts in both languages; at least one when needed."""
        values = self.value(key, list, [], needed=needed)
        if needed and not values:
            raise self.wrong(f"{key} of {self.name} is empty.", key)
        return tuple(self._both(value, key) for value in values)

    def _both(self, value: Any, key: str) -> Text:
        if not isinstance(value, dict) or set(value) != {"en", "es"}:
            raise self.wrong(f"{key} of {self.name} must have en and es, and nothing else.", key)
        if not all(isinstance(part, str) and part.strip() for part in value.values()):
            raise self.wrong(f"{key} of {self.name} has an empty en or es.", key)
        return Text(en=value["en"].strip(), es=value["es"].strip())

    def tables(self, key: str) -> Iterator[Table]:
        """Each table of the list `key`."""
        for number, data in enumerate(self.value(key, list, [])):
            if not isinstance(data, dict):
                raise self.wrong(f"{key} of {self.name} must be a list of tables.", key)
            yield Table(self.file, f"{self.name}.{key}", data, number)


class File:
    """A TOML file whose every top-level entry is a table with a plain name.

    name: as errors give it. Raises ContentError when it is missing, is not UTF-8, or is not TOML.
    """

    def __init__(self, path: Path) -> None:
        self.name = path.name
        try:
            text = path.read_text(encoding="utf-8")
        except FileNotFoundError:
            raise ContentError(self.name, 0, "the file is missing.") from None
        except IsADirectoryError:
            raise ContentError(self.name, 0, "this is a folder; a file was meant to be here.") from None
        except UnicodeDecodeError:
            raise ContentError(self.name, 0, "the file cannot be read: it is not UTF-8 text.") from None
        except OSError as error:
            reason = (error.strerror or "no reason given").lower()
            raise ContentError(self.name, 0, f"the file cannot be read: {reason}.") from None
        self.lines = text.splitlines()
        try:
            self.data = tomllib.loads(text)
        except RecursionError:
            raise ContentError(
                self.name, 0, "this is not TOML: brackets stand in brackets far too often."
            ) from None
        except ValueError as error:  # TOMLDecodeError, and a number with thousands of digits
            found = re.search(r"line (\d+)", str(error))
            raise ContentError(
                self.name, int(found[1]) if found else len(self.lines), f"this is not TOML: {error}."
            ) from None

    def tables(self) -> Iterator[Table]:
        if not self.data:
            raise ContentError(self.name, 0, "the file is empty.")
        for name, data in self.data.items():
            table = Table(self, name, data if isinstance(data, dict) else {})
            if not isinstance(data, dict):
                raise ContentError(self.name, self.line("", name), f"{name} must be a table, [{name}].")
            if not NAME.fullmatch(name):
                raise table.wrong(f"{name!r} is no name: use small letters, digits and hyphens.")
            yield table

    def line(self, table: str, key: str = "", number: int = 0) -> int:
        """The line of `key` in the table, or of the table's header, or 0 when it is not found."""
        start, seen = 0, -1
        for index, text in enumerate(self.lines, start=1):
            header = HEADER.match(text)
            if header:
                seen += header[1].replace(" ", "") == table
                if start:
                    return start
                start = index if header[1].replace(" ", "") == table and seen == number else 0
            elif (start or not table) and key and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*[=.]", text):
                return index
        return start

"""Finding the line of a key in a file, and reading on after a mistake."""

from __future__ import annotations

import pytest

from trainer.questions.source import Source

TEXT = """version = 1

[text]
en = "one"

[given.overhang]
low = "1 in"

[[slip]]
id = "a"
en = "first"
why = { en = "inside" }

[[slip]]
id = "b"
en = "second"
"""


@pytest.mark.parametrize(
    ("where", "line"),
    [
        (("version",), 1),
        (("text", "en"), 4),
        (("given", "overhang"), 6),
        (("given", "overhang", "low"), 7),
        (("slip", 0, "en"), 11),
        (("slip", 0, "why", "en"), 12),
        (("slip", 1), 14),
        (("slip", 1, "en"), 16),
        (("text", "es"), 3),
        (("nowhere",), 0),
    ],
)
def test_the_line_of_a_key(where: tuple[str | int, ...], line: int) -> None:
    assert Source("a.toml", TEXT).line(where) == line


def test_a_file_that_is_not_toml_names_its_line() -> None:
    source = Source("a.toml", 'version = 1\nkind = "number\n')
    assert source.tables() == {}
    assert [(problem.path, problem.line) for problem in source.problems] == [("a.toml", 2)]


def test_front_matter_counts_lines_from_where_it_starts() -> None:
    assert Source("a.md", TEXT, first=2).line(("text", "en")) == 5

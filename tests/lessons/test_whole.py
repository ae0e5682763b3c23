"""What every lesson holds: each thing missing is told, with its line."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.shipped import shipped_bank, shipped_lessons
from trainer.errors import ContentError
from trainer.lessons import Library
from trainer.lessons.course import check_course
from trainer.lessons.library import read_lesson
from trainer.lessons.whole import whole_problems

WHOLE = """\
+++
title = "Whole"
order = 1
minutes = 6
version = 1
skills = ["slab-size"]
sources = ["astm-c1283"]
check = ["what-first"]
+++

## Aim {#aim}

You can. Why it matters: water.

```figure
a
```

```working
a
```

```danger
Mind.
```

```differ
One says this.
```

## Mistakes {#mistakes}

- One: two winters later it leaks.
- Two.
- Three.

## Check {#checklist}

```checklist
- a
- b
- c
- d
- e
```

## Code {#code}

Ask.

## Try {#try}

```try
a
b
c
```

## Sources {#sources}

- ASTM C1283, section 8.
"""


def told(text: str) -> list[str]:
    problems: list[ContentError] = []
    lesson = read_lesson("whole", "en", text.encode(), problems)
    assert problems == [] and lesson is not None
    return [str(problem) for problem in whole_problems(Library({"en": {"whole": lesson}}, ()))]


def test_a_whole_lesson_misses_nothing() -> None:
    assert told(WHOLE) == []


MISSING = [
    ("## Mistakes {#mistakes}", "## Mistakes {#errors}", "en/whole.md: it has no section {#mistakes}"),
    ("## Code {#code}", "## Code {#law}", "en/whole.md: it has no section {#code}"),
    ("```figure", "```notice", "en/whole.md: it has no fence named figure"),
    ("```working", "```notice", "en/whole.md: it has no fence named working"),
    ("```differ", "```notice", "en/whole.md: it has no fence named differ"),
    ("```danger", "```notice", "en/whole.md: it has no caution"),
    ("## Aim {#aim}", "## First {#first}\n\n## Aim {#aim}", "en/whole.md:10: it does not begin with"),
    ("## Sources {#sources}\n\n- ASTM C1283, section 8.", "## Sources {#sources}\n\n- ASTM C1283, 8.\n\n## More {#more}", "it does not end with"),
    ("Why it matters: water.", "", "en/whole.md:10: it does not say why it matters"),
    ("- Two.\n", "", "en/whole.md:31: 2 mistakes; 3 are the least"),
    ("two winters later it leaks", "it leaks", "en/whole.md:31: the mistakes do not say how they look two winters later"),
    ("- e\n", "", "en/whole.md:39: 4 lines in the checklist; 5 are the least"),
    ("\nb\n", "\n", "2 lines in the try; 3 are the least"),
    ("- ASTM C1283, section 8.", "- A standard.", "the sources do not say which section"),
    ("- ASTM C1283, section 8.", "ASTM C1283, section 8.", "the sources are a list"),
    ("Ask.", "word " * 91, "a paragraph here has 91 words"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "sentence"), MISSING)
def test_what_is_missing_is_told(before: str, after: str, sentence: str) -> None:
    assert before in WHOLE
    found = told(WHOLE.replace(before, after, 1))
    assert any(sentence in one for one in found), found


def test_sources_without_sections_need_no_numbers() -> None:
    text = WHOLE.replace('["astm-c1283"]', '["arithmetic"]').replace("ASTM C1283, section 8", "Arithmetic")
    assert told(text) == []


def test_a_lesson_without_words_of_the_trade_is_told() -> None:
    library = shipped_lessons()
    lesson = replace(library.lesson("crown-geometry"), body="## Aim {#aim}\n\nNothing.\n")
    found = whole_problems(Library({"en": {lesson.id: lesson}}, (), library.glossary))
    assert any("it uses 0 terms of the glossary" in one.sentence for one in found)


def test_the_shipped_course_passes_the_whole_check() -> None:
    assert [str(problem) for problem in check_course(shipped_lessons(), shipped_bank())] == []

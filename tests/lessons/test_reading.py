"""The reading level, against worked examples and hand counts."""

from __future__ import annotations

import pytest

from tests.shipped import shipped_lessons
from trainer.lessons.course import readings
from trainer.lessons.reading import Measure, measure, minutes, running_text, sentences, syllables


def test_a_published_worked_example() -> None:
    """An encyclopedia's article on the Flesch-Kincaid tests (from memory): 13 words, 24 syllables, grade 11.3."""
    found = measure("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.")
    assert found == Measure(words=13, sentences=1, syllables=24)
    assert round(found.grade, 1) == 11.3


def test_the_formula() -> None:
    """Kincaid and others 1975, worked by hand: 100 words, 10 sentences, 130 syllables: 3.9 + 15.34 - 15.59."""
    assert Measure(words=100, sentences=10, syllables=130).grade == pytest.approx(3.65)


# Counts of the CMU Pronouncing Dictionary (release of 2015). Over the 1,861 words of the lessons that it holds, which
# stand there 22,716 times, the counting agrees on all but two (mm and USDA).
SYLLABLES = {
    "a": 1, "the": 1, "crown": 1, "form": 1, "edge": 1, "cure": 1, "tile": 1, "tiles": 1, "flue": 1, "flues": 1,
    "scale": 1, "makes": 1, "masked": 1, "walked": 1, "weighed": 1, "yield": 1, "three": 1, "reached": 1,
    "concrete": 2, "mortar": 2, "ladder": 2, "table": 2, "little": 2, "trowel": 2, "inches": 2, "reaches": 2, "edges": 2,
    "wanted": 2, "loaded": 2, "foreman": 2, "being": 2, "carries": 2, "safety": 2, "something": 2, "quiet": 2, "lean": 1,
    "silica": 3, "area": 3, "overhang": 3, "masonry": 3, "carefully": 3, "material": 4, "employer": 3, "violent": 3,
    "geometry": 4, "experience": 4, "respirator": 4, "evaporation": 5,
}  # fmt: skip


@pytest.mark.parametrize(("word", "count"), SYLLABLES.items())
def test_syllables_as_the_dictionary_has_them(word: str, count: int) -> None:
    assert syllables(word) == count


@pytest.mark.parametrize(
    ("word", "count"), [("2", 1), ("1/2", 1), ("5,000", 1), ("tear-off", 2), ("Foreman's", 2), ("don't", 1)]
)
def test_numbers_and_hyphens(word: str, count: int) -> None:
    assert syllables(word) == count


def test_sentences() -> None:
    assert sentences("It is 2.5 in. Stop! Why? Go.") == ["It is 2.5 in", "Stop", "Why", "Go"]
    assert sentences('He said "stop." Then (see R1003.9.1) he went, p. 16.') == [
        'He said "stop', "Then (see R1003.9.1) he went, p. 16",
    ]  # fmt: skip
    assert sentences("A line with no end\n\nAnother") == ["A line with no end", "Another"]


BODY = """\
## Heading that counts for nothing

One two three. Four five.

- six seven
- eight

| nine | ten |
|---|---|
| eleven | twelve |

```danger
Thirteen **fourteen**
fifteen.
```

```figure
crown.plan slab
a caption of many words that nobody counts
```

```working
slab
```

```try
slab-length
```

## Sources {#sources}

- Sixteen and seventeen.
"""


def test_what_is_counted() -> None:
    found = measure(running_text(BODY))
    assert (found.words, found.sentences) == (11, 5)


def test_minutes_count_tables_and_half_a_minute_a_figure() -> None:
    """11 words and 4 of the table at 150 a minute: 0.1; one figure and one worked solution: 1."""
    assert minutes(BODY) == pytest.approx(0.1 + 1.0)


def test_the_shipped_lessons_read_at_grade_seven_or_lower_and_take_six_to_fifteen_minutes() -> None:
    found = readings(shipped_lessons())
    assert len(found) == 16
    for one in found:
        assert 1.0 < one.counts.grade <= 7.0 and 6 <= one.minutes <= 15, one
        assert one.lesson.minutes == one.minutes, one.lesson.id

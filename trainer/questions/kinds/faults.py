"""Find the faults: a drawn chimney top with numbered places, some of them at fault, to be named by their numbers.

Right is only the exact set, and "none" on a sound chimney. Credit otherwise: faults found, less places named that are
sound, as a share of the faults, never below nothing. There are at least three places to a fault, so naming every place
earns nothing, and naming any number of them by chance earns on average no more than one guess at one fault among all
places would: 1 / places.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from trainer.drawings.chimney_top import ChimneyTop, Mark, MarkedDrawing
from trainer.drawings.chimney_top import draw as draw_top
from trainer.errors import Unreadable
from trainer.languages import Text
from trainer.questions.drawn import Body, Draw, Given, Grade, GradedPart, text_from, text_or_none
from trainer.questions.kinds.faults_file import KEYS, FaultRule, read
from trainer.questions.kinds.faults_place import choose_faults, choose_marks, choose_top
from trainer.questions.kinds.kind import Kind
from trainer.questions.model import Question
from trainer.questions.seeds import Seed
from trainer.questions.writing import fill_both, written

NONE: Final = Text(en="none", es="ninguna")
NONE_WORDS: Final = ("none", "ninguna", "ninguno")
BETWEEN: Final = ("and", "y")
FALSE_ALARM: Final = "false-alarm"
UNREADABLE: Final = Text(
    en="%(given)s is not read; give the numbers of the faulty places, such as 2, 5, or none.",
    es="%(given)s no se lee; dé los números de los lugares con falla, como 2, 5, o ninguna.",
)
UNKNOWN: Final = Text(
    en="there is no place %(given)s on the drawing; there are 1 to %(most)s.",
    es="no hay un lugar %(given)s en el dibujo; hay de 1 a %(most)s.",
)
BOTH: Final = Text(
    en="a number and none cannot both stand; give one or the other.",
    es="un número y ninguna no van juntos; dé lo uno o lo otro.",
)
SEEN: Final = Text(en="Seen here: %s.", es="Se ve aquí: %s.")
SOUND: Final = Text(en="This is sound: %s.", es="Esto está bien: %s.")


@dataclass(frozen=True, slots=True)
class DrawnMark:
    """A numbered place. seen: what the drawing shows there; fault: its id, "" for sound work

    called, matters, do: the fault's name, what it does two winters later, what to do; None for sound work
    """

    number: int
    place: str
    name: Text
    seen: Text
    fault: str = ""
    called: Text | None = None
    matters: Text | None = None
    do: Text | None = None


@dataclass(frozen=True, slots=True)
class DrawnFaults(Body):
    """The chimney top with its faults, and the places that are marked on it."""

    top: ChimneyTop
    marks: tuple[DrawnMark, ...]

    @property
    def faulty(self) -> tuple[int, ...]:
        """The numbers of the places at fault."""
        return tuple(mark.number for mark in self.marks if mark.fault)

    def answer(self, language: str) -> str:
        return named(self.faulty, language)

    def mistaken(self) -> str:
        return named(self.faulty[1:], "en") if self.faulty else "1"

    def lines(self, language: str) -> list[str]:
        places = [f"☐ {mark.number}  {mark.name.in_language(language)}" for mark in self.marks]
        return [*places, f"☐ {NONE.in_language(language)}"]

    def texts(self) -> list[Text]:
        found = (
            text for mark in self.marks for text in (mark.name, mark.seen, mark.called, mark.matters, mark.do)
        )
        return [text for text in found if text is not None]

    def drawing(self, language: str, reveal: bool) -> MarkedDrawing:
        """The drawing, each place described in words; a ring round every fault once it may be told."""
        marks = [
            Mark(
                mark.number,
                mark.place,
                f"{mark.name.in_language(language)}: {mark.seen.in_language(language)}",
            )
            for mark in self.marks
        ]
        return draw_top(self.top, marks, language, self.faulty if reveal else ())

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> DrawnFaults:
        top = {**data["top"], "faults": tuple((place, fault) for place, fault in data["top"]["faults"])}
        return cls(ChimneyTop(**top), tuple(_mark(one) for one in data["marks"]))


def _mark(data: Mapping[str, Any]) -> DrawnMark:
    texts = {key: text_or_none(data[key]) for key in ("called", "matters", "do")}
    name, seen = text_from(data["name"]), text_from(data["seen"])
    return DrawnMark(data["number"], data["place"], name, seen, data["fault"], **texts)


def named(numbers: Sequence[int], language: str) -> str:
    """Places as an answer names them: "2, 5", "none"."""
    return ", ".join(str(number) for number in numbers) or NONE.in_language(language)


def draw(question: Question, givens: Mapping[str, Given], seed: Seed, shop: Mapping[str, Any]) -> DrawnFaults:
    """A chimney top of the shop's sizes, with the seed's faults, and the places marked on it.

    Raises Rejected when the faults allowed do not find room beside one another.
    """
    rule: FaultRule = question.body
    sizes = choose_top(rule, seed, shop)
    faults = choose_faults(rule, sizes["flues"], seed)
    top = ChimneyTop(**sizes, faults=tuple(sorted(faults.items())))
    chosen = choose_marks(rule, top, seed)
    return DrawnFaults(top, tuple(_words(rule, top, place, number) for number, place in enumerate(chosen, 1)))


def _words(rule: FaultRule, top: ChimneyTop, place: str, number: int) -> DrawnMark:
    """What is said of one marked place."""
    flue, _, part = place.partition("-")
    values = {}
    if part == "rim":
        height = top.height(flue)
        values["height"] = Given(height, "in", written(height, "in"))
    fault, name = top.fault(place), rule.book.places[place]
    if not fault:
        return DrawnMark(number, place, name, fill_both(rule.book.sound[part], values))
    words = rule.book.faults[fault]
    seen = fill_both(words.seen, values)
    return DrawnMark(number, place, name, seen, fault, words.name, words.matters, words.do)


def credit(faults: int, found: int, alarms: int) -> float:
    """What an answer earns: `found` of `faults` named, and `alarms` places named that are sound."""
    if not faults:
        return 0.0 if alarms else 1.0
    return max(0.0, (found - alarms) / faults)


def grade(draw: Draw, typed: str, language: str) -> Grade:
    """The places named, compared with those at fault; every miss and every false alarm is told."""
    body: DrawnFaults = draw.body
    try:
        chosen = read_numbers(typed, len(body.marks))
    except Unreadable as refusal:
        return Grade("unreadable", refusal=refusal.in_language(language))
    faulty, reading = set(body.faulty), named(sorted(chosen), language)
    parts = tuple(_part(mark, chosen, language) for mark in body.marks if mark.number in chosen | faulty)
    if chosen == faulty:
        return Grade("right", 1.0, reading, parts=parts)
    earned = credit(len(faulty), len(chosen & faulty), len(chosen - faulty))
    first = next((part.id for part in parts if not part.reading), FALSE_ALARM)
    return Grade("wrong", earned, reading, slip=first, parts=parts)


def read_numbers(typed: str, most: int) -> set[int]:
    """The places named, "2, 5" or "2 and 5"; no place for "none". Raises Unreadable."""
    words = [word for word in re.findall(r"[^\s,;.]+", typed.casefold()) if word not in BETWEEN]
    numbers = [word for word in words if word not in NONE_WORDS]
    if not words or not all(re.fullmatch(r"[0-9]{1,3}", word) for word in numbers):
        raise Unreadable(UNREADABLE, given=repr(typed if len(typed) <= 40 else typed[:37] + "..."))
    if 0 < len(numbers) < len(words):
        raise Unreadable(BOTH)
    for word in numbers:
        if not 1 <= int(word) <= most:
            raise Unreadable(UNKNOWN, given=word, most=most)
    return {int(word) for word in numbers}


def _part(mark: DrawnMark, chosen: set[int], language: str) -> GradedPart:
    """What is said of a place that is at fault, or was named."""

    def said(text: Text | None) -> str:
        return text.in_language(language) if text is not None else ""

    label, number = f"{mark.number}. {said(mark.name)}", str(mark.number)
    if not mark.fault:
        return GradedPart(FALSE_ALARM, "wrong", label, reading=number, said=said(SOUND) % said(mark.seen))
    told = " ".join((said(SEEN) % said(mark.seen), said(mark.matters), said(mark.do)))
    found = mark.number in chosen
    return GradedPart(
        mark.fault,
        "right" if found else "wrong",
        f"{label}: {said(mark.called)}",
        reading=number if found else "",
        answer=number,
        said=told,
    )


KIND: Final = Kind(KEYS, read, draw, DrawnFaults, grade)

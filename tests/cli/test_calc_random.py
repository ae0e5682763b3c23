"""20,000 random calls of `trainer calc` in process: a value or a refusal in either language, and read in under 5 ms."""

from __future__ import annotations

import contextlib
import random
import string
import time

from trainer import calc
from trainer.calc import Calculation, Input, notation
from trainer.calc.spec import REQUIRED
from trainer.cli.calc import answer, split
from trainer.errors import Refusal

CALLS = 20_000
MOST = 0.005  # seconds

PIECES = [
    *string.printable, "½", "¾", "″", "’", "′", "１", "٣", "∞", "²", "°", "−", "\u200f", "\x00", "é", " in", " ft", " mm",
    " lb", " gal", "1/2", "3/0", "nan", "inf", "none", "ninguno", " x ", " @ ", ":", "13", "-", "=", "1e9", "9" * 30,
    "media pulgada", " ID", " OD", " dia", " por ", " y media", "2026-11-25", "yes", "%s", "%(x)s", "{", "9**9**9", "1_0",
]  # fmt: skip
TYPED = {
    "choice": ["{choice}", "{word}", "{choice}s", ""],
    "flue": ["13 x 13 in", "8 1/2 x 13", "10 in dia", "10 in ID", "11 3/4 in OD", "254 mm diám", "none", "13 x 13 in ID"],
    "date": ["2026-11-25", "2026-02-30", "2026-1-5", "11/25/2026", "hoy"],
    "at": ["12 @ 42 in", "6 h @ 55 F", "90 min @ 120 ug/m3", "2 h @ 97 dBA", "3@3", "@", "1 @ 2 @ 3"],
    "ratio": ["1:2:3", "1:2 1/2:5", "1:2", "0:0:0", "1::3"],
    "size": ["4 x 8 ft", "1.2 x 2.4 m", "4 x", "0 x 8 ft"],
    "number": ["4", "4 1/2", "3 ft 6 1/2 in", "115 mm", "9.5 ft3", "50 lb", "10 %", "6 in 12", "-3", "0", "1e999", "3 1/2 in 4", "5,5"],
}  # fmt: skip


def right(chance: random.Random, each: Input) -> str:
    """A text that the input takes, or nearly."""
    if each.kind == "choice":
        choice = chance.choice(each.choices)
        word = each.words[choice].es if choice in each.words else choice
        return chance.choice(TYPED["choice"]).format(choice=choice, word=word)
    if each.kind == "number" and chance.random() < 0.7:
        middle = each.low + (min(each.high, 50 * max(each.low, 1)) - each.low) * chance.random()
        return f"{middle:.3f}" if each.unit != "count" else f"{middle:.0f}"
    return chance.choice(TYPED[each.kind])


def text(chance: random.Random, each: Input) -> str:
    typed = right(chance, each)
    wild = chance.random()
    if wild < 0.7:
        return typed
    if wild < 0.9:
        place = chance.randint(0, len(typed))
        return typed[:place] + chance.choice(PIECES) + typed[place + chance.randint(0, 2) :]
    return "".join(chance.choice(PIECES) for _ in range(chance.randrange(14)))


def arguments(chance: random.Random, calculation: Calculation) -> list[str]:
    given = []
    for each in calculation.inputs:
        if each.default is REQUIRED or chance.random() < 0.3:
            given += [
                f"{each.name}={text(chance, each)}"
                for _ in range(chance.choice([1, 1, 1, 1, 2 if each.many else 1, 0]))
            ]
    if chance.random() < 0.1:
        given.insert(
            chance.randint(0, len(given)), "".join(chance.choice(PIECES) for _ in range(chance.randrange(8)))
        )
    return given


def seconds(name: str, given: list[str]) -> float:
    """Processor time that reading the arguments takes; the best of three when the first is interrupted."""
    best = float("inf")
    for _ in range(3):
        began = time.thread_time()
        with contextlib.suppress(Refusal):
            calc.read_inputs(name, split(given))
        best = min(best, time.thread_time() - began)
        if best < MOST:
            break
    return best


def test_random_arguments_give_a_value_or_a_refusal():
    notation.read("115 mm", "in")  # the first conversion loads pint; that is not reading time
    chance = random.Random(20261125)
    names = calc.names()
    taken, refused, kinds, slowest = set(), 0, set(), 0.0
    for turn in range(CALLS):
        calculation = calc.get(names[turn % len(names)])
        given = arguments(chance, calculation)
        slowest = max(slowest, seconds(calculation.name, given))
        form = chance.choice(
            [{}, {"as_json": True}, {"working": True}, {"as_report": True}, {"explain": True}]
        )
        try:
            assert answer(calculation.name, given, chance.choice(["en", "es"]), **form)
        except Refusal as refusal:
            refused += 1
            for language in ("en", "es"):
                said = refusal.in_language(language)
                assert said and said.isprintable() and "\n" not in said
        else:
            taken.add(calculation.name)
            kinds |= {each.kind for each in calculation.inputs}
    assert kinds == TYPED.keys()
    assert taken == set(names) and refused > 5_000, (set(names) - taken, refused)
    assert slowest < MOST, f"{slowest * 1000:.1f} ms"

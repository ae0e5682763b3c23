"""Values of more than one number, and dates: what is read, what is refused, how they stand on the board.

The forms are those of a cut list, a field log and a calendar: common practice, no source; dates are ISO 8601.
"""

from __future__ import annotations

import random
import time
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pint import DimensionalityError

from trainer import calc
from trainer.calc import Entry, Input, Part, Quantity, working
from trainer.calc.algebra import Constant, as_force, days_after, total
from trainer.calc.dimensions import disagreements
from trainer.calc.entries import as_data, read_date, read_entry, written_entry
from trainer.calc.reading import read_input, read_inputs
from trainer.calc.spec import REGISTRY, calculation
from trainer.errors import Refusal, Unreadable
from trainer.languages import Text

PIECES = (Part("count", "n", "count", low=1, high=500), Part("length", "l", "in", low=1, high=240))
SAMPLES = (Part("time", "t", "hour"), Part("level", "T", "degF", low=-40, high=150))
DUST = (Part("time", "t", "hour"), Part("level", "c", "ug/m3"))
NOISE = (Part("time", "t", "hour"), Part("level", "L", "dBA"))
PARTS = (Part("cement", "p_c", ""), Part("sand", "p_s", ""), Part("stone", "p_g", ""))
SHEET = (Part("length", "a", "ft", low=1, high=20), Part("width", "b", "ft", low=1, high=20))


@pytest.mark.parametrize(
    ("kind", "parts", "typed", "numbers"),
    [
        ("at", PIECES, "12 @ 42 in", ("12", "42")),
        ("at", PIECES, "12@42", ("12", "42")),
        ("at", PIECES, "12 pieces @ 3 ft 6 in", ("12", "42")),
        ("at", PIECES, "4 varillas @ 40 1/2 pulg", ("4", "81/2")),
        ("at", SAMPLES, "6 h @ 55 F", ("6", "55")),
        ("at", SAMPLES, "6 horas @ 13 °C", ("6", "277/5")),
        ("at", SAMPLES, "30 min @ -5 F", ("1/2", "-5")),
        ("at", SAMPLES, "1 day @ 20 C", ("24", "68")),
        ("at", DUST, "90 min @ 120 ug/m3", ("3/2", "120")),
        ("at", DUST, "90 min @ 0.12 mg/m³", ("3/2", "120")),
        ("at", NOISE, "2 h @ 97 dBA", ("2", "97")),
        ("ratio", PARTS, "1:2:3", ("1", "2", "3")),
        ("ratio", PARTS, "1 : 2 1/2 : 3.5", ("1", "5/2", "7/2")),
        ("ratio", PARTS, "1:1/4:3", ("1", "1/4", "3")),
        ("size", SHEET, "4 x 8 ft", ("4", "8")),
        ("size", SHEET, "4 x 8", ("4", "8")),
        ("size", SHEET, "48 por 96 pulg", ("4", "8")),
    ],
)
@pytest.mark.parametrize("language", ["en", "es"])
def test_read_exactly(kind, parts, typed, numbers, language):
    entry = read_entry(kind, parts, typed, language)
    assert tuple(entry.numbers().values()) == tuple(map(Fraction, numbers))
    assert all(isinstance(number, Fraction) for number in entry.numbers().values())
    assert read_entry(kind, parts, written_entry(kind, parts, entry, language), language) == entry


# kind, parts, typed, reason, words of the English and of the Spanish sentence
REFUSED = [
    ("at", PIECES, "12", "at", "such as 12 @ 42 in", "por ejemplo 12 @ 42 in"),
    ("at", PIECES, "12 x 42 in", "at", "an @ and the second", "una @ y el segundo"),
    ("at", PIECES, "12 @ 42 @ 3", "at", "not one number at another", "no son un número y otro"),
    ("at", PIECES, "@ 42 in", "at", "not one number at another", "no son un número y otro"),
    ("at", PIECES, "2.5 @ 42 in", "not whole", "type 2 or 3", "escriba 2 o 3"),
    ("at", PIECES, "12 @ 42 lb", "another kind", "a length is wanted", "se pide una longitud"),
    ("at", PIECES, "12 @ 4,5 in", "decimal comma", "4.5", "4.5"),
    ("at", PIECES, "12 @ -4 in", "negative", "less than zero", "menor que cero"),
    ("at", SAMPLES, "6 h @ 55°", "another kind", "a temperature is wanted", "se pide una temperatura"),
    ("at", SAMPLES, "55 F @ 6 h", "another kind", "a length of time is wanted", "se pide un tiempo"),
    ("at", NOISE, "2 h @ 97 dB", "unit", "“db”", "“db”"),
    ("at", PIECES, "1 @ " + "9" * 60, "long", "at most 60", "60 como máximo"),
    ("ratio", PARTS, "1:2", "ratio", "is not 3 parts", "no son 3 partes"),
    ("ratio", PARTS, "1:2:3:4", "ratio", "such as 1:2:3", "por ejemplo 1:2:3"),
    ("ratio", PARTS, "1::3", "ratio", "such as 1:2:3", "por ejemplo 1:2:3"),
    ("ratio", PARTS, "1:2:nan", "no number", "does not begin with a number", "no empieza con un número"),
    ("ratio", PARTS, "1:2:3 lb", "another kind", "a plain number is wanted", "se pide un número sin unidad"),
    ("size", SHEET, "4 ft", "size", "length by width", "largo por ancho"),
    ("date", (), "11/25/2026", "date", "type year-month-day, such as 2026-11-25", "año-mes-día"),
    ("date", (), "25-11-2026", "date", "is not a date", "no es una fecha"),
    ("date", (), "today", "date", "is not a date", "no es una fecha"),
    ("date", (), "٢٠٢٦-11-25", "date", "is not a date", "no es una fecha"),
    ("date", (), "2026-02-29", "no such day", "no day of the calendar", "no es un día del calendario"),
    ("date", (), "0000-01-01", "no such day", "no day of the calendar", "no es un día del calendario"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "parts", "typed", "reason", "en", "es"), REFUSED)
def test_refused_in_one_sentence(kind, parts, typed, reason, en, es):
    with pytest.raises(Unreadable) as caught:
        read_date(typed) if kind == "date" else read_entry(kind, parts, typed)
    assert caught.value.facts["reason"] == reason
    for words, language in ((en, "en"), (es, "es")):
        sentence = caught.value.in_language(language)
        assert words in sentence and sentence.endswith(".") and ". " not in sentence


def test_dates():
    assert read_date(" 2026-11-25 ") == date(2026, 11, 25)
    assert read_date("2028-2-29") == date(2028, 2, 29)  # 2028 is a leap year


@settings(max_examples=200, deadline=None)
@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)), st.integers(0, 90))
def test_days_after_counts_on_the_calendar(start, days):
    assert read_date(start.isoformat()) == start
    # A second method: the proleptic day number of the standard library.
    assert days_after(start, float(days)).toordinal() == start.toordinal() + days


def test_random_texts_give_a_value_or_a_refusal_quickly():
    source, began = random.Random(12), time.thread_time()
    pieces = [
        "12",
        " @ ",
        "@",
        ":",
        "1",
        "2",
        " in",
        " h",
        " F",
        "-",
        ".",
        ",",
        "nan",
        "½",
        "²",
        "\x00",
        "x",
        " x ",
        "9" * 20,
    ]
    read = 0
    for _ in range(5_000):
        typed = "".join(source.choice(pieces) for _ in range(source.randint(0, 6)))
        if source.random() < 0.5:  # a text that is read, with one piece put in
            typed = source.choice(["12 @ 42 in", "6 h @ 55 F", "1:2:3", "4 x 8 ft", "2026-11-25"])
            place = source.randint(0, len(typed))
            typed = typed[:place] + source.choice(pieces) + typed[place:]
        for kind, parts in (("at", PIECES), ("at", SAMPLES), ("ratio", PARTS), ("size", SHEET), ("date", ())):
            try:
                read_date(typed) if kind == "date" else read_entry(kind, parts, typed)
            except Unreadable:
                continue
            read += 1
    assert read > 50
    assert (time.thread_time() - began) / 25_000 < 0.005


@pytest.fixture
def cut_list():
    """A calculation with every kind of input, taken out of the registry again."""

    @calculation(
        "test.cut",
        title=Text("cut", "corte"),
        purpose=Text("cut", "corte"),
        inputs=(
            Input("piece", "p", "in", Text("pieces", "piezas"), kind="at", many=True, parts=PIECES, example="12 @ 42 in"),
            Input("sheet", "S", "ft", Text("sheet", "hoja"), kind="size", parts=SHEET, example="4 x 8 ft",
                  default=Entry(length=4.0, width=8.0)),
            Input("on", "d_0", "", Text("day", "día"), kind="date", default=date(2026, 11, 25)),
            Input("days", "d", "day", Text("days", "días"), default=14.0, high=90.0),
            Input("curing", "how", "", Text("curing", "curado"), kind="choice", choices=("moist", "steam"),
                  words={"moist": Text("moist", "húmedo"), "steam": Text("steam", "vapor")}, default="moist"),
            Input("density", "D", "lb/ft3", Text("density", "densidad"), default=145.0),
            Input("warmth", "K", "degF", Text("warmth", "calor"), default=68.0, low=-40.0),
        ),
        quantities=(
            Quantity("length", "L", "in", Text("all pieces", "todas")),
            Quantity("area", "A", "ft2", Text("sheet", "hoja")),
            Quantity("ready", "d_1", "", Text("ready", "listo"), kind="date"),
            Quantity("plan", "plan", "in", Text("plan", "plan"), kind="list"),
            Quantity("celsius", "C", "degC", Text("warmth", "calor")),
            Quantity("pressure", "q", "psi", Text("pressure", "presión")),
            Quantity("word", "word", "", Text("word", "palabra"), kind="text"),
        ),
        results=("length", "area", "ready", "plan", "celsius", "pressure", "word"),
        sources=("geometry",),
    )  # fmt: skip
    def cut(v):
        v.length = total(one.count * one.length for one in v.piece)
        v.area = v.sheet.length * v.sheet.width
        v.ready = days_after(v.on, v.days)
        v.plan = [[40.0, 40.0, 36.3], [40.0, 40.0, 36.3], [12.0]]
        v.celsius = (v.warmth - Constant(32.0, "degF")) / Constant(1.8, "degF/degC")
        v.pressure = as_force(v.density * v.sheet.length) / Constant(144.0, "in2/ft2")
        v.word = Text("yes", "sí")

    yield calc.get("test.cut")
    del REGISTRY["test.cut"]


def test_on_the_board(cut_list):
    inputs = {"piece": [(12, 42.0), Entry(count=4.0, length=40.5)]}
    evaluation = cut_list.work(inputs, calc.DEFAULT_SHOP)
    assert evaluation.values == cut_list.evaluate(inputs, calc.DEFAULT_SHOP).values
    text = working.as_text(evaluation).splitlines()
    assert text[0] == "all pieces: L = n_1 × l_1 + n_2 × l_2 = 12 × 42 + 4 × 40 1/2 = 666 in"
    assert text[1] == "sheet: A = a × b = 4 × 8 = 32 ft²"
    assert text[2] == "ready: d_1 = d_0 + d = 2026-11-25 + 14 = 2026-12-09 (Wednesday)"
    assert text[3] == "plan: 2 × (2 @ 40 in + 1 @ 36.3 in); 1 × (1 @ 12 in)"
    assert text[4] == "warmth: C = (K − 32) ÷ 1.8 = (68 − 32) ÷ 1.8 = 20 °C"
    assert "2026-12-09 (miércoles)" in working.as_text(evaluation, "es")
    assert working.as_html(evaluation).count("<li>") == len(text)
    data = working.as_json(evaluation)
    assert data[2]["value"] == "2026-12-09" and data[3]["value"] == [
        [40.0, 40.0, 36.3],
        [40.0, 40.0, 36.3],
        [12.0],
    ]
    assert [step.name for step in working.leading_to(evaluation.steps, "area")] == ["area"]
    assert disagreements(cut_list, evaluation.inputs, evaluation.values) == []


def test_a_wrong_unit_inside_an_entry_is_found(cut_list):
    wrong = calc.Calculation(
        "test.wrong", cut_list.title, cut_list.purpose, cut_list.inputs, cut_list.quantities, ("area",), (),
        lambda v: setattr(v, "area", v.sheet.length * v.piece[0].count),
    )  # fmt: skip
    evaluation = wrong.evaluate({"piece": [(12, 42.0)]}, calc.DEFAULT_SHOP)
    with pytest.raises(DimensionalityError):
        disagreements(wrong, evaluation.inputs, evaluation.values)


def test_typed_texts_to_values(cut_list):
    values = read_inputs(
        cut_list,
        {
            "piece": ["12 @ 42 in", "4 @ 40"],
            "sheet": "4 x 10 ft",
            "on": "2026-11-25",
            "curing": "Húmedo",
            "warmth": "-4",
        },
    )
    evaluation = cut_list.evaluate(values, calc.DEFAULT_SHOP)
    assert evaluation.inputs["piece"] == [Entry(count=12.0, length=42.0), Entry(count=4.0, length=40.0)]
    assert evaluation.inputs["curing"] == "moist"
    assert as_data(evaluation.inputs["piece"]) == [
        {"count": 12.0, "length": 42.0},
        {"count": 4.0, "length": 40.0},
    ]
    assert as_data(evaluation.inputs["on"]) == "2026-11-25"
    assert evaluation.results["celsius"] == pytest.approx(-20.0)  # -4 °F is -20 °C


@pytest.mark.parametrize(
    ("inputs", "sentence"),
    [
        ({}, r'piece \(pieces\) is missing; give for example "12 @ 42 in"'),
        ({"piece": []}, "piece .* is missing"),
        ({"piece": [(12, 500.0)]}, r"piece .* cannot be '12 @ 500'; give .*1 to 240 in"),
        ({"piece": [(12, float("nan"))]}, "piece .* cannot be '12 @ nan'"),
        ({"piece": [(12,)]}, "piece .* cannot be"),
        ({"piece": [42.0]}, "piece .* cannot be 42 in"),
        ({"piece": [(True, 42.0)]}, "piece .* cannot be"),
        ({"piece": [Entry(length=42.0, count=12.0)]}, "piece .* cannot be"),
        ({"piece": [(1, 4.0)], "sheet": (4.0, 80.0)}, r"sheet .* cannot be '4 x 80'; give .*1 to 20 ft"),
        ({"piece": [(1, 4.0)], "on": date(1999, 1, 1)}, "on .* cannot be '1999-01-01'; give year-month-day"),
        ({"piece": [(1, 4.0)], "on": "2026-11-25"}, "on .* cannot be"),
        ({"piece": [(1, 4.0)], "curing": "sun"}, "curing .* cannot be 'sun'; give one of moist, steam"),
    ],
)
def test_refusals_name_the_input(cut_list, inputs, sentence):
    with pytest.raises(Refusal, match=sentence):
        cut_list.evaluate(inputs, calc.DEFAULT_SHOP)


def test_unreadable_texts_name_the_input(cut_list):
    with pytest.raises(
        Refusal, match=r'piece \(pieces\): “12” is not one number at another.* Give .*"12 @ 42 in"'
    ):
        read_input(cut_list.input("piece"), "12")
    with pytest.raises(Refusal) as caught:
        read_input(cut_list.input("on"), "mañana")
    assert "año-mes-día" in caught.value.in_language("es")


def test_an_entry_is_a_value():
    one = Entry(count=12.0, length=42.0)
    assert one == Entry(count=12.0, length=42.0) != Entry(count=12.0, length=43.0)
    assert hash(one) == hash(Entry(count=12.0, length=42.0))
    assert repr(one) == "Entry(count=12.0, length=42.0)"
    with pytest.raises(AttributeError, match="no 'colour'"):
        _ = one.colour
    assert timedelta(days=14) == days_after(date(2026, 11, 25), 14) - date(2026, 11, 25)

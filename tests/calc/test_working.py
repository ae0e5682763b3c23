"""The worked solution shows the very expression that computed the number."""

from __future__ import annotations

import math
import re
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.calc import Flue, working
from trainer.calc.dimensions import disagreements

SAMPLES = [
    ("crown.slab", {"chimney_length": 40.5, "chimney_width": 24.0, "flue_thickness": 5.5,
                    "flue": [Flue("rectangular", 13.0, 13.0), Flue("round", 10.0, 10.0)]}),
    ("crown.slab", {"chimney_length": 36.0, "chimney_width": 24.0}),
    ("crown.slope", {"rise": 3.0, "run": 13.5}),
    ("crown.slab", {"chimney_length": 24.0, "chimney_width": 44.3, "flue_thickness": 6.0,
                    "flue": [Flue("rectangular", 8.5, 13.0)] * 2}),
    ("rebar.mat", {"slab_length": 44.5, "slab_width": 28.0,
                   "flue": [Flue("rectangular", 13.0, 13.0), Flue("rectangular", 8.5, 13.0)]}),
    ("concrete.bags", {"volume": 2.63}),
    ("concrete.bags", {"volume": 2.63, "bag": "60 lb", "yield": 0.44}),
    ("flue.cut", {"flue_above_wall": 14.25}),
    ("flue.cut", {"flue_above_wall": 5.0}),
    ("roof.slope", {"rise": 6.0}),
    ("ladder.set", {"support_height": 16.5}),
    ("flue.cutline", {"outside": Flue("rectangular", 13.0, 13.0), "wall_thickness": 0.875, "cut_down": 5.25,
                      "blade_diameter": 7.0, "flange_diameter": 2.0}),
    ("flue.cutline", {"outside": Flue("round", 12.0, 12.0), "wall_thickness": 1.0, "cut_down": 5.25,
                      "blade_diameter": 4.5, "flange_diameter": 2.0}),
    ("flue.area", {"nominal": Flue("rectangular", 8.5, 13.0)}),
    ("flue.area", {"inside": Flue("round", 10.0, 10.0)}),
    ("flue.weight", {"outside": Flue("rectangular", 13.0, 13.0)}),
    ("flue.weight", {"outside": Flue("round", 12.0, 12.0), "wall_thickness": 1.0}),
    ("flue.fireplace", {"opening_width": 36.0, "opening_height": 28.5, "shape": "round", "area": 90.0}),
    ("flue.fireplace", {"opening_width": 36.0, "opening_height": 28.5, "shape": "rectangular", "area": 90.0,
                        "aspect_ratio": 2.0}),
    ("chimney.height", {"pitch": 6.5, "ridge_distance": 8.25, "roof_at_chimney": 17.5}),
    ("chimney.height", {"pitch": 12.0, "ridge_distance": 30.0}),
    ("sealant.joint", {"flue": [Flue("rectangular", 13.0, 13.0), Flue("round", 10.0, 10.0)]}),
    ("sealant.bead", {"length": 11.3, "width": 0.5, "depth": 0.25}),
    ("sealant.rod", {"joint_width": 0.625}),
    ("coating.area", {"net_area": 7.4, "perimeter": 145.0}),
    ("coating.pails", {"area": 8.7, "coverage": 45.0}),
    ("roof.protect", {"chimney_length": 40.5, "chimney_width": 24.0, "rise": 6.0}),
    ("roof.debris", {"volume": 5.3, "brick": 60.0}),
    ("fall.clearance", {"free_fall": 4.0, "anchor_below": 1.5, "available": 20.0}),
    ("fall.rule", {"height": 14.0, "rise": 6.0}),
    ("lift.limit", {"horizontal": 18.0, "vertical": 15.0, "travel": 21.0, "asymmetry": 45.0, "frequency": 0.3,
                    "coupling": "fair", "load": 40.0}),
    ("lift.limit", {"horizontal": 18.0, "vertical": 63.0, "travel": 21.0, "asymmetry": 45.0, "frequency": 2.5,
                    "coupling": "fair", "load": 40.0, "precision": "two decimals"}),
    ("dust.shroud", {"wheel_diameter": 4.5, "hours": 3.0}),
    ("dust.exposure", {"sample": [(90.0, 120.0), (200.0, 33.0)]}),
    ("noise.dose", {"sample": [(2.0, 97.0), (3.5, 86.0), (1.0, 70.0)]}),
    ("tape.round", {"length": 40.3}),
    ("tape.add", {"length": [40.5, -3.25, 1.3]}),
    ("tape.divide", {"length": 44.5, "parts": 7.0}),
    ("crown.bend", {"edge_load": 300.0}),
    ("crown.movement", {"dimension": 13.0, "temperature_rise": 400.0, "crown_rise": 40.0}),
    ("crown.movement", {"dimension": 13.0, "temperature_rise": 10.0, "crown_rise": 40.0}),
    ("form.boards", {"slab_length": 44.5, "slab_width": 28.0, "board": "2x6"}),
    ("rebar.bar", {"bar": "#4"}),
    ("rebar.lap", {"bar": "#4", "strength": 3000.0}),
    ("rebar.stock", {"piece": [(12, 42.0), (5, 80 / 3), (7, 61.0)], "kerf": 0.125}),
    ("concrete.batch", {"volume": 2.7, "parts": (1.0, 2.5, 3.0), "water_cement": 0.5}),
    ("concrete.buckets", {"volume": 2.7}),
    ("concrete.strength", {"age": 7.0}),
    ("concrete.maturity", {"reading": [(6.0, 55.0), (12.0, 30.0), (6.0, 48.5)]}),
    ("concrete.evaporation", {"air_temperature": 80.0, "concrete_temperature": 87.0, "humidity": 50.0, "wind": 12.0}),
    ("concrete.strip", {"poured_on": date(2026, 11, 25), "cure": 13.5}),
    ("brick.courses", {"height": 97.0}),
    ("brick.count", {"wall_length": 118.0, "wall_height": 94.5}),
    ("mortar.joints", {"wall_length": 118.0, "wall_height": 94.5}),
    ("mortar.repoint", {"joint_length": 340.0}),
    ("mortar.repoint", {"joint_length": 340.0, "depth": 0.75}),
]  # fmt: skip
# Calculations with fewer than two sums: a flue that stays as it is, one sum, a rule looked up.
FEWEST = {
    "flue.cut": 1,
    "dust.shroud": 1,
    "sealant.joint": 1,
    "tape.add": 1,
    "fall.rule": 0,
    "rebar.bar": 0,
    "concrete.evaporation": 1,
}
EVERY = pytest.mark.parametrize(("name", "inputs"), SAMPLES)


def value_shown(text: str) -> float:
    """The displayed arithmetic worked out: × ÷ − ², mixed numbers, √ and the words for functions."""
    text = re.sub(r"(?<=\d),(?=\d{3})", "", text)
    text = re.sub(r"(?<![\d.])(\d+) (\d+)/(\d+)", r"(\1+\2/\3)", text)
    for shown, meant in (
        ("×", "*"), ("÷", "/"), ("−", "-"), ("²", "**2"), ("√", "sqrt"), ("π", "pi"),
        ("round up", "ceil"), ("round off", "nearest"), ("round down", "floor"), ("to hundredths", "hundredths"),
        ("^", "**"), ("the greater of", "max"), ("the lesser of", "min"), ("the angle with tangent", "atan"), ("the angle with cosine", "acos"),
        (";", ","), ("≥", ">="), ("≤", "<="),
    ):  # fmt: skip
        text = text.replace(shown, meant)
    text = re.sub(r"\|([^|]*)\|", r"abs(\1)", text)
    names = {
        "sqrt": math.sqrt, "pi": math.pi, "ceil": lambda x: math.ceil(x - 1e-6), "atan": lambda x: math.degrees(math.atan(x)), "acos": lambda x: math.degrees(math.acos(x)),
        "log": math.log10, "max": max, "min": min, "nearest": lambda x: math.floor(x + 0.5 + 1e-6),
        "hundredths": lambda x: math.floor(x * 100 + 0.5 + 1e-6) / 100,
        "floor": lambda x: math.floor(x + 1e-6), "abs": abs,
    }  # fmt: skip
    return float(eval(text, {"__builtins__": {}}, names))


@EVERY
def test_displayed_substitution_gives_the_displayed_value(name, inputs):
    steps = calc.work(name, inputs).steps
    # Dates are checked on the calendar, in test_strength.py.
    computed = [step for step in steps if step.computed and step.quantity.kind == "number"]
    assert len(computed) >= FEWEST.get(name, 2)
    for step in computed:
        assert value_shown(step.substitution()) == pytest.approx(step.value, rel=1e-4, abs=1e-4), step.text()


@EVERY
def test_displayed_comparison_gives_the_displayed_answer(name, inputs):
    for step in calc.work(name, inputs).steps:
        if step.quantity.kind == "flag" and step.value is not None:
            assert step.asks and bool(value_shown(step.substitution())) is step.value, step.text()
            assert step.text().endswith("? yes" if step.value else "? no")
            assert step.text("es").endswith("? sí" if step.value else "? no")


@EVERY
def test_steps_and_numbers_alone_agree(name, inputs):
    assert calc.work(name, inputs).values == calc.evaluate(name, inputs).values


@EVERY
def test_units_of_every_expression_agree(name, inputs):
    evaluation = calc.evaluate(name, inputs)
    assert disagreements(evaluation.calculation, evaluation.inputs, evaluation.values) == []


@EVERY
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_form_is_written(name, inputs, language):
    evaluation = calc.work(name, inputs)
    html = working.as_html(evaluation, language)
    assert html.count("<li>") == len(evaluation.steps) == len(working.as_json(evaluation, language))
    assert working.as_text(evaluation, language).count("\n") == len(evaluation.steps) - 1


def test_lengths_read_as_on_a_board():
    text = working.as_text(calc.work("crown.slab", {"chimney_length": 40.5, "chimney_width": 24.0}))
    assert "slab length: L = L_c + 2 × o = 40 1/2 + 2 × 2 = 44 1/2 in" in text


def test_signs_are_kept_where_they_matter():
    x, y, z = (calc.algebra.Traced(value, name=name) for value, name in ((5.0, "x"), (3.0, "y"), (1.5, "z")))
    write = lambda node: working._write(node, lambda leaf: leaf.name, "en")  # noqa: E731
    assert write(x - (y - z)) == "x − (y − z)"
    assert write(x / (y * z)) == "x ÷ (y × z)"
    assert write((x + y) * z) == "(x + y) × z"
    assert write(x - y - z) == "x − y − z"
    assert write(-(x + y)) == "−(x + y)"
    assert write((x + y) ** 2) == "(x + y)²"


def test_a_wrong_unit_is_found():
    # The check itself: a formula that forgets ÷ 144 puts square inches where square feet are declared.
    slab = calc.get("crown.slab")

    def forgetful(v):
        v.slab_length = v.chimney_length + 2 * v.overhang
        v.gross_area = v.slab_length * v.chimney_width
        v.weight = v.slab_length * 3.0

    wrong = calc.Calculation(
        slab.name,
        slab.title,
        slab.purpose,
        slab.inputs,
        slab.quantities,
        ("slab_length",),
        slab.sources,
        forgetful,
    )
    evaluation = wrong.evaluate({"chimney_length": 40.0, "chimney_width": 24.0}, calc.DEFAULT_SHOP)
    with pytest.raises(Exception, match="Cannot convert from 'inch'"):
        disagreements(wrong, evaluation.inputs, evaluation.values)


@settings(max_examples=200, deadline=None)
@given(st.floats(8, 240), st.floats(8, 240), st.floats(0, 12))
def test_substitution_holds_for_any_size(length, width, overhang):
    evaluation = calc.work(
        "crown.slab", {"chimney_length": length, "chimney_width": width, "overhang": overhang}
    )
    for step in evaluation.steps:
        if step.computed:
            assert value_shown(step.substitution()) == pytest.approx(step.value, rel=1e-3, abs=1e-3)


def test_every_quantity_is_declared_in_both_languages():
    for name in calc.names():
        calculation = calc.get(name)
        assert calculation.sources
        for each in (*calculation.inputs, *calculation.quantities.values()):
            assert each.meaning.en and each.meaning.es and each.symbol
        assert len(set(calculation.symbols.values())) == len(calculation.symbols), name


def test_only_the_steps_that_lead_to_an_answer():
    evaluation = calc.work("crown.slab", SAMPLES[0][1])
    names = [step.name for step in working.leading_to(evaluation.steps, "gross_area")]
    assert names == ["slab_length", "slab_width", "gross_area"]
    volume = [step.name for step in working.leading_to(evaluation.steps, "volume")]
    assert volume[-1] == "volume" and "perimeter" not in volume and "opening_area" in volume
    assert working.leading_to(evaluation.steps, "chimney_length") == evaluation.steps


def test_html_puts_each_line_after_its_equals_sign():
    html = working.as_html(calc.work("crown.slab", {"chimney_length": 40.5, "chimney_width": 24.0}))
    assert html.startswith(
        '<ol class="working"><li><span class="meaning">slab length</span> <span class="sum"><var>L</var> '
        '<span class="expression">= L<sub>c</sub> +\u00a02 ×\u00a0o</span> '
        '<span class="numbers">= 40\u00a01/2 +\u00a02 ×\u00a02</span> '
        '<strong class="gives">= 44 1/2 in</strong></span></li>'
    )


def test_html_raises_exponents_and_lowers_marks():
    html = working.as_html(calc.work("noise.dose", {"sample": [(2.0, 97.0)]}))
    html = html.replace("\u00a0", " ")
    assert "t<sub>1</sub> × 2<sup>(L<sub>1</sub> − 90) ÷ 5</sup>" in html
    assert "2 × 2<sup>(97 − 90) ÷ 5</sup>" in html
    html = working.as_html(calc.work(*next(one for one in SAMPLES if one[0] == "concrete.evaporation")))
    assert "T<sub>c</sub><sup>2.5</sup>" in html
    assert working.html_symbols("<b>_c^2") == "&lt;b&gt;<sub>c</sub><sup>2</sup>"


@EVERY
def test_no_mark_of_the_plain_text_is_left_in_the_html(name, inputs):
    html = working.as_html(calc.work(name, inputs))
    assert "^" not in html and not re.search(r"[A-Za-z]_\w", html)


def test_a_conversion_is_explained_where_it_is_first_used():
    steps = calc.work("crown.slab", {"chimney_length": 40.5, "chimney_width": 24.0}).steps
    said = {step.name: step.conversions("es") for step in steps if step.conversions()}
    assert said["gross_area"] == ["144 in² = 1 ft²"] and "slab_length" not in said
    html = working.as_html(calc.work("crown.slab", SAMPLES[0][1]))
    assert html.count("144 in² = 1 ft²") == 1 == html.count("1,728 in³ = 1 ft³")


def test_nothing_stands_for_a_yes_or_no():
    evaluation = calc.work("roof.slope", {"rise": 6.0})
    assert working.as_text(evaluation).endswith("low-slope (4 in 12 or less): r ≤ 4? 6 ≤ 4? no")
    assert '<strong class="gives">no</strong>' in working.as_html(evaluation)

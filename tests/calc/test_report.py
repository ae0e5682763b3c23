"""A calculation whole: as text, as data, and explained; its sample and its cautions."""

from __future__ import annotations

import json

import pytest

from trainer import calc
from trainer.calc import Flue, report
from trainer.calc.groups import GROUPS, grouped
from trainer.calc.sources import source

EVERY = pytest.mark.parametrize("name", calc.names())
LANGUAGES = pytest.mark.parametrize("language", ["en", "es"])
SIGNALS = {"DANGER": "PELIGRO", "WARNING": "ADVERTENCIA", "CAUTION": "PRECAUCIÓN", "NOTICE": "AVISO"}


def worked(name):
    return calc.work(name, calc.read_inputs(name, calc.get(name).sample))


@EVERY
def test_the_sample_is_enough_and_names_inputs(name):
    calculation = calc.get(name)
    for each in calculation.sample:
        calculation.input(each)
    assert worked(name).steps


@EVERY
def test_cautions_begin_with_the_same_signal_word_in_both_languages(name):
    for caution in calc.get(name).cautions:
        first, second = (caution.in_language(language).partition(":")[0] for language in ("en", "es"))
        assert SIGNALS[first] == second


def test_work_that_hurts_carries_its_caution():
    # What is done on the roof, with a blade, with cement, at a flue or by lifting is never shown without one.
    for first_word in ("ladder", "fall", "roof", "lift", "dust", "noise", "flue", "form", "mortar"):
        for name in calc.names():
            assert not name.startswith(f"{first_word}.") or calc.get(name).cautions, name


@LANGUAGES
@EVERY
def test_text_holds_everything(name, language):
    evaluation = worked(name)
    calculation = evaluation.calculation
    text = report.as_text(evaluation, language)
    for step in evaluation.steps:
        assert step.text(language) in text
    for each in calculation.inputs:
        assert each.meaning.in_language(language) in text
    for id in calculation.sources:
        assert source(id).title.in_language(language) in text
    for caution in calculation.cautions:
        assert caution.in_language(language) in text


@EVERY
def test_data_is_plain_json(name):
    data = report.as_data(worked(name))
    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert set(data["inputs"]) == {each.name for each in calc.get(name).inputs}


@LANGUAGES
@EVERY
def test_explained_names_every_input_with_its_range_and_default(name, language):
    calculation = calc.get(name)
    lines = report.explained(calculation, language).splitlines()
    for each in calculation.inputs:
        place = next(place for place, line in enumerate(lines) if line.startswith(f"  {each.name} "))
        assert each.meaning.in_language(language) in lines[place]
        assert report.default_in_words(calculation, each, calc.DEFAULT_SHOP, language) in lines[place + 1]
    assert any(line.strip().startswith(f"trainer calc {name}") for line in lines)


def test_defaults_in_words():
    slab = calc.get("crown.slab")
    shop = calc.DEFAULT_SHOP | {"overhang": 2.5}

    def default(name, language="en"):
        return report.default_in_words(slab, slab.input(name), shop, language)

    assert default("chimney_length") == "must be given"
    assert default("overhang") == "left out: 2 1/2 in, the shop standard"
    assert default("overhang", "es") == "si se omite: 2 1/2 in, el estándar del taller"
    assert default("flue_thickness") == "left out: the same as thickness at the edge (t)"
    assert default("flue") == "left out: none"
    assert default("density") == "left out: 145 lb/ft³"


def test_values_in_words():
    slab, shroud = calc.get("crown.slab"), calc.get("dust.shroud")
    flues = [Flue("rectangular", 13.0, 13.0), Flue("round", 10.0, 10.0)]
    assert report.written(slab.input("flue"), flues) == "13 x 13 in; 10 in dia"
    assert report.written(slab.input("flue"), []) == "none"
    assert report.written(shroud.input("task"), "mortar removal", "es") == "quitar mortero"


def test_every_calculation_stands_under_one_topic_of_its_own():
    by_group = grouped(calc.get(name) for name in calc.names())
    assert list(by_group) == list(GROUPS)
    assert sorted(each.name for those in by_group.values() for each in those) == list(calc.names())

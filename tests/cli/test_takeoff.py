"""`trainer takeoff`: the job sheet as text and as data, and what it refuses."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from trainer import takeoff
from trainer.cli import cli
from trainer.errors import TrainerError

CHIMNEY = (
    "chimney_length=40 1/2 in", "chimney_width=24 in", "flue_1=13 x 13 in", "flue_2=8 1/2 x 13 in",
    "flue_thickness=5 1/2 in", "above_wall_1=12 in", "above_wall_2=6 in", "poured_on=2026-12-01",
)  # fmt: skip
SHORT = ("--without", "coating", "--without", "height", "--without", "debris")


def run(*arguments: str):
    return CliRunner().invoke(cli, ["takeoff", *arguments])


def test_without_fields_it_lists_fields_and_parts():
    output = run().output
    first = [line.split()[0] for line in output.splitlines() if line]
    assert first == [*takeoff.FIELDS, *takeoff.PARTS]


def test_the_text_has_every_line_of_the_sheet():
    answer = run(*CHIMNEY, *SHORT)
    assert answer.exit_code == 0, answer.output
    result = takeoff.run(
        takeoff.read(dict(one.split("=", 1) for one in CHIMNEY), ["steel", "sealant", "flues"])
    )
    for line in takeoff.sheet.materials(result):
        assert f"{line.shown}  {line.item}" in answer.output
    assert "2026-12-15  Strip the form." in answer.output and "A fall from a roof kills." in answer.output


def test_the_data_hold_the_numbers_of_trainer_calc():
    data = json.loads(run(*CHIMNEY, *SHORT, "--json").output)
    slab = json.loads(
        CliRunner()
        .invoke(
            cli,
            ["calc", "crown.slab", *CHIMNEY[:2], "flue=13 x 13 in", "flue=8 1/2 x 13 in", CHIMNEY[4], "--json"],
        )
        .output
    )  # fmt: skip
    assert data["links"]["slab"] == slab
    assert {"item": "Wire ties", "value": 35.0, "unit": "count", "from": "mat"} in data["materials"]
    assert {"what": "Strip the form.", "on": "2026-12-15"} in data["steps"]


def test_what_is_refused_is_said_in_place_and_leaves_with_1():
    answer = run(*CHIMNEY, "--json")
    assert answer.exit_code == 1
    links = json.loads(answer.output)["links"]
    assert links["pails"] == {"refused": "it is missing; give 1 to 1,000 ft²/gal.", "field": "coverage"}
    assert links["debris"] == {"waits_for": "old"} and "results" in links["slab"]
    assert "Coating: coverage – it is missing" in run(*CHIMNEY).output


def test_it_speaks_spanish():
    output = run(*CHIMNEY, *SHORT, "--language", "es").output
    assert "5 sacos  Concreto premezclado, sacos de 80 lb" in output and "Descimbre." in output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["chimney_length"], "is not INPUT=VALUE"),
        (["roof=red"], "a take-off has no 'roof'"),
        ([*CHIMNEY, "--with", "gold"], "a take-off has no 'gold'"),
        ([*CHIMNEY, "--without", "gold"], "a take-off has no 'gold'"),
        ([*CHIMNEY, "overhang=1/2 in"], "overhang: .*looser than every source"),
        ([*CHIMNEY, CHIMNEY[0]], "chimney_length was given 2 times"),
        (["chimney_length=nan"], "chimney_length: "),
    ],
)
def test_what_cannot_be_taken_is_one_sentence(arguments, said):
    answer = run(*arguments)
    assert isinstance(answer.exception, TrainerError)
    with pytest.raises(TrainerError, match=said):
        raise answer.exception

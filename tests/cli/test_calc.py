"""`trainer calc`: what it prints, what it refuses, how it leaves."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner

from trainer import calc
from trainer.cli import cli

CROWN = [
    "crown.slab",
    "chimney_length=40 1/2 in",
    "chimney_width=24 in",
    "overhang=2 in",
    "edge_thickness=4 in",
    "flue_thickness=5 1/2 in",
    "flue=13 x 13 in",
    "flue=8 1/2 x 13 in",
]


def run(*arguments: str):
    return CliRunner().invoke(cli, ["calc", *arguments])


def test_lists_every_calculation():
    lines = run().output.splitlines()
    assert [line.split()[0] for line in lines] == list(calc.names())


def test_json_holds_full_precision_in_the_stated_units():
    data = json.loads(run(*CROWN, "--json").output)
    assert data["calculation"] == "crown.slab"
    assert data["inputs"]["chimney_length"] == {"value": 40.5, "unit": "in"}
    assert data["inputs"]["flue"]["value"] == ["13 x 13 in", "8.5 x 13 in"]
    assert data["results"]["gross_area"] == {"value": 44.5 * 28 / 144, "unit": "ft2"}
    assert {"name", "expression", "substitution", "value", "unit"} <= data["steps"][0].keys()
    assert data["sources"][0]["id"] == "geometry"


def test_metric_and_inches_agree():
    inches = json.loads(run("crown.slab", "chimney_length=40 in", "chimney_width=24 in", "--json").output)
    metric = json.loads(
        run("crown.slab", "chimney_length=1016 mm", "chimney_width=0.6096 m", "--json").output
    )
    for name, result in inches["results"].items():
        assert metric["results"][name]["value"] == pytest.approx(result["value"], rel=1e-9)


def test_working_is_the_worked_solution():
    output = run(*CROWN, "--working").output
    assert "L = L_c + 2 × o = 40 1/2 + 2 × 2 = 44 1/2 in" in output
    assert "losa" in run(*CROWN, "--working", "--language", "es").output


def test_report_is_the_whole_of_it():
    output = run(*CROWN, "--report").output
    assert "L = L_c + 2 × o = 40 1/2 + 2 × 2 = 44 1/2 in" in output
    assert "ASTM C1283" in output and "WARNING: loose brick" in output
    assert "ADVERTENCIA" in run(*CROWN, "--report", "--language", "es").output


def test_explain_says_what_goes_in_and_comes_out():
    output = run("crown.slab", "--explain").output
    assert "chimney_width    W_c: chimney width" in output and "8 to 240 in; must be given" in output
    assert "left out: 2 in, the shop standard" in output and "[ft3]" in output
    # Without the inputs that it needs, the same; a calculation that needs none is explained only when asked.
    assert run("crown.slab").output == output
    assert "weight of a foot of bar" in run("rebar.bar", "--explain").output
    assert run("rebar.bar").output != run("rebar.bar", "--explain").output


def test_working_without_what_it_needs_says_what_is_missing():
    done = subprocess.run(
        [sys.executable, "-m", "trainer", "calc", "crown.slab", "--working"], capture_output=True, text=True
    )
    assert done.returncode == 2 and "chimney_length" in done.stderr and "is missing" in done.stderr


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("crown.slab", "chimney_length=40"), "chimney_width (chimney width, outside faces of the top course) is missing"),
        (("crown.slab", "chimney_length=40 lb", "chimney_width=24"), "chimney_length"),
        (("crown.slab", "chimney_length=4,5", "chimney_width=24"), "chimney_length"),
        (("crown.slab", "chimney_length=4000", "chimney_width=24"), "give 8 to 240 in"),
        (("crown.slab", "chimney_length=40", "chimney_length=41", "chimney_width=24"), "was given 2 times; give it once"),
        (("crown.slab", "colour=red"), "has no input 'colour'"),
        (("crown.dome", "radius=3"), "there is no calculation 'crown.dome'"),
        (("rebar.mat", "slab_length=40", "slab_width=28", "bar=#9"), "one of #3, #4, #5"),
        (("concrete.bags", "volume=3", "bag=75 lb"), "one of 40 lb"),
        (("crown.slab", "40"), "is not INPUT=VALUE"),
    ],
)  # fmt: skip
def test_refusals_are_one_sentence_and_status_two(arguments, sentence):
    done = subprocess.run(
        [sys.executable, "-m", "trainer", "calc", *arguments], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert sentence in done.stderr
    assert done.stderr.startswith("trainer: ") and done.stderr.count("\n") == 1


def test_refusals_come_in_the_language_asked_for():
    done = run("crown.slab", "chimney_length=4000", "chimney_width=24", "--language", "es")
    assert done.exit_code == 2 and done.stdout == ""
    assert (
        done.stderr
        == "trainer: chimney_length (largo de la chimenea, por fuera de la última hilada) no puede ser 4000 in; dé de 8 a 240 in.\n"
    )
    assert "no hay un cálculo 'crown.dome'" in run("crown.dome", "--language", "es").stderr
    assert "no es ENTRADA=VALOR" in run("crown.slab", "40", "--language", "es").stderr


def test_notes_stand_under_the_working_and_in_the_description():
    for language, sentence in (
        ("en", "2.5 lb over the 60 to 80 lb"),
        ("es", "2.5 lb más que las 60 a 80 lb"),
    ):
        for arguments in (["outside=13 x 13 in", "--working"], []):
            output = run("flue.weight", *arguments, "--language", language).output
            assert sentence in " ".join(output.split())

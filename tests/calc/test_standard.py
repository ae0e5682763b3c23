"""The shop standard: what is refused, what is noticed."""

from __future__ import annotations

import pytest

from trainer.calc.sources import SOURCES, source
from trainer.calc.standard import DEFAULT_SHOP, FIELDS, check, check_all
from trainer.errors import Refusal, UnknownName


def test_the_standard_as_it_comes_stands():
    assert {notice.source for notice in check_all(DEFAULT_SHOP)} == {"bia-1993", "fireplace-author-2011"}


@pytest.mark.parametrize(
    ("name", "value", "sources"),
    [
        # Published figures that differ: ASTM C1283 8.2, Michigan R 408.30547b 2 in; BIA 1993 2 1/2 in; Farmers'
        # Bulletin 1889 p. 16 1 to 2 in.
        ("overhang", 2.5, set()),
        ("overhang", 2.0, {"bia-1993"}),
        ("overhang", 1.0, {"bia-1993", "astm-c1283", "mi-r408", "common-practice"}),
        ("edge_thickness", 2.0, {"oh-local", "fb1889", "common-practice"}),
        ("cover", 1.0, {"aci-318"}),  # ACI 318-19 Table 20.5.1.3.1: 1 1/2 in
        ("max_projection", 6.0, {"astm-c1283", "fb1889", "nbc-9-21"}),  # ASTM C1283 8.5: 4 in
        ("carry_limit", 60.0, {"niosh-94-110"}),  # NIOSH 94-110 p. 7: 51 lb
    ],
)
def test_stricter_sources_are_named(name, value, sources):
    notices = check(name, value)
    assert {notice.source for notice in notices} == sources
    for notice in notices:
        assert source(notice.source).title.en in notice.in_language("en")
        assert source(notice.source).title.es in notice.in_language("es")


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("overhang", 0.75, "looser than every source: USDA Farmers' Bulletin 1889"),
        ("edge_thickness", 1.5, "looser than every source"),
        ("cover", 0.5, "looser than every source"),
        ("max_spacing", 20.0, "looser than every source"),
        ("overhang", 40.0, "it lies between 0 in – 12 in"),
        ("cure", float("nan"), "it lies between"),
        ("bar", "#9", "choose one of #3, #4, #5"),
    ],
)
def test_looser_than_everything_is_refused(name, value, sentence):
    with pytest.raises(Refusal, match=sentence):
        check(name, value)


def test_the_range_of_flue_heights_must_be_a_range():
    with pytest.raises(Refusal, match="greatest flue height 2 in is under the wanted height 3 in"):
        check_all(DEFAULT_SHOP | {"max_projection": 2.0})


def test_unknown_names():
    with pytest.raises(UnknownName, match="has no 'colour'"):
        check("colour", 1.0)
    with pytest.raises(UnknownName, match="no figure of 'aci-318' stands for overhang"):
        FIELDS["overhang"].position("aci-318")


def test_every_position_names_a_source():
    assert {position.source for field in FIELDS.values() for position in field.positions} <= SOURCES.keys()

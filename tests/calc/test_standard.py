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


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        # Farmers' Bulletin 1889 p. 16: caps "usually 4 in" thick, a flue 4 in above the cap advised.
        ("edge_thickness", 3.0, "calls 4 in usual"),
        ("max_projection", 5.0, "advises 4 in;"),
        # BIA 1993: 2 1/2 in "wider", perhaps both sides together.
        ("overhang", 2.0, "advises a cap 2 1/2 in wider than the chimney, taken here on each side"),
        # NIOSH 94-110 p. 7: the load constant of the best lift; p. 6: the equation is not for carrying.
        ("carry_limit", 60.0, "gives 51 lb for a two-handed lift under the best conditions; it sets no limit for carrying"),
        ("waste", 7.0, "advises at least 10 %"),
        ("bond_gap", 0.5, "advises at least 5/8 in"),
        ("cover", 1.0, "asks for at least 1 1/2 in"),
    ],
)  # fmt: skip
def test_what_a_source_says_is_not_stronger_than_it_is(name, value, said):
    assert any(said in notice.in_language("en") for notice in check(name, value))


def test_our_own_figures_are_called_ours():
    # No source is held for 1/4 in of gap, 12 in of spacing, 5 % of waste and 80 lb to carry.
    ours = {name: p.bound for name, field in FIELDS.items() for p in field.positions if p.kind == "ours"}
    assert ours == {"bond_gap": 0.25, "max_spacing": 12.0, "waste": 5.0, "carry_limit": 80.0}
    assert [n.in_language("en") for n in check("max_spacing", 14.0)] == [
        "our own figure (no source) is at most 12 in; the shop uses 14 in."
    ]


def test_bars_no_further_apart_than_three_thicknesses():
    # ACI 318 (7.6.5 in older editions): at most 3h and 18 in.
    thin = DEFAULT_SHOP | {"edge_thickness": 2.5}
    assert not [n for n in check_all(thin | {"max_spacing": 7.5}) if n.field == "max_spacing"]
    wide = [n for n in check_all(thin | {"max_spacing": 8.0}) if n.field == "max_spacing"]
    assert [n.source for n in wide] == ["aci-318"] and "at most 7 1/2 in apart" in wide[0].in_language("en")


def test_a_refusal_is_whole_in_spanish():
    with pytest.raises(Refusal) as refused:
        check("cure", 200.0)
    assert refused.value.in_language("es").endswith("no puede ser 200 días: va de 0 días – 90 días.")


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

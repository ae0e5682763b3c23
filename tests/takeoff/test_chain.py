"""The chain: what feeds what, and that nothing on the way changes a number."""

from __future__ import annotations

from datetime import date

import pytest

from trainer import calc, takeoff
from trainer.calc.spec import REQUIRED
from trainer.errors import Refusal, UnknownName
from trainer.takeoff import CHAIN, FIELDS, PARTS
from trainer.takeoff.links import MADE, Made


def test_every_link_takes_inputs_that_exist_from_places_that_exist():
    earlier: dict[str, calc.Calculation] = {}
    references = 0
    for link in CHAIN:
        calculation = calc.get(link.calculation)
        known = {each.name for each in calculation.inputs}
        assert set(link.takes) <= known, link.name
        needed = {each.name for each in calculation.inputs if each.default is REQUIRED}
        assert needed <= set(link.takes), link.name
        assert set(link.parts) <= set(PARTS) and link.blame in FIELDS, link.name
        for source in (*link.takes.values(), *link.only_if):
            if not isinstance(source, str) or source in FIELDS or source in MADE:
                assert isinstance(source, str | float | Made)
                continue
            name, _, quantity = source.partition(".")
            before = earlier[name]
            assert quantity in before.quantities or before.input(quantity), source
            references += 1
        assert link.name not in earlier
        earlier[link.name] = calculation
    assert references > 30


def test_a_reference_has_the_unit_of_the_input_it_feeds():
    for link in CHAIN:
        for name, source in link.takes.items():
            if not isinstance(source, str) or source in MADE:
                continue
            asked = calc.get(link.calculation).input(name).unit
            if source in FIELDS:
                given = FIELDS[source].input.unit
            else:
                other, _, quantity = source.partition(".")
                before = calc.get(takeoff.chain.LINKS[other].calculation)
                found = before.quantities.get(quantity) or before.input(quantity)
                given = found.unit
            # A count may be asked for as a plain one of bricks or bars.
            assert given == asked, (link.name, name, source)


def test_every_field_is_used():
    used = {
        source
        for link in CHAIN
        for source in (*link.takes.values(), *link.only_if)
        if isinstance(source, str)
    }
    lists = {"brick_depth"} | {f"flue_{number}" for number in takeoff.fields.FLUES}
    assert set(FIELDS) == (used & set(FIELDS)) | lists


def as_typed(name: str, *texts: str) -> calc.Evaluation:
    """One calculation as `trainer calc` does it: typed texts and the defaults."""
    given: dict[str, list[str]] = {}
    for text in texts:
        key, _, value = text.partition("=")
        given.setdefault(key, []).append(value)
    return calc.evaluate(name, calc.read_inputs(name, given))


def inches(value: float) -> str:
    return f"{value!r} in"


def test_the_chain_gives_what_the_single_calculations_give_by_hand(whole):
    flues = ("flue=13 x 13 in", "flue=8 1/2 x 13 in")
    slab = as_typed(
        "crown.slab", "chimney_length=40 1/2 in", "chimney_width=24 in", "flue_thickness=5 1/2 in", *flues
    ).results
    size = (f"slab_length={inches(slab['slab_length'])}", f"slab_width={inches(slab['slab_width'])}")
    bags = as_typed("concrete.bags", f"volume={slab['volume']!r} ft3").results
    mat = as_typed("rebar.mat", *size, *flues).results
    rod = as_typed("sealant.rod", "joint_width=1/2 in").results
    joint = as_typed("sealant.joint", *flues).results
    surface = as_typed(
        "coating.area", f"net_area={slab['net_area']!r} ft2", f"perimeter={inches(slab['perimeter'])}"
    ).results
    first = as_typed("flue.cut", "flue_above_wall=12 in", "flue_thickness=5 1/2 in").results
    old = as_typed(
        "crown.slab",
        "chimney_length=40 1/2 in",
        "chimney_width=24 in",
        "overhang=0 in",
        "edge_thickness=3 in",
        "bond_gap=0 in",
        *flues,
    ).results
    wall = ("wall_length=114.5 in", "wall_height=16 in")
    joints = as_typed("mortar.joints", "wall_length=129 in", "wall_height=4 ft").results
    by_hand = {
        "slab": slab,
        "form": as_typed("form.boards", *size).results,
        "mat": mat,
        "bags": bags,
        "buckets": as_typed("concrete.buckets", f"volume={bags['volume_needed']!r} ft3").results,
        "joint": joint,
        "rod": rod,
        "bead": as_typed(
            "sealant.bead", f"length={joint['length']!r} ft", "width=1/2 in", f"depth={inches(rod['bead_depth'])}"
        ).results,
        "surface": surface,
        "pails": as_typed("coating.pails", f"area={surface['area']!r} ft2", "coverage=50 ft2/gal").results,
        "strip": as_typed("concrete.strip", "poured_on=2026-12-01").results,
        "cut_1": first,
        "saw_1": as_typed(
            "flue.cutline", "outside=13 x 13 in", "wall_thickness=7/8 in", "blade_diameter=7 in", "flange_diameter=2 in",
            f"cut_down={inches(first['cut_down'])}",
        ).results,
        "piece_off_1": as_typed("flue.weight", "outside=13 x 13 in", "wall_thickness=7/8 in", "length=3 in").results,
        "cut_2": as_typed("flue.cut", "flue_above_wall=6 in", "flue_thickness=5 1/2 in").results,
        "piece_on_2": as_typed("flue.weight", "outside=8 1/2 x 13 in", "wall_thickness=7/8 in", "length=3 in").results,
        "tile_2": as_typed("flue.weight", "outside=8 1/2 x 13 in", "wall_thickness=7/8 in").results,
        "height": as_typed("chimney.height", "pitch=8 in 12", "ridge_distance=9 ft").results,
        "protect": as_typed("roof.protect", "chimney_length=40 1/2 in", "chimney_width=24 in", "rise=8 in 12").results,
        "brick_line": as_typed("tape.add", *("length=40 1/2 in", "length=24 in") * 2, *["length=-3 5/8 in"] * 4).results,
        "brick": as_typed("brick.count", *wall).results,
        "brick_off": as_typed("brick.count", *wall, "waste=0").results,
        "old": old,
        "debris": as_typed("roof.debris", f"volume={old['volume']!r} ft3", "brick=88").results,
        "faces": as_typed("tape.add", *("length=40 1/2 in", "length=24 in") * 2).results,
        "joints": joints,
        "repoint": as_typed("mortar.repoint", f"joint_length={joints['total_length']!r} ft").results,
    }  # fmt: skip
    done = {name: outcome.evaluation.results for name, outcome in whole.outcomes.items()}
    assert set(done) == {*by_hand, "stock"}
    for name, results in by_hand.items():
        for key, value in results.items():
            close = pytest.approx(value, rel=1e-12) if isinstance(value, float) else value
            assert done[name][key] == close, (name, key)


def test_the_cutting_plan_saws_the_bars_of_the_mat(whole):
    # Every piece of the mat comes out of a bar, and their lengths sum to the mat's own total.
    sawn = [length for bar in whole.value("stock.plan") for length in bar]
    assert sum(sawn) / 12 == pytest.approx(whole.value("mat.total_length"))
    assert whole.value("stock.pieces_length") == pytest.approx(whole.value("mat.total_length"))


def test_the_working_is_there_for_every_number(whole):
    for outcome in whole.outcomes.values():
        assert {step.name for step in outcome.evaluation.steps} >= set(outcome.evaluation.results), (
            outcome.link
        )


def test_what_is_left_out_is_not_worked_out(typed):
    bare = takeoff.run(takeoff.read(typed, ()))
    assert set(bare.outcomes) == {"slab", "form", "bags", "buckets", "joint", "strip"}


def test_a_chimney_without_flues_has_no_joint(typed):
    for name in [name for name in typed if name.startswith(("flue_1", "flue_2", "above"))]:
        del typed[name]
    result = takeoff.run(takeoff.read(typed, PARTS))
    assert not {"joint", "rod", "bead", "cut_1", "piece_on_2"} & set(result.outcomes)
    assert result.done("slab") and result.done("mat") and result.done("pails")


class TestRefusals:
    def test_one_stops_its_own_link_and_those_that_need_it(self, typed):
        del typed["coverage"], typed["ridge_distance"]
        result = takeoff.run(takeoff.read(typed, PARTS))
        assert {one.link.name: one.field.name for one in result.refused} == {
            "pails": "coverage",
            "height": "ridge_distance",
        }
        assert all(
            outcome.evaluation for name, outcome in result.outcomes.items() if name not in ("pails", "height")
        )

    def test_what_waits_names_the_link_to_put_right(self, typed):
        typed["chimney_width"] = "2 in"
        result = takeoff.run(takeoff.read(typed, ["steel", "coating"]))
        slab = result.outcomes["slab"]
        assert slab.field.name == "chimney_width"
        assert str(slab.refusal) == "it cannot be 2 in; give 8 to 240 in."
        waiting = {name for name, one in result.outcomes.items() if one.waits_for is not None}
        assert waiting == {"form", "mat", "stock", "bags", "buckets", "surface", "pails"}
        assert {result.outcomes[name].waits_for.name for name in waiting} == {"slab"}
        assert result.done("strip") and result.done("joint")

    def test_one_that_names_no_input_is_said_at_the_field_most_likely_wrong(self, typed):
        typed["flue_1"] = "24 x 24 in"  # wider than the wall
        result = takeoff.run(takeoff.read(typed, ()))
        assert result.outcomes["slab"].field.name == "flue_1"

    def test_a_figure_under_the_floor_of_the_standard_is_refused(self, typed):
        # Every source asks for an inch of overhang at least (USDA Farmers' Bulletin 1889).
        with pytest.raises(Refusal, match=r"^overhang: .*looser than every source"):
            takeoff.read(typed | {"overhang": "3/4 in"}, ())
        job = takeoff.Job({**takeoff.read(typed, ()).values, "overhang": 0.75}, frozenset())
        assert takeoff.run(job).outcomes["slab"].field.name == "overhang"

    def test_a_figure_that_is_not_the_shops_is_told_with_the_stricter_sources(self, typed):
        result = takeoff.run(takeoff.read(typed | {"overhang": "1 1/2 in", "waste": "10 %"}, ()))
        (change,) = result.changes
        assert (change.field.name, change.job, change.shop) == ("overhang", 1.5, 2.0)
        assert {one.source for one in change.stricter} == {
            "common-practice",
            "astm-c1283",
            "mi-r408",
            "bia-1993",
        }

    @pytest.mark.parametrize(
        ("texts", "parts", "named"),
        [({"chimney_lenght": "40"}, (), "chimney_lenght"), ({}, ["roof"], "roof")],
    )
    def test_an_unknown_name_is_refused(self, texts, parts, named):
        with pytest.raises(UnknownName, match=named):
            takeoff.read(texts, parts)

    def test_a_text_that_cannot_be_read_names_its_field(self):
        with pytest.raises(Refusal, match=r"^chimney_length: .*4,5.*point"):
            takeoff.read({"chimney_length": "4,5 in"}, ())


def test_the_shops_figures_hold_where_nothing_is_typed(typed):
    shop = {**calc.DEFAULT_SHOP, "overhang": 2.5, "cure": 21.0}
    result = takeoff.run(takeoff.read(typed, ()), shop)
    assert result.value("slab.slab_length") == 40.5 + 5 and result.value("strip.strip_on") == date(
        2026, 12, 22
    )
    assert not result.changes


def test_the_shops_texts_are_read_back_as_the_shops_figures():
    for language in ("en", "es"):
        texts = takeoff.shop_texts(calc.DEFAULT_SHOP, language)
        job = takeoff.read(texts, (), language)
        assert set(texts) == {name for name, field in FIELDS.items() if field.shop_field}
        for name, value in job.values.items():
            assert value == calc.DEFAULT_SHOP[FIELDS[name].shop_field], name

"""The job sheet: one example recomputed in plain arithmetic, what is listed when, and every sentence in both languages."""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc, takeoff
from trainer.languages import LANGUAGES
from trainer.takeoff import PARTS, cautions, lines, sheet
from trainer.takeoff.chain import LINKS


def by_hand() -> dict[str, float]:
    """The same chimney in plain arithmetic, nothing of the program used.

    Formulas: geometry; ASTM A615 (#3 bar: 3/8 in, 0.376 lb/ft, from memory); bag yield and water from the bags' labels
    (80 lb: 0.60 ft³, 6 to 9 pints); IRC R1003.9 (2 ft above what lies within 10 ft); NIST (231 in³ and 128 fl oz a
    gallon, from memory); waste, rod, coats and debris weights: common practice, no source.
    """
    length, width, overhang, edge, flue_thick, gap, spacing = 40.5, 24.0, 2.0, 4.0, 5.5, 0.5, 4.0
    slab_l, slab_w = length + 2 * overhang, width + 2 * overhang
    crest_l, crest_w = 13 + spacing + 8.5 + 2 * gap, 13 + 2 * gap
    rise = flue_thick - edge
    wash = rise / 6 * (2 * slab_l * slab_w + slab_l * crest_w + crest_l * slab_w + 2 * crest_l * crest_w)
    openings = 14 * 14 + 9.5 * 14
    volume = (slab_l * slab_w * edge + wash - openings * flue_thick) / 1728
    mixed = volume * 1.10
    bags = math.ceil(mixed / 0.60)
    trips = math.ceil(mixed / ((50 - 2) / 145))

    # Steel: 1 1/2 in of cover, bars at most 8 in apart, held back by the cover from both openings.
    cover, bar = 1.5, 3 / 8
    spots = [(-(13 + spacing + 8.5) / 2 + 6.5, 14.0, 14.0), ((13 + spacing + 8.5) / 2 - 4.25, 9.5, 14.0)]
    pieces = []
    for along, across in ((slab_l, slab_w), (slab_w, slab_l)):
        clear = across - 2 * cover - bar
        spaces = math.ceil(clear / 8)
        for number in range(spaces + 1):
            at = -clear / 2 + number * clear / spaces
            free = [(-along / 2 + cover, along / 2 - cover)]
            for x, size_x, size_y in spots:
                (middle, size), (off, wide) = (
                    ((x, size_x), (0, size_y)) if along == slab_l else ((0, size_y), (x, size_x))
                )
                if abs(at - off) < wide / 2 + cover + bar / 2:
                    low, high = middle - size / 2 - cover, middle + size / 2 + cover
                    free = [
                        part
                        for first, last in free
                        for part in ((first, min(last, low)), (max(first, high), last))
                        if part[1] > part[0]
                    ]
            pieces += [last - first for first, last in free]
    steel = sum(pieces) / 12

    joint = (2 * (13 + 13) + 4 * gap + 2 * (8.5 + 13) + 4 * gap) / 12
    sealant = joint * 12 * 0.5 * 0.25 * 1.10 / (10.1 * 231 / 128)
    coated = (slab_l * slab_w - openings + 2 * (slab_l + slab_w) * edge) / 144
    tile = (13 * 13 - (13 - 1.75) ** 2) * 3 / 1728 * 140
    second = (8.5 * 13 - (8.5 - 1.75) * (13 - 1.75)) * 3 / 1728 * 140
    brick_line = 2 * (length + width) - 4 * 3.625
    brick = brick_line * 16 / ((7.625 + 0.375) * (2.25 + 0.375))
    old = (length * width - 13 * 13 - 8.5 * 13) * 3 / 1728
    debris = old * 145 + math.ceil(brick) * 4.5
    courses = 48 / (2.25 + 0.375)
    pointed = (129 * courses + 129 / 8 * courses * 2.25) / 12
    mortar = pointed * 12 * 0.375 * (2.5 * 0.375) * 1.10 / 1728
    return {
        "slab.volume": volume,
        "slab.weight": volume * 145,
        "form.total_length": 2 * (slab_l + slab_w + 3) / 12,
        "form.diagonal": math.hypot(slab_l, slab_w),
        "mat.total_length": steel,
        "mat.weight": steel * 0.376,
        "mat.ties": 5 * 7,
        "stock.bars_needed": math.ceil(steel / 20),
        "bags.bags": bags,
        "bags.bag_weight": bags * 80,
        "bags.water_low": bags * 6 / 8,
        "bags.water_high": bags * 9 / 8,
        "buckets.trips": trips,
        "joint.length": joint,
        "rod.rod": 5 / 8,
        "bead.cartridges": math.ceil(sealant),
        "pails.gallons": coated * 2 / 50,
        "pails.pails": math.ceil(coated * 2 / 50),
        "cut_1.cut_down": (12 - 0.5 - 5.5) - 3,
        "cut_2.extension": 3 - (6 - 0.5 - 5.5),
        "piece_off_1.weight": tile,
        "piece_on_2.weight": second,
        "height.height_above_penetration": 9 * 8 + 24,
        "brick.bricks": math.ceil(brick * 1.05),
        "debris.weight": debris,
        "debris.trips": math.ceil(debris / 50),
        "repoint.bags": math.ceil(mortar / 0.6),
    }


def test_the_whole_example_recomputed_in_plain_arithmetic(whole):
    expected = by_hand()
    assert {name: whole.value(name) for name in expected} == {
        name: pytest.approx(value, rel=1e-9) for name, value in expected.items()
    }
    poured = date(2026, 12, 1)
    assert whole.value("strip.strip_on") == whole.value("strip.coat_on") == poured + timedelta(days=14)


def test_the_material_list_of_the_example(whole):
    listed = {line.item: line.shown for line in sheet.materials(whole)}
    assert listed == {
        "Pre-mixed concrete, 80 lb bags": "5 bags",
        "Clean water for the mix, at most; at least 3.75 gal": "5.625 gal",
        "Form lumber 2x4: 2 at 44 1/2 in, 2 at 31 in": "12 ft 7 in",
        "Rebar #3, bars of 20 ft": "1 bar",
        "Wire ties": "35",
        "Compressible filler round the flues, 1/2 in thick": "8 ft 3 in",
        "Backer rod, 5/8 in": "8 ft 3 in",
        "Sealant, cartridges of 10.1 fl oz": "1",
        "Brushed coating, pails of 1 gal": "1",
        "Wet cover and plastic for the cure": "8.653 ft²",
        "Flue extension for 8 1/2 x 13 in (flue 2)": "3 in",
        "Brick": "92 bricks",
        "Mortar for pointing": "2 bags",
        "Roof cover, sheets of 4 x 8 ft": "5",
    }


def test_weights_steps_and_plan_of_the_example(whole):
    loads = {what: (weight, trips) for what, weight, trips in sheet.loads(whole)}
    assert loads["Debris"] == ("570.3 lb", "12")
    assert loads["A bucket of concrete, 2.476 gal in it"] == ("50 lb", "9")
    steps = list(sheet.steps(whole))
    assert steps[0][0].startswith("Cover the roof") and steps[-1][0].startswith("Rake the joints")
    assert [on for _, on in steps if on] == [date(2026, 12, 1), *[date(2026, 12, 15)] * 3]
    assert "Flue 1: cut off 3 in before the form goes on." in [what for what, _ in steps]
    assert list(sheet.cuts(whole)) == [(1, "2 × 41 1/2 in + 2 × 25 in + 6 × 6 in + 10 × 4 in")]


# Which lines of the material list belong to which part, by the link they come from.
OF_PART = {
    "steel": {"stock", "mat"},
    "sealant": {"bead"},
    "coating": {"pails"},
    "flues": {"cut_2"},
    "height": set(),
    "debris": set(),
    "protect": {"protect"},
    "brick": {"brick"},
    "repoint": {"repoint"},
}


@pytest.mark.parametrize("part", PARTS)
def test_leaving_out_a_part_takes_its_lines_and_no_others(whole, typed, part):
    less = takeoff.run(takeoff.read(typed, set(PARTS) - {part}))
    every, left = set(sheet.materials(whole)), set(sheet.materials(less))
    assert left < every or not OF_PART[part]
    assert {line.link for line in every - left} == OF_PART[part]
    assert left <= every


@settings(max_examples=60, deadline=None)
@given(
    st.integers(10, 98).map(lambda eighths: eighths / 2),
    st.floats(0, 10),
    st.sampled_from(["60 lb", "80 lb"]),
)
def test_more_waste_never_means_fewer_bags(waste, more, bag):
    def bags(percent):
        typed = {"chimney_length": "50", "chimney_width": "30", "bag": bag, "waste": f"{percent:.6f}"}
        (line,) = (
            one
            for one in sheet.materials(takeoff.run(takeoff.read(typed, ())))
            if one.link == "bags" and one.unit == "bags"
        )
        return line.value

    assert bags(min(waste + more, 50)) >= bags(waste)


@settings(max_examples=60, deadline=None)
@given(st.integers(24, 90), st.integers(24, 48), st.integers(0, 3))
def test_a_bigger_chimney_never_takes_less(length, width, more):
    def listed(chimney_length):
        typed = {
            "chimney_length": f"{chimney_length} in",
            "chimney_width": f"{width} in",
            "coverage": "50",
            "poured_on": "2026-05-01",
        }
        result = takeoff.run(takeoff.read(typed, ["coating"]))
        return {line.link + line.unit: line.value for line in sheet.materials(result)}

    small, big = listed(length), listed(length + more)
    assert small.keys() == big.keys() and all(big[name] >= small[name] - 1e-9 for name in small)


def sentences():
    for table in (lines.MATERIALS, lines.LOADS, lines.STEPS, lines.KEY_FIGURES):
        for line in table:
            for name in ("item", "what", "value"):
                if hasattr(getattr(line, name, None), "in_language"):
                    yield getattr(line, name), line
    for caution in cautions.CAUTIONS:
        yield caution.sentence, caution


def test_every_place_in_every_sentence_stands_for_something_in_both_languages():
    places = 0
    for text, _line in sentences():
        found = [sorted(sheet.PLACE.findall(text.in_language(language))) for language in LANGUAGES]
        assert found[0] == found[1], text
        for reference in found[0]:
            link, _, quantity = reference.partition(".")
            if not quantity:
                assert link in takeoff.FIELDS
                continue
            calculation = calc.get(LINKS[link].calculation)
            assert quantity in calculation.quantities or calculation.input(quantity)
            places += 1
    assert places > 40


def test_the_references_of_every_line_stand_for_something():
    for table in (lines.MATERIALS, lines.LOADS, lines.STEPS, lines.KEY_FIGURES):
        for line in table:
            for name in ("quantity", "weight", "trips", "when", "on"):
                reference = getattr(line, name, "")
                if reference:
                    link, _, quantity = reference.partition(".")
                    calculation = calc.get(LINKS[link].calculation)
                    assert quantity in calculation.quantities or calculation.input(quantity), reference


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_on_the_sheet_is_left_unfilled(whole, language):
    said = [
        *(f"{line.item} {line.shown}" for line in sheet.materials(whole, language)),
        *(" ".join(line) for line in sheet.loads(whole, language)),
        *(what for what, _ in sheet.steps(whole, language)),
        *(" ".join(pair) for pair in sheet.key_figures(whole, language)),
        *(sentence for _, sentence in sheet.cautions(whole, language)),
    ]
    assert len(said) > 40
    assert not [one for one in said if "{" in one or "None" in one or "–" in one]


class TestCautions:
    def said(self, typed, parts=(), **more):
        return " ".join(
            text for _, text in sheet.cautions(takeoff.run(takeoff.read({**typed, **more}, parts)))
        )

    @pytest.mark.parametrize(
        ("more", "parts", "words"),
        [
            ({"bag": "40 lb"}, (), None),
            ({"bag": "80 lb"}, (), "One bag is 80 lb"),
            ({"board": "2x6"}, (), None),
            ({"board": "2x4"}, (), "The form board is 3 1/2 in deep"),
            ({"edge_thickness": "3 in", "flue_thickness": "4 1/2 in", "board": "2x6"}, ["steel"], "The mat needs 3 3/4 in"),
            ({"flue_thickness": ""}, (), "The top is flat"),
            ({"above_wall_2": "5 in"}, ["flues"], "would cover a flue"),
            ({"bond_gap": "3/4 in"}, ["sealant"], None),
        ],
    )  # fmt: skip
    def test_each_is_said_when_it_is_so_and_not_otherwise(self, typed, more, parts, words):
        usual = self.said(typed, bag="40 lb", board="2x6")
        said = self.said(typed, parts, **{"bag": "40 lb", "board": "2x6", **more})
        if words is None:
            assert said.startswith(usual[:200]) and "One bag" not in said and "form board" not in said
        else:
            assert words in said and words not in usual

    def test_the_deference_is_always_said(self, typed):
        said = self.said(typed)
        for words in ("A fall from a roof kills", "local code", "licensed", "Under 40 °F"):
            assert words in said

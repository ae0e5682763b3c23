"""Drawing: the same seed gives the same numbers for ever, and bad numbers are drawn again."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from hashlib import sha256

import pytest

from trainer.calc import DEFAULT_SHOP
from trainer.languages import Text
from trainer.questions import Bank, Draw, NoDraw, draw
from trainer.questions.draw import given_away
from trainer.questions.kinds import KINDS
from trainer.questions.kinds.number import knife_edges, on_edge

LENGTH = "questions/crown/slab-length.toml"
BAGS = "questions/bag-count.toml"

# Written down once; a change here changes what people were asked.
PINNED_LENGTHS = {
    0: (45.5, 29.0),
    1: (43.5, 24.0),
    7: (50.5, 28.5),
    2026: (57.0, 24.0),
    -3: (47.5, 25.0),
    10**12: (39.0, 29.5),
}
PINNED_BAGS = {
    0: (2.25, "60 lb", 6), 1: (3.05, "60 lb", 8), 7: (2.55, "60 lb", 7), 2026: (3.15, "60 lb", 8),
    -3: (3.4, "80 lb", 7), 10**12: (2.25, "60 lb", 6),
}  # fmt: skip
PINNED_ORDERS = {0: "213", 1: "231", 7: "123"}


@pytest.mark.parametrize("seed", PINNED_LENGTHS)
def test_pinned_lengths(small_bank: Bank, seed: int) -> None:
    drawn = draw(small_bank.question("slab-length"), seed)
    length, width = PINNED_LENGTHS[seed]
    assert (drawn.givens["chimney_length"].value, drawn.givens["chimney_width"].value) == (length, width)
    assert drawn.body.expected == length + 4  # two overhangs of 2 in


@pytest.mark.parametrize("seed", PINNED_BAGS)
def test_pinned_bags(small_bank: Bank, seed: int) -> None:
    drawn = draw(small_bank.question("bag-count"), seed)
    volume, bag, bags = PINNED_BAGS[seed]
    assert (drawn.givens["volume"].value, drawn.givens["bag"].value, drawn.body.expected) == (
        volume,
        bag,
        bags,
    )
    # By hand: 10 % more, over the yield printed on the bag (0.45 ft³ for 60 lb, 0.60 ft³ for 80 lb), rounded up.
    needed = Fraction(str(volume)) * Fraction(11, 10) / Fraction("0.45" if bag == "60 lb" else "0.60")
    assert drawn.body.expected == -(-needed.numerator // needed.denominator)


@pytest.mark.parametrize("seed", PINNED_ORDERS)
def test_pinned_orders(small_bank: Bank, seed: int) -> None:
    drawn = draw(small_bank.question("what-first"), seed)
    assert "".join(option.id[-1] for option in drawn.body.options) == PINNED_ORDERS[seed]
    assert [option.letter for option in drawn.body.options] == ["A", "B", "C"]


@pytest.mark.parametrize("seed", range(40))
def test_the_derivation_is_a_plain_hash(small_bank: Bank, seed: int) -> None:
    """Done again from its definition: sha256 of id|version|seed|attempt|name, as a whole number, over the steps."""
    drawn = draw(small_bank.question("slab-length"), seed)
    for name, low, count in (("chimney_length", Fraction(36), 49), ("chimney_width", Fraction(24), 13)):
        digest = sha256(f"slab-length|1|{seed}|0|{name}".encode()).hexdigest()
        assert Fraction(drawn.givens[name].value) == low + Fraction(int(digest, 16) % count, 2)


def test_every_step_comes_up(small_bank: Bank) -> None:
    widths = {
        draw(small_bank.question("slab-length"), seed).givens["chimney_width"].value for seed in range(300)
    }
    assert widths == {24 + half / 2 for half in range(13)}


@pytest.mark.parametrize("id", ["slab-length", "bag-count", "what-first"])
def test_a_draw_goes_to_json_and_back(small_bank: Bank, id: str) -> None:
    for seed in range(25):
        drawn = draw(small_bank.question(id), seed)
        text = json.dumps(drawn.to_json(), allow_nan=False)
        assert Draw.from_json(json.loads(text)) == drawn


def test_no_field_of_a_body_is_called_like_a_common_one() -> None:
    """Both stand side by side in the JSON."""
    for kind in KINDS.values():
        assert not set(kind.body.__dataclass_fields__) & set(Draw.__dataclass_fields__)


def test_texts_are_filled_in_both_languages(small_bank: Bank) -> None:
    drawn = draw(small_bank.question("slab-length"), 0)
    assert drawn.text.en.startswith("A chimney measures 45 1/2 in by 29 in. The crown hangs over 2 in.")
    assert drawn.text.es.startswith("Una chimenea mide 45 1/2 in por 29 in.")
    assert drawn.body.slips[0].text == Text(
        en="You added 2 in once. It counts twice.", es="Sumó 2 in una vez. Cuenta dos veces."
    )
    flues = {draw(small_bank.question("bag-count"), seed).givens["flue"].text for seed in range(30)}
    assert Text(en="8 1/2 x 13 in and 8 1/2 x 13 in", es="8 1/2 x 13 in y 8 1/2 x 13 in") in flues
    assert Text(en="10 in dia", es="10 in diám") in flues


def test_the_shop_standard_is_drawn_and_frozen(small_bank: Bank) -> None:
    shop = DEFAULT_SHOP | {"overhang": 2.5}
    drawn = draw(small_bank.question("slab-length"), 0, shop)
    assert drawn.givens["overhang"].text.en == "2 1/2 in"
    assert drawn.body.expected == 45.5 + 5
    assert (
        drawn.body.inputs is not None
        and drawn.body.inputs["edge_thickness"] == DEFAULT_SHOP["edge_thickness"]
    )


@pytest.mark.parametrize(
    ("exact", "edge"),
    [
        (5.5, False),
        (6.0, True),
        (5.89, True),  # 2 % of 5.89 is 0.118
        (5.88, False),
        (6.12, True),
        (6.13, False),
        (11.79, False),  # 2 % would be 0.236, but never more than 0.2
        (11.81, True),
        (0.5, False),
    ],
)
def test_knife_edges(exact: float, edge: bool) -> None:
    assert on_edge(exact) is edge


def test_an_answer_that_does_not_turn_on_a_count_has_no_knife_edge(
    small_bank: Bank, changed_bank: Callable[..., Bank]
) -> None:
    assert knife_edges(small_bank.question("bag-count")) == ("bags_exact",)
    assert knife_edges(small_bank.question("slab-length")) == ()
    other = changed_bank(
        BAGS,
        ('result = "bags"', 'result = "volume_needed"'),
        ('unit = "bags"', 'unit = "ft3"'),
        ('"exact"', '"2 %"'),
    )
    assert knife_edges(other.question("bag-count")) == ()
    rests = changed_bank(BAGS, ('result = "bags"', 'result = "bag_weight"'), ('unit = "bags"', 'unit = "lb"'))
    assert knife_edges(rests.question("bag-count")) == ("bags_exact",)


def test_no_draw_stands_on_a_knife_edge(small_bank: Bank) -> None:
    for seed in range(300):
        drawn = draw(small_bank.question("bag-count"), seed)
        per_bag = 0.45 if drawn.givens["bag"].value == "60 lb" else 0.60
        assert not on_edge(drawn.givens["volume"].value * 1.1 / per_bag)


def test_answers_outside_the_field_are_drawn_again(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(LENGTH, ('low = "30 in"', 'low = "50 in"'), ('high = "70 in"', 'high = "52 in"'))
    answers = {draw(bank.question("slab-length"), seed).body.expected for seed in range(60)}
    assert answers == {50, 50.5, 51, 51.5, 52}


def test_slips_that_meet_are_drawn_again(changed_bank: Callable[..., Bank]) -> None:
    """The short side is a slip of the long side; where both are equal the numbers are no good."""
    bank = changed_bank(
        LENGTH,
        ('low = "36 in"', 'low = "24 in"'),
        ('high = "60 in"', 'high = "30 in"'),
        ('change = { overhang = "zero" }', 'result = "slab_width"'),
        ('low = "30 in"', 'low = "20 in"'),
    )
    for seed in range(200):
        drawn = draw(bank.question("slab-length"), seed)
        assert drawn.givens["chimney_length"].value != drawn.givens["chimney_width"].value


def test_no_good_numbers_at_all_is_said(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(LENGTH, ('low = "30 in"', 'low = "69 in"'))
    with pytest.raises(NoDraw, match=r"no good numbers for seed 0: the answer .* outside the field"):
        draw(bank.question("slab-length"), 0)


def test_a_slip_that_takes_the_shops_own_figure_is_left_out(changed_bank: Callable[..., Bank]) -> None:
    bank = changed_bank(LENGTH, ('{ overhang = "half" }', '{ overhang = "2 in" }'))
    question = bank.question("slab-length")
    assert "one-side" not in [slip.id for slip in draw(question, 0).body.slips]
    wider = draw(question, 0, DEFAULT_SHOP | {"overhang": 3.0})
    assert {slip.id: slip.value for slip in wider.body.slips}["one-side"] == 45.5 + 4


@pytest.mark.parametrize(
    ("said", "expected", "unit", "away"),
    [
        ("The slab is 44 1/2 in long.", 44.5, "in", True),
        ("The slab is 144 1/2 in long.", 44.5, "in", False),
        ("It is 44 1/2 in.", 44.5, "in", True),
        ("Six 6 in tiles", 6, "count", False),
        ("Take 6.", 6, "count", True),
        ("Take 6 1/2 in.", 6, "count", False),
        ("Take 16.", 6, "count", False),
        ("Take 0.6.", 6, "count", False),
        ("Take 6 bags up.", 6, "bags", True),
    ],
)
def test_a_text_that_gives_the_answer_away(said: str, expected: float, unit: str, away: bool) -> None:
    assert given_away(Text(en=said, es="nada"), expected, unit) is away
    assert given_away(Text(en="nothing", es=said.replace("bags", "sacos")), expected, unit) is away

"""Bars to buy and how to cut them.

rebar.stock
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cutting
from trainer.calc.algebra import IN_PER_FT, PERCENT, plain, round_up, total
from trainer.calc.entries import Part
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

MOST_PIECES: Final = 500


@calculation(
    "rebar.stock",
    title=Text(en="Cutting plan for bars", es="Plan de corte de varillas"),
    purpose=Text(
        en="The fewest bars to buy for a list of pieces, and what to saw from each.",
        es="Las menos varillas que se compran para una lista de piezas, y qué se corta de cada una.",
    ),
    inputs=(
        Input(
            "piece",
            "p",
            "in",
            Text(en="how many pieces of a length", es="cuántas piezas de un largo"),
            kind="at",
            many=True,
            example="12 @ 42 in",
            parts=(
                Part("count", "n", "count", low=1, high=MOST_PIECES),
                Part("length", "l", "in", low=0.5, high=720.0),
            ),
        ),
        Input(
            "stock_length",
            "L",
            "ft",
            Text(en="length of the bars sold", es="largo de las varillas que se venden"),
            default=20.0,
            low=1.0,
            high=60.0,
        ),
        Input(
            "kerf",
            "k",
            "in",
            Text(en="width of the saw cut", es="ancho del corte de la sierra"),
            default=0.0,
            high=1.0,
        ),
    ),
    quantities=(
        Quantity("pieces", "N_p", "count", Text(en="pieces in all", es="piezas en total")),
        Quantity(
            "pieces_length", "l_T", "ft", Text(en="length of all the pieces", es="largo de todas las piezas")
        ),
        Quantity(
            "bars_exact",
            "n_b",
            "count",
            Text(en="bars if nothing were left over", es="varillas si no sobrara nada"),
        ),
        Quantity(
            "bars_by_length",
            "n_l",
            "count",
            Text(
                en="whole bars by length alone, if offcuts could be joined",
                es="varillas enteras solo por el largo, si las puntas se pudieran unir",
            ),
            rounds="bars_exact",
        ),
        Quantity(
            "plan",
            "plan",
            "in",
            Text(en="bars and what to saw from each", es="varillas y qué se corta"),
            kind="list",
        ),
        Quantity("bars_needed", "N", "count", Text(en="bars to buy", es="varillas que se compran")),
        Quantity("bought_length", "l_B", "ft", Text(en="length of those bars", es="largo de esas varillas")),
        Quantity(
            "waste",
            "m",
            "percent",
            Text(en="share left over, saw cuts included", es="parte que sobra, con los cortes"),
        ),
    ),
    results=("bars_needed", "waste", "plan"),
    sources=("arithmetic", "common-practice"),
)
def stock(v: Any) -> None:
    """The cutting plan of `cutting.plan`: never more bars than first-fit-decreasing, the fewest for up to 12 lengths.

    Raises Refusal when a piece is longer than the bars, or when there are more than MOST_PIECES pieces.
    """
    pieces = [(float(plain(one.length)), round(float(plain(one.count)))) for one in v.piece]
    bar = float(plain(v.stock_length)) * float(IN_PER_FT)
    _check(pieces, bar)
    v.pieces = total(one.count for one in v.piece)
    v.pieces_length = total(one.count * one.length for one in v.piece) / IN_PER_FT
    v.bars_exact = v.pieces_length / v.stock_length
    v.bars_by_length = round_up(v.bars_exact)
    v.plan = cutting.plan(pieces, bar, float(plain(v.kerf)))
    v.bars_needed = float(len(v.plan))
    v.bought_length = v.bars_needed * v.stock_length
    v.waste = (v.bought_length - v.pieces_length) / v.bought_length * PERCENT


def _check(pieces: list[tuple[float, int]], bar: float) -> None:
    longest, count = max(length for length, _ in pieces), sum(count for _, count in pieces)
    if not cutting.fits([longest], bar, 0.0):
        raise Refusal(
            Text(
                en="a piece of %(piece)g in is longer than stock_length %(stock)g in; "
                "give longer bars or two pieces with a lap.",
                es="una pieza de %(piece)g in es más larga que stock_length %(stock)g in; "
                "dé varillas más largas o dos piezas con traslape.",
            ),
            piece=longest,
            stock=bar,
        )
    if count > MOST_PIECES:
        raise Refusal(
            Text(
                en="piece counts make %(count)d pieces; give %(most)d at most.",
                es="las cantidades de piece suman %(count)d piezas; dé %(most)d como máximo.",
            ),
            count=count,
            most=MOST_PIECES,
        )

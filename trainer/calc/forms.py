"""Form boards round a crown.

form.boards
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, Constant, square_root
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text


class Board(NamedTuple):
    """One lumber size [in]: dressed thickness and depth, nominal thickness and depth."""

    thickness: Constant
    depth: Constant
    nominal_thickness: Constant
    nominal_depth: Constant


def _board(*sizes: float) -> Board:
    return Board(*(Constant(size, "in") for size in sizes))


# American Softwood Lumber Standard PS 20, dressed dry sizes, from memory.
BOARDS: Final = {"2x4": _board(1.5, 3.5, 2, 4), "2x6": _board(1.5, 5.5, 2, 6)}


@calculation(
    "form.boards",
    title=Text(en="Form boards", es="Tablas de la cimbra"),
    purpose=Text(
        en="Lengths of the form boards, lumber to bring and the diagonal that shows the form is square.",
        es="Largos de las tablas de la cimbra, madera que se lleva y la diagonal que muestra que está a escuadra.",
    ),
    inputs=(
        Input("slab_length", "L", "in", Text(en="slab length", es="largo de la losa"), low=8.0, high=264.0),
        Input("slab_width", "W", "in", Text(en="slab width", es="ancho de la losa"), low=8.0, high=264.0),
        Input(
            "board",
            "board",
            "",
            Text(en="lumber size", es="medida de la madera"),
            default="2x4",
            kind="choice",
            choices=tuple(BOARDS),
        ),
    ),
    quantities=(
        Quantity(
            "board_thickness",
            "b",
            "in",
            Text(en="dressed thickness of the board", es="espesor real de la tabla"),
        ),
        Quantity("board_depth", "h", "in", Text(en="dressed depth of the board", es="alto real de la tabla")),
        Quantity(
            "long_boards", "l_L", "in", Text(en="each of the two long boards", es="cada tabla larga (dos)")
        ),
        Quantity(
            "short_boards",
            "l_S",
            "in",
            Text(
                en="each of the two short boards, lapping the long ones' ends",
                es="cada tabla corta (dos), que tapa las puntas de las largas",
            ),
        ),
        Quantity(
            "total_length", "l_T", "ft", Text(en="lumber, all four boards", es="madera, las cuatro tablas")
        ),
        Quantity("nominal_thickness", "b_n", "in", Text(en="nominal thickness", es="espesor nominal")),
        Quantity("nominal_depth", "h_n", "in", Text(en="nominal depth", es="alto nominal")),
        Quantity(
            "board_feet",
            "B",
            "board ft",
            Text(en="board feet, nominal size", es="pies tablares, medida nominal"),
        ),
        Quantity(
            "diagonal",
            "d",
            "in",
            Text(
                en="diagonal of the slab, inside corner to corner",
                es="diagonal de la losa, de esquina a esquina por dentro",
            ),
        ),
    ),
    results=("long_boards", "short_boards", "total_length", "board_feet", "diagonal"),
    sources=("geometry", "ps-20", "army-carpentry"),
    notes=(
        Text(
            en="The dressed sizes of 2x4 and 2x6 are from memory. Measure the board in your hand.",
            es="Las medidas reales de 2x4 y 2x6 son de memoria. Mida la tabla que tiene en la mano.",
        ),
    ),
    sample={"slab_length": "44 1/2 in", "slab_width": "28 in"},
    cautions=(cautions.FALLING,),
)
def boards(v: Any) -> None:
    """Two boards as long as the slab and two that lap their ends; both diagonals of a square form are equal."""
    board = BOARDS[v.board]
    v.board_thickness = board.thickness
    v.board_depth = board.depth
    v.long_boards = v.slab_length
    v.short_boards = v.slab_width + 2 * v.board_thickness
    v.total_length = 2 * (v.long_boards + v.short_boards) / IN_PER_FT
    v.nominal_thickness = board.nominal_thickness
    v.nominal_depth = board.nominal_depth
    v.board_feet = v.total_length * v.nominal_thickness * v.nominal_depth / IN_PER_FT
    v.diagonal = square_root(v.slab_length**2 + v.slab_width**2)

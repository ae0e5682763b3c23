"""The joint round a flue: sealant and backer rod.

sealant.joint, sealant.bead, sealant.rod
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, PERCENT, PI, Constant, at_most, plain, round_up, total
from trainer.calc.openings import Flue
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.languages import Text

CUIN_PER_GAL: Final = Constant(231.0, "in3/gal")
FLOZ_PER_GAL: Final = Constant(128.0, "floz/gal")
# Stock diameters of backer rod [in]: common practice, no source.
STOCK_RODS: Final = (0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 2.0)
# ASTM C1193, from memory: rod 25 to 50 % over the joint; bead half as deep as wide, 1/4 in at least, 1/2 in at most.
OVER_LOW, OVER_HIGH = 1.25, 1.5
SHALLOWEST: Final = Constant(0.25, "in")
DEEPEST: Final = Constant(0.5, "in")


@calculation(
    "sealant.joint",
    title=Text(en="Joint round the flues", es="Junta alrededor de los tubos"),
    purpose=Text(
        en="Length of the joint between the flues and the crown, along the middle of the gap.",
        es="Largo de la junta entre los tubos y la corona, por el centro de la holgura.",
    ),
    inputs=(
        Input(
            "flue",
            "f",
            "in",
            Text(en="flue tile, outside size", es="tubo, medida exterior"),
            low=2.0,
            high=48.0,
            kind="flue",
            many=True,
        ),
        Input(
            "bond_gap",
            "g",
            "in",
            Text(en="compressible gap all round each flue", es="holgura compresible alrededor de cada tubo"),
            default=Shop("bond_gap"),
            high=3.0,
        ),
    ),
    quantities=(
        Quantity("length", "L", "ft", Text(en="joint round all the flues", es="junta de todos los tubos")),
    ),
    results=("length",),
    sources=("geometry",),
    sample={"flue": ("13 x 13 in", "10 in dia")},
)
def joint(v: Any) -> None:
    """Square corners; a real tile's rounded ones make the joint a little shorter."""
    v.length = total(_middle_line(flue, v.bond_gap) for flue in v.flue) / IN_PER_FT


def _middle_line(flue: Flue, gap: Any) -> Any:
    if flue.shape == "round":
        return PI * (flue.length + gap)
    return 2 * (flue.length + flue.width) + 4 * gap


@calculation(
    "sealant.bead",
    title=Text(en="Sealant for a joint", es="Sellador para una junta"),
    purpose=Text(
        en="Sealant that a joint takes, how far a cartridge goes, and cartridges to bring.",
        es="Sellador que lleva una junta, cuánto rinde un cartucho y cuántos hay que llevar.",
    ),
    inputs=(
        Input(
            "length", "L", "ft", Text(en="length of the joint", es="largo de la junta"), low=0.05, high=2000.0
        ),
        Input(
            "width", "w", "in", Text(en="width of the joint", es="ancho de la junta"), low=0.0625, high=4.0
        ),
        Input(
            "depth",
            "d",
            "in",
            Text(en="depth of the bead", es="profundidad del sellador"),
            low=0.0625,
            high=4.0,
        ),
        Input(
            "waste",
            "m",
            "percent",
            Text(en="allowance for waste", es="desperdicio"),
            default=10.0,
            high=100.0,
        ),
        Input(
            "cartridge",
            "c",
            "floz",
            Text(en="contents of a cartridge", es="contenido de un cartucho"),
            default=10.1,
            low=1.0,
            high=128.0,
        ),
    ),
    quantities=(
        Quantity("volume", "V", "in3", Text(en="sealant in the joint", es="sellador en la junta")),
        Quantity(
            "cartridge_volume", "V_c", "in3", Text(en="sealant in a cartridge", es="sellador de un cartucho")
        ),
        Quantity(
            "length_per_cartridge",
            "l",
            "ft",
            Text(en="joint that one cartridge fills", es="junta que llena un cartucho"),
        ),
        Quantity(
            "cartridges_exact",
            "n",
            "count",
            Text(en="cartridges with waste, before rounding", es="cartuchos con desperdicio, sin redondear"),
        ),
        Quantity(
            "cartridges", "N", "count", Text(en="cartridges", es="cartuchos"), rounds="cartridges_exact"
        ),
    ),
    results=("volume", "length_per_cartridge", "cartridges"),
    sources=("geometry", "product-label", "common-practice"),
    notes=(
        Text(
            en="10 % of waste is our own figure without a source.",
            es="10 % de desperdicio es cifra nuestra, sin fuente.",
        ),
    ),
    sample={"length": "11.3 ft", "width": "1/2 in", "depth": "1/4 in"},
    cautions=(cautions.HOT_FLUE,),
)
def bead(v: Any) -> None:
    """A straight-sided bead: width by depth by length. The waste of 10 % is common practice."""
    v.volume = v.width * v.depth * v.length * IN_PER_FT
    v.cartridge_volume = v.cartridge * CUIN_PER_GAL / FLOZ_PER_GAL
    v.length_per_cartridge = v.cartridge_volume / (v.width * v.depth) / IN_PER_FT
    v.cartridges_exact = v.volume * (1 + v.waste / PERCENT) / v.cartridge_volume
    v.cartridges = round_up(v.cartridges_exact)


@calculation(
    "sealant.rod",
    title=Text(en="Backer rod and bead depth", es="Cordón de respaldo y profundidad del sellador"),
    purpose=Text(
        en="Backer rod to buy for a joint, and how deep the bead over it shall be.",
        es="Cordón de respaldo que se compra para una junta, y la profundidad del sellador encima.",
    ),
    inputs=(
        Input(
            "joint_width",
            "w",
            "in",
            Text(en="width of the joint", es="ancho de la junta"),
            low=0.1875,
            high=1.5,
        ),
    ),
    quantities=(
        Quantity(
            "rod_low", "r_1", "in", Text(en="rod 25 % over the joint", es="cordón 25 % mayor que la junta")
        ),
        Quantity(
            "rod_high", "r_2", "in", Text(en="rod 50 % over the joint", es="cordón 50 % mayor que la junta")
        ),
        Quantity("rod", "r", "in", Text(en="next stock rod", es="cordón comercial que sigue")),
        Quantity(
            "rod_in_range",
            "ok",
            "",
            Text(
                en="the stock rod is no more than 50 % over", es="el cordón comercial no pasa de 50 % de más"
            ),
            kind="flag",
        ),
        Quantity(
            "bead_depth",
            "d",
            "in",
            Text(
                en="depth of the bead: half the width, 1/4 in to 1/2 in",
                es="profundidad del sellador: la mitad del ancho, de 1/4 in a 1/2 in",
            ),
        ),
    ),
    results=("rod_low", "rod_high", "rod", "rod_in_range", "bead_depth"),
    sources=("astm-c1193", "common-practice"),
    notes=(
        Text(
            en="The shape of the joint is ASTM C1193 from memory; stock rod sizes have no source. The sealant "
            "must suit the heat at that tile: the label governs.",
            es="La forma de la junta es ASTM C1193 de memoria; las medidas comerciales no tienen fuente. El "
            "sellador debe aguantar el calor de ese tubo: manda la etiqueta.",
        ),
    ),
    sample={"joint_width": "5/8 in"},
    cautions=(cautions.HOT_FLUE,),
)
def rod(v: Any) -> None:
    """The first stock rod at least 25 % over the joint; the bead bonds to the two sides only, never to a third."""
    v.rod_low = OVER_LOW * v.joint_width
    v.rod_high = OVER_HIGH * v.joint_width
    stock = next(size for size in STOCK_RODS if size >= plain(v.rod_low) - 1e-9)
    v.rod = Constant(stock, "in")
    v.rod_in_range = at_most(v.rod, v.rod_high)
    half = v.joint_width / 2
    v.bead_depth = SHALLOWEST if half < SHALLOWEST else DEEPEST if half > DEEPEST else half

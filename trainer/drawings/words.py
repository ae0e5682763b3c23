"""What stands written on a drawing: the short names of quantities in both languages, and what may be said of each.

A hidden quantity keeps its name and gets a question mark, on the drawing and in its description alike, so that a
question's drawing never gives its answer away.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc import notation
from trainer.languages import Text

NAMES: Final[dict[str, Text]] = {
    # crown
    "slab_length": Text(en="slab length", es="largo de la losa"),
    "slab_width": Text(en="slab width", es="ancho de la losa"),
    "chimney_length": Text(en="chimney length", es="largo de la chimenea"),
    "chimney_width": Text(en="chimney width", es="ancho de la chimenea"),
    "overhang": Text(en="overhang", es="saliente"),
    "edge_thickness": Text(en="edge thickness", es="espesor en el borde"),
    "flue_thickness": Text(en="thickness at flue", es="espesor junto al tubo"),
    "bond_gap": Text(en="gap round flue", es="holgura junto al tubo"),
    "flue_spacing": Text(en="between flues", es="entre tubos"),
    "flue": Text(en="flue", es="tubo"),
    "projection": Text(en="projection", es="sobresale"),
    "slope_long": Text(en="fall", es="pendiente"),
    # rebar mat
    "cover": Text(en="cover", es="recubrimiento"),
    "max_spacing": Text(en="spacing at most", es="separación máxima"),
    "bar": Text(en="bar", es="varilla"),
    "long_bars": Text(en="long bars", es="varillas largas"),
    "short_bars": Text(en="short bars", es="varillas cortas"),
    "long_spacing": Text(en="long bars every", es="largas a cada"),
    "short_spacing": Text(en="short bars every", es="cortas a cada"),
    "long_length": Text(en="long bar", es="varilla larga"),
    "short_length": Text(en="short bar", es="varilla corta"),
    "bars_cut": Text(en="bars cut", es="varillas cortadas"),
    "total_length": Text(en="steel in all", es="acero en total"),
    # cutting plan
    "stock_length": Text(en="bars sold", es="varillas que se venden"),
    "bars_needed": Text(en="bars to buy", es="varillas que se compran"),
    "kerf": Text(en="saw cut", es="corte de sierra"),
    "waste": Text(en="left over", es="sobra"),
    # flue
    "flue_above_wall": Text(en="flue above wall", es="tubo sobre el muro"),
    "base_thickness": Text(en="board", es="tabla"),
    "max_projection": Text(en="projection at most", es="sobresale cuando más"),
    "projection_now": Text(en="projection now", es="sobresale hoy"),
    "cut_down": Text(en="cut off", es="cortar"),
    "extension": Text(en="add", es="añadir"),
    # roof
    "rise": Text(en="rise", es="subida"),
    "run": Text(en="run", es="avance"),
    "angle": Text(en="angle", es="ángulo"),
    "slope_factor": Text(en="slope factor", es="factor de pendiente"),
    # ladder
    "support_height": Text(en="height of support", es="altura del apoyo"),
    "rails_above": Text(en="above the landing", es="sobre el alero"),
    "working_length": Text(en="working length", es="largo de trabajo"),
    "setback": Text(en="foot out", es="separación de la pata"),
    "rail_length": Text(en="rail at least", es="larguero al menos"),
    # tape
    "length": Text(en="length", es="largo"),
    "to": Text(en="to the nearest", es="a la marca de"),
    "rounded": Text(en="on the tape", es="en la cinta"),
    "off_by": Text(en="off by", es="diferencia"),
    "parts": Text(en="parts", es="partes"),
    "part": Text(en="one part", es="una parte"),
    "nearest": Text(en="marked every", es="se marca a cada"),
    "run_out": Text(en="run-out", es="se corre"),
    # form
    "board": Text(en="lumber", es="madera"),
    "long_boards": Text(en="long boards, 2 of", es="tablas largas, 2 de"),
    "short_boards": Text(en="short boards, 2 of", es="tablas cortas, 2 de"),
    "board_thickness": Text(en="board thickness", es="espesor de la tabla"),
    "diagonal": Text(en="both diagonals", es="las dos diagonales"),
    "board_feet": Text(en="board feet", es="pies tablares"),
    # cut line
    "outside": Text(en="tile", es="tubo"),
    "wall_thickness": Text(en="wall of the tile", es="pared del tubo"),
    "perimeter": Text(en="once round", es="una vuelta"),
    "cut_length": Text(en="to saw in all", es="corte en total"),
    "blade_diameter": Text(en="blade", es="disco"),
    "flange_diameter": Text(en="flange", es="brida"),
    "blade_reach": Text(en="blade reach", es="alcance del disco"),
    # chimney height
    "roof_at_chimney": Text(en="roof at the chimney", es="techo en la chimenea"),
    "ridge_distance": Text(en="to the ridge", es="a la cumbrera"),
    "height_above_penetration": Text(en="least height", es="altura mínima"),
    "top_height": Text(en="chimney top at", es="punta de la chimenea a"),
    # fall
    "total_free_fall": Text(en="free fall", es="caída libre"),
    "deceleration": Text(en="deceleration", es="frenado"),
    "stretch": Text(en="stretch", es="estiramiento"),
    "dring_height": Text(en="D-ring to feet", es="anillo D a los pies"),
    "margin": Text(en="margin", es="margen"),
    "required": Text(en="needed", es="se necesita"),
    "available": Text(en="there is", es="hay"),
    # roof protection
    "sheet": Text(en="sheet", es="hoja"),
    "sheets": Text(en="sheets", es="hojas"),
    "area": Text(en="area", es="área"),
    # brick
    "height": Text(en="height", es="altura"),
    "brick_height": Text(en="brick", es="ladrillo"),
    "joint": Text(en="joint", es="junta"),
    "courses": Text(en="courses", es="hiladas"),
    "joint_for_fit": Text(en="joint that fits", es="junta que ajusta"),
    "brick_length": Text(en="brick length", es="largo del ladrillo"),
    "wall_length": Text(en="wall length", es="largo de la pared"),
    "wall_height": Text(en="wall height", es="alto de la pared"),
    "bricks": Text(en="bricks", es="ladrillos"),
    "bed_length": Text(en="bed joints", es="juntas horizontales"),
    "head_length": Text(en="head joints", es="juntas verticales"),
    # sealant
    "joint_width": Text(en="joint", es="junta"),
    "rod": Text(en="backer rod", es="cordón de respaldo"),
    "bead_depth": Text(en="sealant depth", es="profundidad del sellador"),
    # bending
    "edge_load": Text(en="load on the edge", es="carga en la orilla"),
    "strip_weight": Text(en="weight of the overhang", es="peso del saliente"),
    "moment": Text(en="moment at the wall", es="momento junto al muro"),
    "stress": Text(en="pull on top", es="jalón arriba"),
    "rupture": Text(en="breaks at", es="se rompe con"),
    "ratio": Text(en="share of that in use", es="parte de eso en uso"),
    # lap
    "lap_length": Text(en="lap", es="traslape"),
    "development_length": Text(en="to hold", es="para agarrar"),
    "strength": Text(en="concrete", es="concreto"),
    "yield_strength": Text(en="steel", es="acero"),
    # joints
    "width": Text(en="width", es="ancho"),
    "depth": Text(en="depth", es="profundidad"),
    "joint_length": Text(en="joint to fill", es="junta por rellenar"),
    "depth_low": Text(en="at least", es="al menos"),
    "depth_high": Text(en="usually", es="lo usual"),
    "length_per_cartridge": Text(en="a cartridge fills", es="un cartucho llena"),
    "cartridges": Text(en="cartridges", es="cartuchos"),
    # flue tiles and fireplaces
    "wall": Text(en="wall", es="pared"),
    "inside_length": Text(en="inside, long side", es="interior, lado largo"),
    "inside_width": Text(en="inside, short side", es="interior, lado corto"),
    "aspect_ratio": Text(en="long over short", es="largo entre corto"),
    "weight": Text(en="weight", es="peso"),
    "opening_width": Text(en="opening width", es="ancho de la boca"),
    "opening_height": Text(en="opening height", es="alto de la boca"),
    # loads
    "percent": Text(en="slope", es="pendiente"),
    "horizontal": Text(en="hands out", es="alcance"),
    "vertical": Text(en="hands up", es="altura de manos"),
    "travel": Text(en="moved", es="recorrido"),
    "asymmetry": Text(en="twist", es="giro"),
    "load": Text(en="load", es="carga"),
    "recommended_limit": Text(en="limit", es="límite"),
    "lifting_index": Text(en="lifting index", es="índice"),
    "bucket_volume": Text(en="bucket holds", es="en la cubeta caben"),
    "bucket_weight": Text(en="empty bucket", es="cubeta vacía"),
    "carry_limit": Text(en="one person carries", es="carga una persona"),
    "fill": Text(en="fill to", es="se llena hasta"),
    "trips": Text(en="trips", es="viajes"),
    "stack_area": Text(en="roof for the stack", es="techo para apilar"),
    "allowed_load": Text(en="roof carries", es="el techo aguanta"),
    # cutting plan
}


@dataclass(frozen=True)
class Words:
    """Names and values in one language, with the values that must stay unsaid held back.

    values: quantity name to value in its fixed unit; units: quantity name to that unit
    shown: names whose value may be written; None means all
    """

    language: str
    values: Mapping[str, Any]
    units: Mapping[str, str]
    shown: Collection[str] | None = None

    def number(self, name: str) -> float:
        return float(self.values[name])

    def may_say(self, name: str) -> bool:
        """Whether the value of `name` is known and may be written."""
        return self.values.get(name) is not None and (self.shown is None or name in self.shown)

    def name(self, name: str) -> str:
        return NAMES[name].in_language(self.language)

    def value(self, name: str) -> str:
        """The value as the trade writes it, or a question mark."""
        return self.write(self.values[name], self.units[name]) if self.may_say(name) else "?"

    def write(self, value: Any, unit: str) -> str:
        if isinstance(value, str):
            return value
        if unit == "in":
            return str(notation.write_inches(value))
        if unit == "ft":
            return str(notation.write(value * 12, "in", self.language))
        if unit == "degree":
            return f"{value:.1f}".removesuffix(".0") + "°"
        if unit == "in/ft":
            # A fall is said as so many inches in each foot.
            return f"{value:.2f}".rstrip("0").rstrip(".") + self.text(" in per ft", " in por ft")
        return str(notation.write(value, unit, self.language)) if unit else f"{value:.4g}"

    def say(self, name: str) -> str:
        """Name and value: "slab length 44 1/2 in", or "slab length ?"."""
        return f"{self.name(name)} {self.value(name)}"

    def roof_rise(self, name: str) -> str:
        """A pitch [in/ft] as the trade says it: "roof rises 6 1/2 in for every 12 in"."""
        rise = self.write(self.values[name], "in") if self.may_say(name) else "?"
        return self.text(f"roof rises {rise} for every 12 in", f"el techo sube {rise} por cada 12 in")

    def given(self, *names: str) -> list[str]:
        """Name and value of those whose value may be written; the others are left out."""
        return [self.say(name) for name in names if self.may_say(name)]

    def lines(self, name: str) -> tuple[str, str]:
        """Name and value on two lines, for a label turned on its side."""
        return self.name(name), self.value(name)

    def text(self, en: str, es: str) -> str:
        return es if self.language == "es" else en

    @property
    def unsaid(self) -> str:
        """What a description says in place of a value that is held back."""
        return self.text("not shown", "sin mostrar")

    def list(self, *names: str) -> str:
        """The description's list: "slab length 44 1/2 in; slab width not shown"."""
        return "; ".join(
            f"{self.name(name)} {self.value(name) if self.may_say(name) else self.unsaid}" for name in names
        )

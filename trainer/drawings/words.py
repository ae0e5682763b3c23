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
        return f"{value:.4g}"

    def say(self, name: str) -> str:
        """Name and value: "slab length 44 1/2 in", or "slab length ?"."""
        return f"{self.name(name)} {self.value(name)}"

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

"""The worked solution: each line of the board as symbol, meaning, expression, numbers in, result with its unit.

A step holds the expression that computed the number (algebra.Traced); text, HTML and JSON are written from it,
so what a person reads is what was computed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import TYPE_CHECKING, Any

from trainer.calc import notation
from trainer.calc.algebra import PI, QUESTIONS, Traced, plain
from trainer.calc.entries import as_data
from trainer.calc.units import UNITS
from trainer.languages import Text, in_language

if TYPE_CHECKING:
    from trainer.calc.spec import Evaluation, Quantity

WORDS: dict[str, Text] = {
    "round_up": Text(en="round up", es="redondear hacia arriba"),
    "round_off": Text(en="round off", es="redondear"),
    "hundredths": Text(en="to hundredths", es="a centésimos"),
    "round_down": Text(en="round down", es="redondear hacia abajo"),
    "square_root": Text(en="√", es="√"),
    "absolute": Text(en="| |", es="| |"),
    "arctangent": Text(en="the angle with tangent", es="el ángulo con tangente"),
    "arccosine": Text(en="the angle with cosine", es="el ángulo con coseno"),
    "logarithm": Text(en="log", es="log"),
    "greatest": Text(en="the greater of", es="el mayor de"),
    "least": Text(en="the lesser of", es="el menor de"),
}
YES = Text(en="yes", es="sí")
NO = Text(en="no", es="no")
NOTHING = Text(en="nothing", es="nada")
WEEKDAYS = (
    Text(en="Monday", es="lunes"),
    Text(en="Tuesday", es="martes"),
    Text(en="Wednesday", es="miércoles"),
    Text(en="Thursday", es="jueves"),
    Text(en="Friday", es="viernes"),
    Text(en="Saturday", es="sábado"),
    Text(en="Sunday", es="domingo"),
)
BINDING = {**dict.fromkeys(QUESTIONS, 0), "+": 1, "-": 1, "*": 2, "/": 2, "neg": 3, "**": 4}
SIGNS = {"+": "+", "-": "−", "*": "×", "/": "÷", "at_least": "≥", "at_most": "≤", "more_than": ">"}


WITHOUT_SYMBOL = ("flag", "text", "list")
PARTS_OF_A_FLUE = {"length": "L", "width": "W", "diameter": "d"}


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the worked solution.

    made: a `Traced` number, or a plain number, flag or text read from a table
    symbols: the symbol of every quantity of the calculation, by name
    """

    quantity: Quantity
    made: Any
    symbols: Mapping[str, str]

    @property
    def name(self) -> str:
        return self.quantity.name

    @property
    def value(self) -> Any:
        value = plain(self.made)
        return float(value) if self.quantity.kind == "number" else value

    @property
    def computed(self) -> bool:
        """Whether an expression made the value (a table value or a flag has none)."""
        return isinstance(self.made, Traced) and bool(self.made.op)

    def expression(self, language: str = "en") -> str:
        """The expression in symbols: "L_c + 2 × o"; empty when there is none."""
        return _write(self.made, self._symbol, language) if self.computed else ""

    def substitution(self, language: str = "en") -> str:
        """The same expression with the numbers in: "40 1/2 + 2 × 2"; empty when there is none."""
        return _write(self.made, _number, language) if self.computed else ""

    def conversions(self, language: str = "en") -> list[str]:
        """What the bare factors of the expression stand for, each once: "144 in² = 1 ft²"."""
        said = []
        for leaf in _leaves(self.made) if isinstance(self.made, Traced) else ():
            many, between, one = leaf.unit.partition("/")
            if leaf.name or not between or one not in UNITS or many not in UNITS:
                continue
            if UNITS[one].kind == UNITS[many].kind != "temperature":  # whose scales begin at different points
                number, left, right = notation.write_number(leaf.value, 6), UNITS[many].many, UNITS[one].one
                said.append(f"{number} {left.in_language(language)} = 1 {right.in_language(language)}")
        return list(dict.fromkeys(said))

    def shown(self, language: str = "en") -> str:
        """The result with its unit, rounded as the trade does."""
        return shown(self.value, self.quantity, language)

    @property
    def symbol(self) -> str:
        """What stands for the value on the board; nothing stands for a yes or no, or for a word."""
        return "" if self.quantity.kind in WITHOUT_SYMBOL else self.quantity.symbol

    @property
    def asks(self) -> bool:
        """Whether this is a yes or no that a comparison decides."""
        return self.computed and self.quantity.kind == "flag"

    def text(self, language: str = "en") -> str:
        meaning = self.quantity.meaning.in_language(language)
        sums, shown = (self.expression(language), self.substitution(language)), self.shown(language)
        if self.asks:
            return f"{meaning}: " + " ".join([*(_asked(sum, language) for sum in dict.fromkeys(sums)), shown])
        if self.quantity.kind in WITHOUT_SYMBOL:
            return f"{meaning}: {shown}"
        parts = (self.quantity.symbol, *sums, shown)
        return f"{meaning}: " + " = ".join(part for part in dict.fromkeys(parts) if part)

    def _symbol(self, leaf: Traced) -> str:
        if not leaf.name:
            return _number(leaf)
        # One of a list, a part of an entry, or both: "flue[2].length" is f_L2; "piece[2].length" has a symbol of its
        # own, l_2.
        found = re.fullmatch(r"(\w+)(?:\[(\d+)\])?(?:\.(\w+))?", leaf.name)
        base, place, part = found.groups("") if found else (leaf.name, "", "")
        own = self.symbols.get(f"{base}.{part}")
        symbol, mark = (own, place) if own else (self.symbols[base], PARTS_OF_A_FLUE.get(part, "") + place)
        return f"{symbol}{'' if '_' in symbol else '_'}{mark}".removesuffix("_")


def shown(value: Any, quantity: Quantity, language: str = "en") -> str:
    """Any value of a quantity in words and numbers; a dash for one that was not asked for."""
    if value is None:
        return "–"
    if quantity.kind == "flag":
        return (YES if value else NO).in_language(language)
    if quantity.kind == "text":
        return str(in_language(quantity.words.get(value, value), language))
    if quantity.kind == "date":
        return f"{value.isoformat()} ({WEEKDAYS[value.weekday()].in_language(language)})"
    if quantity.kind == "list":
        return _list_shown(value, quantity, language)
    if quantity.unit == "count":  # a count before rounding is no whole number
        return notation.write_number(value, 4)
    if quantity.unit == "in" and not _is_sixteenths(value) and abs(value) < 1 / 32:
        return f"{notation.write_number(value, 4)} in"
    if quantity.unit == "in" and not _is_sixteenths(value):
        about = "aprox." if language == "es" else "about"
        return f"{notation.write_number(value, 4)} in ({about} {notation.write_inches(value)})"
    if quantity.unit == "in":
        return notation.write_inches(value)
    return notation.write(value, quantity.unit, language)


def _list_shown(value: Sequence[Any], quantity: Quantity, language: str) -> str:
    """A list of numbers, or of lists of numbers with equal ones told together: "2 × (3 @ 40 in + 1 @ 36 in)"."""
    if not value:
        return NOTHING.in_language(language)

    def told(numbers: Sequence[Any]) -> str:
        counted = Counter(numbers)
        return " + ".join(
            f"{times} @ {_one_shown(one, quantity, language)}" for one, times in counted.items()
        )

    if not isinstance(value[0], list | tuple):
        return "; ".join(_one_shown(one, quantity, language) for one in value)
    rows = Counter(tuple(row) for row in value)
    return "; ".join(f"{times} × ({told(row)})" for row, times in rows.items())


def _one_shown(value: Any, quantity: Quantity, language: str) -> str:
    if quantity.unit == "in":
        return (
            notation.write_inches(value) if _is_sixteenths(value) else f"{notation.write_number(value, 6)} in"
        )
    return notation.write(value, quantity.unit, language)


def leading_to(steps: tuple[Step, ...], name: str) -> tuple[Step, ...]:
    """Only the steps that the quantity `name` rests on, itself included; every step when it is none of them."""
    needed = {name}
    for step in reversed(steps):
        if step.name in needed and isinstance(step.made, Traced):
            needed |= {re.split(r"[\[.]", leaf.name)[0] for leaf in _leaves(step.made) if leaf.name}
    return tuple(step for step in steps if step.name in needed) or steps


def with_numbers(made: Traced, language: str = "en") -> str:
    """A traced number's expression with the numbers in: "40 1/2 + 2 × 2"; the number alone when nothing made it."""
    return _write(made, _number, language)


def _leaves(node: Traced) -> Iterator[Traced]:
    """The quantities and constants of an expression, from left to right."""
    if not node.op:
        yield node
    for arg in node.args:
        yield from _leaves(arg)


def as_text(evaluation: Evaluation, language: str = "en") -> str:
    """The worked solution, one step a line."""
    return "\n".join(step.text(language) for step in evaluation.steps)


def as_json(evaluation: Evaluation, language: str = "en") -> list[dict[str, Any]]:
    """The worked solution as plain data; values at full precision."""
    return [
        {
            "name": step.name,
            "symbol": step.quantity.symbol,
            "meaning": step.quantity.meaning.in_language(language),
            "expression": step.expression(language),
            "substitution": step.substitution(language),
            "value": as_data(step.value, language),
            "unit": step.quantity.unit,
            "shown": step.shown(language),
        }
        for step in evaluation.steps
    ]


def as_html(evaluation: Evaluation, language: str = "en") -> str:
    """The worked solution as an ordered list; every text in it is escaped. A conversion is explained where it is first
    used."""
    told: set[str] = set()
    items = []
    for step in evaluation.steps:
        new = [one for one in step.conversions(language) if one not in told]
        told.update(new)
        items.append(_html_step(step, new, language))
    return f'<ol class="working">{"".join(items)}</ol>'


def _html_step(step: Step, conversions: Sequence[str], language: str) -> str:
    """What it is; under it the symbol and, each on its own line after the equals sign, how it comes about."""
    expression = _together(html_symbols(step.expression(language)))
    numbers = _together(_html_powers(escape(step.substitution(language))))
    gives = escape(step.shown(language))
    meaning = escape(step.quantity.meaning.in_language(language))
    if conversions:
        meaning += f" ({escape('; '.join(conversions))})"
    if step.asks:
        sum_ = (
            f'<span class="sum"><span class="expression">{_asked(expression, language)}</span> '
            f'<span class="numbers">{_asked(numbers, language)}</span> <strong class="gives">{gives}</strong></span>'
        )
    elif step.symbol:
        lines = [f"<var>{html_symbols(step.symbol)}</var>"]
        if step.computed:
            lines.append(f'<span class="expression">= {expression}</span>')
            if step.substitution(language) != step.shown(language):
                lines.append(f'<span class="numbers">= {numbers}</span>')
        lines.append(f'<strong class="gives">= {gives}</strong>')
        sum_ = f'<span class="sum">{" ".join(lines)}</span>'
    else:
        sum_ = f'<strong class="gives">{gives}</strong>'
    return f'<li><span class="meaning">{meaning}</span> {sum_}</li>'


def _asked(comparison: str, language: str) -> str:
    return f"¿{comparison}?" if language == "es" else f"{comparison}?"


def html_symbols(text: str) -> str:
    """Symbols and powers as HTML: "L_c" with its mark below the line, "2^(a - b)" with its exponent raised; escaped."""
    return re.sub(r"_(\w+)", r"<sub>\1</sub>", _html_powers(escape(text)))


def _together(html: str) -> str:
    """A line breaks before a sign, not after it, and never between a whole number and its fraction."""
    return re.sub(r"(?<=[×÷−+=]) |(?<=\d) (?=\d+/\d)", "\u00a0", html)


def _html_powers(escaped: str) -> str:
    # An exponent is a number, or stands in brackets that may hold one more pair.
    return re.sub(
        r"\^(?:\(((?:[^()]|\([^()]*\))*)\)|([\d.]+))",
        lambda found: f"<sup>{found[1] or found[2]}</sup>",
        escaped,
    )


def _write(node: Traced, leaf: Callable[[Traced], str], language: str) -> str:
    op = node.op
    if not op:
        return leaf(node)
    if op in WORDS:
        inside = "; ".join(_write(arg, leaf, language) for arg in node.args)
        if op == "absolute":
            return f"|{inside}|"
        return (
            f"{WORDS[op].in_language(language)}({inside})"
            if op == "square_root"
            else (f"{WORDS[op].in_language(language)} ({inside})")
        )
    if op == "neg":
        return "−" + _inside(node.args[0], op, leaf, language, right=True)
    left, right = node.args
    if op == "**":
        base = _inside(left, op, leaf, language, right=False)
        if (" " in base or "/" in base) and not base.startswith("("):
            base = f"({base})"
        if right.op or right.name:
            return f"{base}^({_write(right, leaf, language)})"
        return base + ("²" if right.value == 2 else f"^{right.value:g}")
    first = _inside(left, op, leaf, language, right=False)
    second = _inside(right, op, leaf, language, right=True)
    if op == "+" and not right.op and second.startswith("(−"):  # "40 1/2 − 3 1/4", not "40 1/2 + (−3 1/4)"
        op, second = "-", second[2:-1]
    # "÷ 1 1/2" could be read as "÷ 1, then 1/2", and "÷ 1/16" as "÷ 1, then ÷ 16".
    if op == "/" and (" " in second or "/" in second) and not second.startswith(("(", "√")):
        second = f"({second})"
    return f"{first} {SIGNS[op]} {second}"


def _inside(node: Traced, outer: str, leaf: Callable[[Traced], str], language: str, right: bool) -> str:
    written = _write(node, leaf, language)
    if not node.op or node.op in WORDS:
        return f"({written})" if written.startswith("−") else written
    weaker = BINDING[node.op] < BINDING[outer]
    same_on_the_right = right and BINDING[node.op] == BINDING[outer] and outer in "-/*"
    return f"({written})" if weaker or same_on_the_right else written


def _number(leaf: Traced) -> str:
    if isinstance(leaf.value, date):
        return leaf.value.isoformat()
    if not leaf.name and leaf.value == float(PI):
        return "π"
    if leaf.unit == "in" and _is_sixteenths(leaf.value):
        return notation.write_inches(leaf.value).removesuffix(" in")
    return notation.write_number(leaf.value, 6)


def _is_sixteenths(value: float) -> bool:
    return abs(value * 16 - round(value * 16)) < 1e-9

"""One step of the working done wrongly: a sign turned round, a part forgotten, the wrong rounding.

The step's own expression is altered at one place; the formula is then run again with the step's wrong value, so that what
follows from it follows as it would for the person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from trainer.calc.algebra import FUNCTIONS, Traced
from trainer.calc.working import Step
from trainer.questions.search.causes import WAYS, Cause

Rerun = Callable[[str, float], float | None]

TURNED: Final = {"+": "-", "-": "+", "*": "/", "/": "*"}
OTHER_WAY: Final = {
    "round_up": "round_down",
    "round_down": "round_up",
    "round_off": "round_down",
    "greatest": "least",
    "least": "greatest",
}
SKIPPED: Final = ("round_up", "round_down", "round_off", "hundredths", "square_root")
# Forgetting a plain factor such as the 2 of "2 × overhang" is likelier than forgetting a quantity.
FACTOR: Final = 1.4
LATER_OPERAND: Final = 0.7


def changed_steps(steps: Sequence[Step], rerun: Rerun) -> Iterator[Cause]:
    """Every cause that works one of `steps` wrongly. rerun: the answer with the quantity of that name set to a value."""
    for step in steps:
        if not step.computed or step.quantity.kind != "number":
            continue
        for place, (way, share, made, wrong, right) in enumerate(_altered(step.made)):
            if made.value == step.made.value:
                continue
            value = rerun(step.name, float(made.value))
            if value is not None:
                weight, about = WAYS[way].weight * share, (step.name, str(place))
                yield Cause(way, value, weight, about, step=step, wrong=wrong, right=right)


def _altered(node: Traced) -> Iterator[tuple[str, float, Traced, Traced, Traced]]:
    """The expression with one place of it changed.

    The way, its share of the way's weight, the whole expression then, and the place itself, wrong and right.
    """
    if not node.op:
        return
    for way, share, made in _here(node):
        yield way, share, made, made, node
    for place, arg in enumerate(node.args):
        for way, share, made, wrong, right in _altered(arg):
            args = (*node.args[:place], made, *node.args[place + 1 :])
            again = _again(node.op, args)
            if again is not None:
                yield way, share, again, wrong, right


def _here(node: Traced) -> Iterator[tuple[str, float, Traced]]:
    op, args = node.op, node.args
    if op in TURNED:
        turned = _again(TURNED[op], args)
        if turned is not None:
            yield "wrong sign", 1.0, turned
        left, right = args
        yield "part forgotten", FACTOR if _plain(right) else 1.0, left
        if op in "+*":
            yield "part forgotten", FACTOR if _plain(left) else LATER_OPERAND, right
        if op == "/":
            over = _again("/", (right, left))
            if over is not None:
                yield "wrong sign", LATER_OPERAND, over
    elif op == "**" and not args[1].op and args[1].value == 2:
        yield "part forgotten", 1.0, args[0]
        yield "wrong sign", 1.0, Traced(args[0].value * 2, "*", (args[0], args[1]))
    elif op in OTHER_WAY:
        other = _again(OTHER_WAY[op], args)
        if other is not None:
            yield "wrong rounding", 1.0, other
    if op in SKIPPED:
        yield "part forgotten", 1.0, args[0]


def _plain(node: Traced) -> bool:
    return not node.op and not node.name


def _again(op: str, args: tuple[Traced, ...]) -> Traced | None:
    """The operation on these operands; None when it has no value."""
    numbers = [arg.value for arg in args]
    try:
        if op == "+":
            value = numbers[0] + numbers[1]
        elif op == "-":
            value = numbers[0] - numbers[1]
        elif op == "*":
            value = numbers[0] * numbers[1]
        elif op == "/":
            value = numbers[0] / numbers[1]
        elif op == "**":
            value = numbers[0] ** numbers[1]
        elif op == "neg":
            value = -numbers[0]
        else:
            value = FUNCTIONS[op](*numbers)
    except (ArithmeticError, ValueError, TypeError):
        return None
    return None if isinstance(value, complex) else Traced(value, op, args)

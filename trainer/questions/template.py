"""Texts with places to fill: `{{ name }}`, and nothing that could run code.

A place holds a name, a field of a named value (`{{ slab.volume }}`) or a call of a function given by name with plain
texts (`{{ position("overhang", "astm-c1283") }}`). Everything else the template language knows (loops, arithmetic,
filters, attributes of Python objects) is refused when the text is read, and the sandbox stands behind that.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

from jinja2 import StrictUndefined, Template, TemplateError, TemplateSyntaxError, UndefinedError, nodes
from jinja2.sandbox import ImmutableSandboxedEnvironment


class BadTemplate(ValueError):
    """A text cannot be filled; `line` is 1-based within the text, 0 when unknown."""

    def __init__(self, sentence: str, line: int = 0) -> None:
        self.sentence, self.line = sentence, line
        super().__init__(sentence)


class _Environment(ImmutableSandboxedEnvironment):
    """A sandbox in which a dot looks into a mapping and never at a Python attribute."""

    def getattr(self, obj: Any, attribute: str) -> Any:
        if isinstance(obj, Mapping) and attribute in obj:
            return obj[attribute]
        return self.undefined(obj=obj, name=attribute)

    def getitem(self, obj: Any, argument: Any) -> Any:
        return (
            self.getattr(obj, argument) if isinstance(argument, str) else self.undefined(name=str(argument))
        )

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        return False

    def is_safe_callable(self, obj: Any) -> bool:
        # `position` and its like are plain functions of ours; a class or a bound method never is.
        return type(obj) is _FUNCTION


ONLY_PLACES: Final = (
    "a text may hold names in double braces, such as {{ overhang }}, and nothing else of a template"
)


def _function() -> None:
    """Only its type is used."""


_FUNCTION: Final = type(_function)
_ENVIRONMENT: Final = _Environment(
    undefined=StrictUndefined,
    autoescape=False,
    keep_trailing_newline=True,
    # A heading's `{#id}` must stay plain text, so comments get marks that nobody types.
    comment_start_string="{##--",
    comment_end_string="--##}",
)
_ENVIRONMENT.globals.clear()
_ENVIRONMENT.filters.clear()
_ENVIRONMENT.tests.clear()

_ALLOWED_NODES: Final = (
    nodes.Template,
    nodes.Output,
    nodes.TemplateData,
    nodes.Name,
    nodes.Getattr,
    nodes.Call,
    nodes.Const,
)


def fill(text: str, values: Mapping[str, Any]) -> str:
    """`text` with its places filled from `values`.

    Raises BadTemplate when the text holds anything but places, or a place has no value.
    """
    if "{" not in text:
        return text
    try:
        pieces = _pieces(text)
        if pieces is None:
            return compiled(text).render(values)
        return "".join(str(values[piece]) if is_name else piece for is_name, piece in pieces)
    except KeyError as error:
        raise BadTemplate(f"a place in the text has no value: {error} is not known") from error
    except UndefinedError as error:
        raise BadTemplate(f"a place in the text has no value: {error.message}") from error
    except TemplateError as error:
        raise BadTemplate(f"the text cannot be filled: {error.message}") from error


@lru_cache(maxsize=4096)
def compiled(text: str) -> Template:
    """The compiled template of `text`; raises BadTemplate as `fill` does."""
    return _ENVIRONMENT.from_string(_parse(text))


@lru_cache(maxsize=4096)
def _pieces(text: str) -> tuple[tuple[bool, str], ...] | None:
    """A text whose places are all plain names, as most are, in pieces: whether each is a name, and it or the words.

    None for any other text. Joining the pieces takes a tenth of the time of rendering.
    """
    pieces = []
    for node in (node for output in _parse(text).find_all(nodes.Output) for node in output.nodes):
        if isinstance(node, nodes.Name):
            pieces.append((True, node.name))
        elif isinstance(node, nodes.TemplateData):
            pieces.append((False, node.data))
        else:
            return None
    return tuple(pieces)


@lru_cache(maxsize=4096)
def places(text: str) -> frozenset[str]:
    """What the text asks for: "overhang", "slab.volume", "position(overhang, bia-19b)"; raises BadTemplate."""
    tree = _parse(text)
    found: set[str] = set()
    for output in tree.find_all(nodes.Output):
        for node in output.nodes:
            if not isinstance(node, nodes.TemplateData):
                found.add(_described(node))
    return frozenset(found)


def names(text: str) -> frozenset[str]:
    """The names the text asks for, without what stands after a dot or in a call; raises BadTemplate."""
    if "{" not in text:
        return frozenset()
    return frozenset(node.name for node in _parse(text).find_all(nodes.Name))


def _parse(text: str) -> nodes.Template:
    if (block := text.find("{%")) >= 0:
        raise BadTemplate(ONLY_PLACES, text.count("\n", 0, block) + 1)
    try:
        tree = _ENVIRONMENT.parse(text)
    except TemplateSyntaxError as error:
        raise BadTemplate(
            f"the text has a mark that is not closed or not known: {error.message}", error.lineno
        ) from error
    except RecursionError:
        raise BadTemplate("the text has brackets in brackets far too often") from None
    try:
        for node in tree.iter_child_nodes():
            _check(node)
    except RecursionError:
        raise BadTemplate("the text has a place with far too many dots") from None
    return tree


def _check(node: nodes.Node) -> None:
    allowed = isinstance(node, _ALLOWED_NODES)
    if isinstance(node, nodes.Call):
        plain = isinstance(node.node, nodes.Name) and not (node.kwargs or node.dyn_args or node.dyn_kwargs)
        allowed = plain and all(isinstance(argument, nodes.Const) for argument in node.args)
    if isinstance(node, nodes.Getattr):
        allowed = isinstance(node.node, nodes.Name) and not node.attr.startswith("_")
    if isinstance(node, nodes.Name):
        allowed = not node.name.startswith("_") and node.name not in ("self", "super", "caller", "loop")
    if isinstance(node, nodes.Const):
        allowed = isinstance(node.value, str)
    if not allowed:
        raise BadTemplate(ONLY_PLACES, node.lineno)
    for child in node.iter_child_nodes():
        _check(child)


def _described(node: nodes.Node) -> str:
    if isinstance(node, nodes.Name):
        return node.name
    if isinstance(node, nodes.Getattr):
        return f"{_described(node.node)}.{node.attr}"
    if isinstance(node, nodes.Call):
        return f"{_described(node.node)}({', '.join(_described(argument) for argument in node.args)})"
    return str(getattr(node, "value", node))

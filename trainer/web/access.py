"""Who may use each route: declared under the route, denied when not declared.

    Access          the rules a route can have
    access(rule)    the mark, written directly under the route decorator
    guard(app)      last call of create_app: refuses a route without a mark, then checks every request

Roles do not imply one another: an owner who also trains holds both. Rules about single records ("one's own
paper") are checked in the use cases, which raise NotAllowed.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from enum import StrEnum
from typing import Any, TypeVar

from flask import Flask, abort, current_app, g, redirect, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import TrainerError

View = TypeVar("View", bound=Callable[..., Any])


class RouteWithoutAccessRule(TrainerError):
    """A route says nowhere who may use it; the program does not start."""


class Access(StrEnum):
    """Who may use a route."""

    PUBLIC = "anyone"
    SIGNED_IN = "anyone signed in"
    APPRENTICE = "apprentice"
    TRAINER = "trainer"
    OWNER = "owner"
    STAFF = "trainer or owner"

    def allows(self, roles: Collection[str]) -> bool:
        """Whether a signed-in person who holds `roles` may pass."""
        if self in (Access.PUBLIC, Access.SIGNED_IN):
            return True
        if self is Access.STAFF:
            return "trainer" in roles or "owner" in roles
        return self.value in roles


def access(rule: Access) -> Callable[[View], View]:
    """Mark a view with its rule."""

    def declare(view: View) -> View:
        view.access_rule = rule  # type: ignore[attr-defined]
        return view

    return declare


def rule_of(app: Flask, endpoint: str) -> Access | None:
    """The rule of the endpoint; None when it has none."""
    rule = getattr(app.view_functions.get(endpoint), "access_rule", None)
    return rule if isinstance(rule, Access) else None


def guard(app: Flask) -> None:
    """Check every route now and every request later.

    Raises RouteWithoutAccessRule, naming each route without a mark.
    """
    if "static" in app.view_functions:
        # The static view is Flask's own function, shared by every app of the process: wrap before marking it.
        static: Callable[..., Any] = app.view_functions["static"]
        app.view_functions["static"] = access(Access.PUBLIC)(_calling(static))
    bare = sorted({rule.endpoint for rule in app.url_map.iter_rules() if rule_of(app, rule.endpoint) is None})
    if bare:
        raise RouteWithoutAccessRule(f"add @access(...) to: {', '.join(bare)}")
    app.before_request(_check)


def _calling(view: Callable[..., Any]) -> Callable[..., Any]:
    return lambda **values: view(**values)


def _check() -> Response | None:
    if request.endpoint is None:
        return None  # no such address: the 404 page speaks
    rule = rule_of(current_app, request.endpoint)
    if rule is Access.PUBLIC:
        return None
    if g.person is None:
        after = request.full_path.rstrip("?") if request.method == "GET" else None
        return redirect(url_for("account.sign_in", after=after), 303)
    if rule is None or not rule.allows(g.person.roles):
        abort(403)
    return None

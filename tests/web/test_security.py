"""Headers, cookies and form tokens.

Checked against the OWASP Secure Headers Project and the OWASP Session Management Cheat Sheet (from memory).
"""

from __future__ import annotations

import re

import pytest

from trainer.paths import content_dir
from trainer.web import create_app

PATHS = ("/sign-in", "/first-sign-in", "/no-such-page", "/static/site.css")


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_carries_the_headers(client, path):
    with client.get(path) as answer:
        headers = answer.headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'" and policy["frame-ancestors"] == "'none'"
    assert (
        "unsafe" not in headers["Content-Security-Policy"]
        and "http" not in headers["Content-Security-Policy"]
    )
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


def test_the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(client):
    cookie = client.get("/sign-in").headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Lax" in cookie


def test_the_session_cookie_is_only_sent_over_tls_when_told(store, content):
    app = create_app(store, settings={"SESSION_COOKIE_SECURE": True}, content=content)
    assert "Secure" in app.test_client().get("/sign-in").headers["Set-Cookie"]


def test_a_proxy_is_believed_only_when_told(store, content):
    forwarded = {"X-Forwarded-Host": "trainer.example", "X-Forwarded-Proto": "https"}
    alone = create_app(store, content=content)
    assert alone.test_client().get("/sign-in", headers=forwarded).status_code == 200
    behind = create_app(store, settings={"PROXIES": 1}, content=content)
    assert behind.test_client().get("/sign-in", headers=forwarded).status_code == 400  # a host not in HOSTS
    known = create_app(store, settings={"PROXIES": 1, "HOSTS": ("trainer.example",)}, content=content)
    assert known.test_client().get("/sign-in", headers=forwarded).status_code == 200


def test_every_form_of_a_page_carries_a_token(sign_in, people):
    owner = sign_in(people.owner)
    seen = 0
    for path in ("/sign-in", "/first-sign-in", "/account", "/account/password", "/people", "/people/add", "/standard",
                 f"/people/{people.second.id}"):  # fmt: skip
        for form in owner.get(path).soup.select("form[method=post]"):
            seen += 1
            assert form.select_one("input[name=csrf_token][value]"), f"a form on {path} has no token"
    assert seen >= 12


def test_a_post_without_a_token_changes_nothing(sign_in, people):
    owner = sign_in(people.owner)
    assert owner.client.post(f"/people/{people.second.id}/deactivate").status_code == 400
    assert sign_in(people.second).get("/account").path == "/account"


def test_a_json_body_is_not_a_form(sign_in, people):
    owner = sign_in(people.owner)
    headers = {"X-CSRFToken": owner.token()}
    for body in ([1, 2], {"name": "Ana"}, "text", None):
        assert owner.client.post("/people/add", json=body, headers=headers).status_code < 500


def test_no_template_writes_styles_or_scripts_into_the_page():
    templates = list(content_dir("templates").rglob("*.html"))
    assert len(templates) > 8
    for path in templates:
        text = path.read_text("utf-8")
        assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=\s*[\"']|javascript:", text), path
        assert not re.search(r"<script(?![^>]*\ssrc=)", text), path
        assert not re.search(r"(src|href)=[\"'](https?:)?//", text), path

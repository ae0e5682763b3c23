"""The two limits that `test_load_benchmark` holds our pages against, for a server like ours.

LIMIT_STORE, a variable of the environment, names the SQLite file.

/row      a bare Flask view adds one row durably: what the machine can do
/signed   the least that an answer needs with the libraries it is made of, and nothing of this project: a signed cookie, a
          form token, a form; one statement each for the shop, the person, the question, what the answer meets, the answer,
          the newest event, the event that tells of it and the head of the chain; a message for the next page
"""

from __future__ import annotations

import os
import sqlite3
import threading
from hashlib import sha256

from flask import Flask, flash, redirect, request, session
from flask_wtf import CSRFProtect, FlaskForm
from flask_wtf.csrf import generate_csrf
from sqlalchemy import Column, Integer, MetaData, String, Table, create_engine, event, insert, select, update
from werkzeug.wrappers import Response
from wtforms import HiddenField, StringField
from wtforms.validators import InputRequired

PATH = os.environ.get("LIMIT_STORE", "")
TABLES = MetaData()
ROW = Table("row", TABLES, Column("id", Integer, primary_key=True), Column("typed", String))
ANSWER = Table(
    "answer",
    TABLES,
    Column("id", Integer, primary_key=True),
    Column("typed", String),
    Column("token", String, unique=True),
)
EVENT = Table(
    "event", TABLES, Column("id", Integer, primary_key=True), Column("facts", String), Column("hash", String)
)
FOUND, NEWEST = select(ROW), select(EVENT.c.id, EVENT.c.hash).order_by(EVENT.c.id.desc()).limit(1)
ADD, TELL, MOVE = insert(ANSWER), insert(EVENT), update(ROW).where(ROW.c.id == 1)

app = Flask("limits")
app.secret_key = "known to everyone"
protect = CSRFProtect(app)
held = threading.local()
engine = create_engine(f"sqlite:///{PATH}", connect_args={"timeout": 60, "check_same_thread": False})


@event.listens_for(engine, "connect")
def prepare(dbapi: sqlite3.Connection, _record: object) -> None:
    dbapi.isolation_level = None
    dbapi.execute("PRAGMA synchronous = FULL")


class Form(FlaskForm):  # type: ignore[misc]
    typed = StringField(validators=[InputRequired()])
    form_token = HiddenField()
    confirmed = HiddenField()


@app.post("/row")
@protect.exempt
def add() -> tuple[str, int]:
    if not hasattr(held, "to"):
        held.to = sqlite3.connect(PATH, isolation_level=None, timeout=60)
        held.to.execute("PRAGMA synchronous = FULL")
    held.to.execute("INSERT INTO row (typed) VALUES (?)", (request.form["typed"],))
    return "", 204


@app.get("/signed")
def form() -> str:
    session["key"] = "k" * 43
    return str(generate_csrf())


@app.post("/signed")
def answer() -> Response | tuple[str, int]:
    given = Form()
    if not given.validate_on_submit():
        return str(given.errors), 400
    with engine.connect() as reading:
        reading.exec_driver_sql("BEGIN")
        for _ in ("shop", "person", "question"):
            reading.execute(FOUND).first()
    with engine.connect() as writing:
        writing.exec_driver_sql("BEGIN IMMEDIATE")
        writing.execute(FOUND).first()
        writing.execute(ADD, {"typed": given.typed.data, "token": given.form_token.data})
        _, before = writing.execute(NEWEST).first() or (0, "")
        told = sha256(f"{before} {given.typed.data}".encode()).hexdigest()
        writing.execute(TELL, {"facts": given.typed.data, "hash": told})
        writing.execute(MOVE, {"typed": told})
        writing.commit()
    flash(f"Kept: {given.typed.data}")
    return redirect("/signed", 303)

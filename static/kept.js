// What this browser keeps of answers given without signal: read and written by the pages and by the worker alike.
// answers: {key, reader, path, fields, shown, at, state, said}; state: "waiting", or "refused" with why in said
// facts: {name, value}; the title of a quiz by the address of its paper
"use strict";

const kept = (() => {
  const JSON_TYPE = "application/json";

  const opened = () => new Promise((done, failed) => {
    const asked = indexedDB.open("topping-out", 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("answers", { keyPath: "key" });
      asked.result.createObjectStore("facts", { keyPath: "name" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });

  // The act is over when it is on the disk, not when it is asked for.
  const act = async (store, mode, how) => {
    const base = await opened();
    try {
      return await new Promise((done, failed) => {
        const work = base.transaction(store, mode, { durability: "strict" });
        const asked = how(work.objectStore(store));
        work.oncomplete = () => done(asked.result);
        work.onerror = work.onabort = () => failed(work.error);
      });
    } finally {
      base.close();
    }
  };

  const answers = () => act("answers", "readonly", (store) => store.getAll());
  const put = (answer) => act("answers", "readwrite", (store) => store.put(answer));
  const remove = (key) => act("answers", "readwrite", (store) => store.delete(key));
  const note = (name, value) => act("facts", "readwrite", (store) => store.put({ name, value }));
  const fact = async (name) => (await act("facts", "readonly", (store) => store.get(name)))?.value;
  const keyOf = (reader, path) => `${reader} ${path}`;

  // What a person recognises of the form: letters in their order, else the values.
  const shown = (fields) => {
    const given = fields.filter(([name]) => !["csrf_token", "form_token", "confirmed"].includes(name));
    if (given.length && given.every(([name]) => name.startsWith("place_"))) {
      return given.sort((one, other) => one[1] - other[1]).map(([name]) => name.slice(6)).join(", ");
    }
    return given.map(([, value]) => value).join(", ");
  };

  const keep = (reader, path, fields) => put({
    key: keyOf(reader, path), reader, path, fields, shown: shown(fields), at: new Date().toISOString(), state: "waiting",
  });

  // An answer given anew meanwhile is another one, and stays.
  const unlessChanged = async (one, how) => {
    const now = (await answers()).find(({ key }) => key === one.key);
    if (now && now.at === one.at) await how();
  };

  const sendOne = async (one, token) => {
    const body = new URLSearchParams(one.fields.filter(([name]) => name !== "csrf_token"));
    body.append("csrf_token", token);
    const told = await fetch(one.path, { method: "POST", body, headers: { Accept: JSON_TYPE } });
    const ours = (told.headers.get("Content-Type") || "").startsWith(JSON_TYPE);
    const { kept: stored, said } = ours ? await told.json() : {};
    if (told.ok && stored !== undefined) await unlessChanged(one, () => remove(one.key));
    else if (said !== undefined || told.status === 403 || told.status === 404) {
      await unlessChanged(one, () => put({ ...one, state: "refused", said: said || "" }));
    } else return null; // signed out, or the server is busy: it stays
    return told.ok;
  };

  // Sends what waits of whoever is signed in, one after the other; gives how many were stored.
  const sendAll = async (state) => {
    const waits = (await answers()).filter((one) => one.state === "waiting");
    if (!waits.length) return 0;
    const { reader, token } = await (await fetch(state, { cache: "no-store" })).json();
    let stored = 0;
    for (const one of waits.filter((each) => each.reader === reader)) {
      const done = await sendOne(one, token);
      if (done === null) break;
      if (done) stored += 1;
    }
    return stored;
  };

  // One tab at a time; the server stores the same form once in any case.
  const send = (state) => navigator.locks
    ? navigator.locks.request("topping-out sends", { ifAvailable: true }, (lock) => (lock ? sendAll(state) : 0))
    : sendAll(state);

  return { answers, fact, keep, keyOf, note, remove, send };
})();

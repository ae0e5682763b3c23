// The worker between the pages and the network. It keeps what opens without signal, and the answers that could not be sent.
// TOLD (before this in the same file): files, the mark of all of them; root; assets; noSignal, page, state: addresses.
// A cache "pages-<reader>.<edition>" holds the pages of one person; seeing a page of any other throws it away.
"use strict";

const ASSETS = `assets-${TOLD.files}`;
const PAGES = "pages-";
const NOBODY = "-";
const PATIENCE = 4000; // milliseconds for a page that is also kept
const LONGEST = 30000; // for an answer, which is kept here when the server may not have got it
const QUESTION = new RegExp(`^${TOLD.root}/papers/\\d+/\\d+$`);
const SIGN_OUT = [`${TOLD.root}/sign-out`, `${TOLD.root}/account/sign-out-everywhere`];
const BUSY = [502, 503, 504];
const old = new Map(); // by page, when the copy that it shows was made

let filling = null;

self.addEventListener("install", (event) => event.waitUntil((async () => {
  const cache = await caches.open(ASSETS);
  await cache.addAll([...TOLD.assets, new Request(TOLD.noSignal, { credentials: "omit" })]);
  await self.skipWaiting();
})()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("assets-") && name !== ASSETS) await caches.delete(name);
  await self.clients.claim();
})()));

const pagesName = async () => (await caches.keys()).find((name) => name.startsWith(PAGES));
const reader = async () => (await pagesName())?.slice(PAGES.length).split(".")[0];

const forgetPages = async (but) => {
  for (const name of await caches.keys()) if (name.startsWith(PAGES) && name !== but) await caches.delete(name);
};

const within = (milliseconds, asked) => new Promise((done, failed) => {
  const timer = setTimeout(() => failed(new Error("no answer in time")), milliseconds);
  asked.then(done, failed).finally(() => clearTimeout(timer));
});

// Notes whose page it is, and keeps it where the server allows.
const keepPage = async (url, answer) => {
  const told = answer.headers.get("X-Reader");
  if (told === null) return;
  const name = told === NOBODY ? undefined : PAGES + told;
  await forgetPages(name);
  if (!name) return;
  const cache = await caches.open(name);
  const kind = answer.headers.get("X-Keep");
  if (!kind || answer.redirected || !answer.ok) return;
  if (kind === "last") {
    for (const key of await cache.keys()) {
      if ((await cache.match(key, { ignoreVary: true })).headers.get("X-Keep") === "last") await cache.delete(key);
    }
  }
  await cache.put(url, answer.clone());
  const also = answer.headers.get("X-Keep-Also");
  if (also) await fetchAll(also.split(" "));
};

const fetchAll = async (addresses) => {
  const name = await pagesName();
  for (const address of addresses) {
    if (!name || (await pagesName()) !== name) return; // signed out meanwhile
    const cache = await caches.open(name);
    if (await cache.match(address, { ignoreVary: true })) continue;
    const answer = await fetch(address, { headers: { "X-Keep": "ask" } });
    if (answer.headers.get("X-Reader") !== name.slice(PAGES.length)) return;
    if (answer.ok && !answer.redirected && answer.headers.get("X-Keep")) await cache.put(address, answer);
  }
};

// After the first page of a person everything that opens without signal is fetched, one page after the other.
// page: the one that was shown before this worker was there to keep it
const fill = async (page) => {
  if (page) await keepPage(page, await fetch(page, { headers: { "X-Keep": "ask" } }));
  const name = await pagesName();
  if (name && (await (await caches.open(name)).match(TOLD.page, { ignoreVary: true }))) return;
  const { pages } = await (await fetch(TOLD.state, { cache: "no-store" })).json();
  if (!pages.length) return;
  if (!name) await keepPage(pages[0], await fetch(pages[0], { headers: { "X-Keep": "ask" } }));
  await fetchAll(pages);
};

const assetOf = async (request) => {
  const cache = await caches.open(ASSETS);
  const copy = await cache.match(request, { ignoreVary: true });
  if (copy) return copy;
  const answer = await fetch(request);
  if (answer.ok && answer.type === "basic") await cache.put(request, answer.clone());
  return answer;
};

const noSignal = async () => {
  const copy = await caches.match(TOLD.noSignal, { ignoreVary: true });
  return copy ? new Response(copy.body, { status: 503, headers: copy.headers }) : Response.error();
};

const pageOf = async (event) => {
  const url = event.request.url.split("#")[0];
  const name = await pagesName();
  const copy = name && (await (await caches.open(name)).match(url, { ignoreVary: true }));
  try {
    const asked = fetch(event.request);
    const answer = await (copy ? within(PATIENCE, asked) : asked);
    if (copy && BUSY.includes(answer.status)) throw new Error("the server is not there");
    event.waitUntil(keepPage(url, answer.clone()));
    return answer;
  } catch {
    if (copy) {
      old.set(event.resultingClientId, copy.headers.get("Date"));
      return copy;
    }
    if (name && new URL(url).pathname === `${TOLD.root}/`) return Response.redirect(TOLD.page, 302);
    return noSignal();
  }
};

const nextQuestion = async (path) => {
  const paper = path.replace(/\d+$/, "");
  const name = await pagesName();
  const me = await reader();
  const answered = (await kept.answers()).filter((one) => one.reader === me).map((one) => one.path);
  const open = (await (await caches.open(name)).keys())
    .map((key) => new URL(key.url).pathname)
    .filter((one) => one.startsWith(paper) && QUESTION.test(one) && !answered.includes(one))
    .sort((one, other) => one.slice(paper.length) - other.slice(paper.length));
  return open.find((one) => one.slice(paper.length) > Number(path.slice(paper.length))) || open[0] || TOLD.page;
};

const keepAnswer = async (path, request) => {
  const me = await reader();
  if (!me) return noSignal();
  await kept.keep(me, path, [...(await request.formData()).entries()]);
  await self.registration.sync?.register("answers").catch(() => undefined);
  return Response.redirect(await nextQuestion(path), 303);
};

const sent = async (event) => {
  const path = new URL(event.request.url).pathname;
  if (SIGN_OUT.includes(path)) await forgetPages();
  if (!QUESTION.test(path)) return fetch(event.request).catch(noSignal);
  const copy = event.request.clone();
  try {
    const answer = await within(LONGEST, fetch(event.request));
    if (answer.type === "opaqueredirect") {
      const name = await pagesName();
      if (name) await (await caches.open(name)).delete(path, { ignoreVary: true });
    }
    return answer;
  } catch {
    return keepAnswer(path, copy);
  }
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(request.method === "GET" ? pageOf(event) : sent(event));
  else if (request.method === "GET" && url.pathname.startsWith(`${TOLD.root}/static/`) && url.search) {
    event.respondWith(assetOf(request));
  }
});

self.addEventListener("message", (event) => {
  const { asks, page } = event.data;
  if (asks === "old") event.ports[0].postMessage(old.get(event.source.id) || null);
  if (asks === "fill" && !filling) {
    filling = fill(page).catch(() => undefined).finally(() => (filling = null)); // without signal: the next page tries again
    event.waitUntil(filling);
  }
});

self.addEventListener("sync", (event) => event.waitUntil(kept.send(TOLD.state)));

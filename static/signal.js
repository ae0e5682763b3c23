// On every page: says when it is an old copy, which answers wait in this browser, and sends them when there is signal.
"use strict";

const signal = (() => {
  const box = document.getElementById("signal");
  const { worker, state, reader, root } = box.dataset;
  const NOBODY = "-";
  const EVERY = 20000; // milliseconds between two tries to send
  let stored = 0;

  const say = (what, fact) => {
    const line = box.querySelector(`[data-say=${what}]`);
    if (!line) return;
    const place = line.querySelector("[data-fact]");
    line.hidden = !fact;
    if (place && fact) place.textContent = String(fact);
    box.hidden = !box.querySelector("[data-say]:not([hidden])");
  };

  const show = async () => {
    const all = await kept.answers();
    const mine = all.filter((one) => one.reader === reader);
    const waiting = mine.filter((one) => one.state === "waiting");
    const refused = mine.length - waiting.length;
    const others = all.filter((one) => one.reader !== reader && one.state === "waiting").length;
    say("here", mine.find((one) => one.path === location.pathname && one.state === "waiting")?.shown);
    say("waiting", waiting.length);
    say("refused", refused);
    say("others", others);
    say("sent", stored);
    say("look", waiting.length || refused);
    document.dispatchEvent(new Event("kept-changed"));
    return waiting.length;
  };

  const send = async () => {
    if (reader === NOBODY) return;
    try {
      stored += await kept.send(state);
    } catch {
      // no signal yet: they stay
    }
    if (await show()) setTimeout(send, EVERY);
  };

  const moment = (date) => new Date(date).toLocaleString(document.documentElement.lang === "es" ? "es-US" : "en-US",
    { day: "numeric", month: "long", year: "numeric", hour: "numeric", minute: "2-digit" });

  const start = async () => {
    const quiz = document.querySelector("[data-quiz]");
    if (quiz) await kept.note(location.pathname.replace(/\/\d+$/, ""), quiz.dataset.quiz);
    if (await show()) send();
    if (!navigator.serviceWorker) return; // plain HTTP: only on this machine itself does a browser allow one
    const page = navigator.serviceWorker.controller ? undefined : location.href.split("#")[0];
    await navigator.serviceWorker.register(worker, { scope: `${root}/` });
    const { active } = await navigator.serviceWorker.ready;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => say("old", data && moment(data));
    active.postMessage({ asks: "old" }, [port2]);
    const fill = () => reader !== NOBODY && !navigator.connection?.saveData && active.postMessage({ asks: "fill", page });
    if (window.requestIdleCallback) requestIdleCallback(fill, { timeout: 5000 });
    else setTimeout(fill, 2000);
  };

  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.hidden || show());
  addEventListener("load", () => start().catch(() => undefined)); // a browser that keeps nothing: pages work as ever
  return { show };
})();

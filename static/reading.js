// A lesson being read: a section whose end has stayed in view is noted as read, and pressing its button goes on to the
// next without loading the page again. Without a signal one reads on, and what was read is noted when it is back.
// Without this script the buttons send their forms.
"use strict";

const STAYED = 2000; // milliseconds: a thumb that only flies past has not read
const reading = document.querySelector("[data-reading]");
const ends = [...reading.querySelectorAll(".section-end")];
const stayed = new Set();

const current = () => ends.find((end) => end.querySelector("form"));

const noted = (end) => {
  end.querySelector("form").remove();
  end.querySelector(".section-read").hidden = false;
  const next = current();
  if (next) next.querySelector("form").hidden = false;
  const done = next ? ends.indexOf(next) : ends.length;
  const label = reading.querySelector("[data-said]");
  reading.querySelector("progress").value = done;
  label.textContent = label.dataset.said.replace("{n}", String(done));
  if (!next) location.reload(); // the end of the page says what is left to do
};

// Sections are noted in their order, one after the other; what cannot be sent stays to be sent or pressed later.
const sendNow = async (end) => {
  const form = end.querySelector("form");
  if (!form) return true; // noted meanwhile
  if (end !== current()) return false;
  try {
    const answer = await fetch(form.action, {
      method: "POST", body: new FormData(form), headers: { Accept: "application/json" },
    });
    if (!answer.ok || !answer.headers.get("Content-Type").startsWith("application/json")) return false;
    noted(end);
    return true;
  } catch {
    stayed.add(end);
    return null; // no signal
  }
};
let last = Promise.resolve(true);
const send = (end) => (last = last.then(() => sendNow(end)));

const sendStayed = async () => {
  while (current() && stayed.has(current()) && (await send(current())));
};

// Whoever looks ahead has not read what lies between.
const hasStayed = (end) => {
  const between = current() ? ends.slice(ends.indexOf(current()), ends.indexOf(end)) : [];
  if (!between.every((one) => stayed.has(one))) return;
  stayed.add(end);
  sendStayed();
};

const timers = new Map();
const watch = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting } of entries) {
    clearTimeout(timers.get(target));
    if (isIntersecting) timers.set(target, setTimeout(() => hasStayed(target), STAYED));
  }
});
for (const end of ends) if (end.querySelector("form")) watch.observe(end);
addEventListener("online", sendStayed);

reading.addEventListener("submit", async (event) => {
  const end = event.target.closest(".section-end");
  if (!end) return;
  event.preventDefault();
  const next = ends[ends.indexOf(end) + 1];
  if ((await send(end)) === false) event.target.submit();
  else if (next) document.getElementById(next.dataset.section).scrollIntoView();
});

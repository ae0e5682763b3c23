// A lesson being read: a section whose end has stayed in view is noted as read, and pressing its button goes on to the
// next without loading the page again. Without this script, or without a signal, the buttons send their forms.
"use strict";

const STAYED = 2000; // milliseconds: a thumb that only flies past has not read
const reading = document.querySelector("[data-reading]");
const ends = [...reading.querySelectorAll(".section-end")];
const stayed = new Set();
let sending = false;

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

// Sections are noted in their order, one at a time; what cannot be sent stays to be sent or pressed later.
const send = async (end) => {
  if (sending || end !== current()) return false;
  sending = true;
  try {
    const form = end.querySelector("form");
    const answer = await fetch(form.action, {
      method: "POST", body: new FormData(form), headers: { Accept: "application/json" },
    });
    if (!answer.ok || !answer.headers.get("Content-Type").startsWith("application/json")) return false;
    noted(end);
    return true;
  } catch {
    return false;
  } finally {
    sending = false;
  }
};

const sendStayed = async () => {
  while (current() && stayed.has(current()) && (await send(current())));
};

const timers = new Map();
const watch = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting } of entries) {
    clearTimeout(timers.get(target));
    if (isIntersecting) timers.set(target, setTimeout(() => { stayed.add(target); sendStayed(); }, STAYED));
  }
});
for (const end of ends) if (end.querySelector("form")) watch.observe(end);
addEventListener("online", sendStayed);

reading.addEventListener("submit", async (event) => {
  const end = event.target.closest(".section-end");
  if (!end) return;
  event.preventDefault();
  const next = ends[ends.indexOf(end) + 1];
  if (!(await send(end))) event.target.submit();
  else if (next) document.getElementById(next.dataset.section).scrollIntoView();
});

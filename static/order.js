// Steps to be put in order: each gets a button up and a button down, and the places are filled in from where it stands.
// Without this script each step keeps the field for its place.
"use strict";

for (const list of document.querySelectorAll("ol.order")) {
  const items = () => [...list.children];
  const place = (item) => item.querySelector("select");
  const live = document.createElement("p");
  live.setAttribute("role", "status");
  live.className = "unseen";
  list.after(live);

  const number = () => {
    items().forEach((item, at) => {
      place(item).value = String(at + 1);
      item.querySelector("[data-by='-1']").disabled = at === 0;
      item.querySelector("[data-by='1']").disabled = at === items().length - 1;
    });
  };

  const move = (item, by) => {
    if (by < 0) item.previousElementSibling.before(item);
    else item.nextElementSibling.after(item);
    number();
    live.textContent = `${list.dataset.moved} ${place(item).value}`;
    const button = item.querySelector(`[data-by='${by}']`);
    (button.disabled ? item.querySelector("button:enabled") : button).focus();
  };

  const button = (item, by, word, sign) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "button button-quiet";
    made.dataset.by = String(by);
    made.textContent = sign;
    made.setAttribute("aria-label", `${word}: ${item.querySelector("label").textContent.trim()}`);
    made.addEventListener("click", () => move(item, by));
    return made;
  };

  if (items().every((item) => place(item).value)) {
    const sorted = items().sort((one, other) => place(one).value - place(other).value);
    list.append(...sorted);
  }
  for (const item of items()) {
    const buttons = document.createElement("div");
    buttons.className = "moves";
    buttons.append(button(item, -1, list.dataset.up, "↑"), button(item, 1, list.dataset.down, "↓"));
    item.append(buttons);
  }
  list.classList.add("moving");
  number();
}

// A length: the reading is echoed below its field as it is typed, and on a phone a pad sets feet, inches and sixteenths.
// Only a tap on a figure or an eraser of the pad writes into the field. Without this script the plain field stands alone.
"use strict";

const kit = document.getElementById("pad-kit");

// Reading. A part of what trainer/calc/notation.py reads, in its words; of anything else nothing is said.
const SIGNS = { "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"' };
const FRACTIONS = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };
const NUMBER = String.raw`(?:(\d{1,6})(?: +|-)(?=\d+ */))?(?:(\d{1,6})(?: */ *(\d{1,6}))?|(\d{0,6})\.(\d{1,6}))`;
const FEET = String.raw`(?:ft|foot|feet|pies?|')`;
const INCHES = String.raw`(?:in|inch|inches|pulg|pulgadas?|")`;
const ONE = new RegExp(`^${NUMBER} *(${FEET}|${INCHES})?$`);
const TWO = new RegExp(`^(\\d{1,6}) *${FEET}(?: *, *| *-(?! )| *)(?!(?<=[a-z])\\.)${NUMBER} *${INCHES}$`);
const FINEST = 16;
const FOOT = 12;
const LONGEST = 60;

const divisor = (a, b) => (b ? divisor(b, a % b) : a);
const lowest = ([above, below]) => {
  const by = divisor(above, below) || 1;
  return [above / by, below / by];
};

// [above, below, typed with a fraction] of what NUMBER matched; null when the notation refuses it.
const amount = ([whole, above, below, before, after]) => {
  if (after !== undefined) return whole ? null : [...lowest([Number(before + after), 10 ** after.length]), false];
  if (below === undefined) return whole ? null : [Number(above), 1, false];
  const [over, under] = [Number(above), Number(below)];
  if (!under || (whole && over >= under)) return null;
  return [...lowest([Number(whole || 0) * under + over, under]), true];
};

const grouped = (whole) => whole.toLocaleString("en-US");
const mixed = (above, below) => {
  const whole = Math.floor(above / below);
  const rest = above - whole * below;
  if (!rest) return grouped(whole);
  return `${whole ? `${grouped(whole)} ` : ""}${rest}/${below}`;
};
const figures = ([above, below, fractional]) => {
  if (fractional || FINEST % below === 0) return mixed(above, below);
  return `${grouped(Math.floor(above / below))}${String((above % below) / below).slice(1)}`;
};

// {shown, feet, inches, sixteenths} of a typed length; feet is null where it was typed in inches alone, and the three
// are missing where the tape has no mark for it. null: nothing is said of it.
const read = (typed, unit) => {
  if (typed.length > LONGEST) return null;
  const plain = typed.toLowerCase().replace(/[′’‘″”“]/g, (sign) => SIGNS[sign])
    .replace(/[½¼¾⅛⅜⅝⅞]/g, (sign) => ` ${FRACTIONS[sign]} `).replaceAll("''", '"').replace(/^[ \t]+|[ \t]+$/g, "");
  const two = TWO.exec(plain);
  if (two) {
    const inches = amount(two.slice(2, 7));
    if (!inches || inches[0] >= FOOT * inches[1]) return null;
    return { shown: `${grouped(Number(two[1]))} ft ${figures(inches)} in`, ...onTape(inches, Number(two[1])) };
  }
  const one = ONE.exec(plain);
  const value = one && amount(one.slice(1, 6));
  if (!value) return null;
  const meant = !one[6] ? unit : new RegExp(`^${FEET}$`).test(one[6]) ? "ft" : "in";
  const shown = `${figures(value)} ${meant}`;
  if (meant === "in") return { shown, ...onTape(value, null) };
  const feet = Math.floor(value[0] / value[1]);
  return { shown, ...onTape(lowest([(value[0] - feet * value[1]) * FOOT, value[1]]), feet) };
};

const onTape = ([above, below], feet) => {
  if (FINEST % below) return {};
  const inches = Math.floor(above / below);
  return { feet, inches, sixteenths: (above - inches * below) * (FINEST / below) };
};

// Writing what the pad holds, as the notation writes it: "3 ft 0 1/2 in".
const written = ({ feet, inches, sixteenths }) => {
  if (feet === null && inches === null && sixteenths === null) return "";
  const fraction = sixteenths ? mixed(...lowest([sixteenths, FINEST])) : "";
  const tape = [];
  if (feet) tape.push(`${feet} ft`);
  if (inches || (feet && fraction) || !(feet || fraction)) tape.push(String(inches || 0));
  if (fraction) tape.push(fraction);
  return tape.length === 1 && feet ? tape[0] : `${tape.join(" ")} in`;
};

const MOST = { feet: 9999, inches: 9999 };
const grown = (figure, key) => (figure || 0) * 10 + key;

// Whether a figure may follow: beside feet, inches go to 11.
const takes = (held, part, key) => {
  if (part === "sixteenths") return true;
  const next = { ...held, [part]: grown(held[part], key) };
  return next[part] <= MOST[part] && !(next.feet && (next.inches || 0) >= FOOT);
};

// In a long form the opener stands beside its field; the row is made where the field stands alone.
const beside = kit.content.querySelector(".pad-beside") !== null;
const rowOf = (field) => {
  const there = field.closest(".answer-row");
  if (there || !beside) return there || field;
  const row = document.createElement("div");
  row.className = "answer-row";
  field.replaceWith(row);
  row.append(field);
  return row;
};

const echoFor = (field) => {
  const line = kit.content.querySelector(".pad-echo").cloneNode(true);
  const said = line.querySelector("strong");
  rowOf(field).after(line);
  const say = () => {
    const reading = read(field.value, field.dataset.unit);
    line.classList.toggle("pad-silent", !reading);
    said.textContent = reading ? reading.shown : "";
  };
  field.addEventListener("input", () => {
    for (const old of line.parentElement.querySelectorAll(".echo:not(.pad-echo)")) old.remove();
    line.hidden = false;
    say();
  });
  line.hidden = Boolean(line.parentElement.querySelector(".echo:not(.pad-echo)"));
  if (line.hidden) line.classList.add("pad-silent");
  else say();
  return line;
};

const padFor = (field, echo) => {
  const opener = kit.content.querySelector(".pad-open").cloneNode(true);
  const pad = kit.content.querySelector(".pad").cloneNode(true);
  const label = document.querySelector(`label[for="${CSS.escape(field.id)}"]`).firstChild.textContent.trim();
  const parts = [...pad.querySelectorAll("[data-part]")];
  const grids = [...pad.querySelectorAll("[data-keys]")];
  let held;
  let part;

  const show = () => {
    for (const button of parts) {
      const { part: name } = button.dataset;
      const figure = held[name];
      button.setAttribute("aria-pressed", String(name === part));
      button.querySelector("b").textContent =
        figure === null ? "–" : name === "sixteenths" && figure ? mixed(...lowest([figure, FINEST])) : String(figure);
    }
    for (const grid of grids) grid.hidden = (grid.dataset.keys === "sixteenths") !== (part === "sixteenths");
    for (const key of pad.querySelectorAll("[data-figure]")) {
      key.setAttribute("aria-disabled", String(!takes(held, part, Number(key.dataset.figure))));
    }
    pad.querySelector(".pad-note").classList.toggle("pad-silent", !held.feet && !(held.inches >= FOOT));
  };
  const load = () => {
    const { feet = null, inches = null, sixteenths = null } = read(field.value, field.dataset.unit) || {};
    // Feet with nothing after them leave inches and sixteenths to be set.
    const bare = Boolean(feet) && !inches && !sixteenths;
    held = { feet, inches: bare ? null : inches, sixteenths: sixteenths || null };
  };
  const write = () => {
    field.value = written(held);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    show();
  };
  const open = (opened) => {
    pad.hidden = !opened;
    opener.setAttribute("aria-expanded", String(opened));
    if (!opened) return opener.focus();
    load();
    part = field.dataset.unit === "ft" || held.feet ? "feet" : "inches";
    show();
    pad.scrollIntoView({ block: "nearest" });
  };

  pad.id = `${field.id}-pad`;
  pad.setAttribute("aria-label", `${opener.textContent.trim()}: ${label}`);
  opener.setAttribute("aria-controls", pad.id);
  opener.setAttribute("aria-label", `${opener.textContent.trim()}: ${label}`);
  opener.addEventListener("click", () => open(pad.hidden));
  pad.addEventListener("keydown", (event) => {
    if (event.key === "Escape") open(false);
  });
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("button");
    if (!key || key.getAttribute("aria-disabled") === "true") return;
    if (key.dataset.part) {
      part = key.dataset.part;
      show();
    } else if (key.dataset.figure) {
      const figure = Number(key.dataset.figure);
      held[part] = part === "sixteenths" ? figure : grown(held[part], figure);
      write();
    } else if (key.dataset.erase === "one") {
      held[part] = held[part] > 9 ? Math.floor(held[part] / 10) : null;
      write();
    } else if (key.dataset.erase) {
      held = { feet: null, inches: null, sixteenths: null };
      write();
    } else open(false);
  });
  field.addEventListener("input", (event) => {
    if (!event.isTrusted || pad.hidden) return; // typed while the pad is open: the pad follows
    load();
    show();
  });
  if (beside) rowOf(field).append(opener);
  echo.after(...(beside ? [pad] : [opener, pad]));
};

for (const field of document.querySelectorAll("input:is([data-unit=in], [data-unit=ft])")) padFor(field, echoFor(field));

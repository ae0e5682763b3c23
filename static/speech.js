// A lesson's sections read aloud with the browser's own voice. Where it has none there are no buttons.
"use strict";

(() => {
  const article = document.querySelector("article.lesson[data-speak]");
  const voice = window.speechSynthesis;
  if (!article || !voice || typeof window.SpeechSynthesisUtterance !== "function") return;

  const spanish = article.lang === "es";
  // Short forms as a person says them; "4 in 12" is a slope and stays.
  const units = spanish
    ? { in: "pulgadas", ft: "pies", lb: "libras", "°F": "grados Fahrenheit", "ft²": "pies cuadrados", "ft³": "pies cúbicos" }
    : { in: "inches", ft: "feet", lb: "pounds", "°F": "degrees Fahrenheit", "ft²": "square feet", "ft³": "cubic feet" };
  const said = (text) =>
    text
      .replace(/(\d) (in|ft²|ft³|ft|lb|°F)(?![\w²³])(?! \d)/g, (_all, number, unit) => `${number} ${units[unit]}`)
      .replace(/\s+/g, " ")
      .trim();

  // What a section says: its heading and its blocks one by one, because a long text is cut off by some browsers.
  const leftOut = "svg, .enlarge, .tries, .section-end, ol.working, button, table";
  const blocks = (heading) => {
    const texts = [];
    for (let next = heading.nextElementSibling; next && next.tagName !== "H2" && !next.matches("section.terms"); next = next.nextElementSibling) {
      if (next.matches(leftOut)) continue;
      const inner = next.matches("p") ? [next] : [...next.querySelectorAll("p, li, figcaption, h3")];
      for (const block of inner.length ? inner : [next]) {
        if (block.closest(leftOut)) continue;
        const copy = block.cloneNode(true);
        copy.querySelectorAll(leftOut).forEach((part) => part.remove());
        texts.push(said(copy.textContent));
      }
    }
    return [said(heading.firstChild.textContent), ...texts].filter(Boolean);
  };

  let speaking = null;
  const stop = () => {
    if (speaking) {
      speaking.textContent = article.dataset.speak;
      speaking.setAttribute("aria-pressed", "false");
    }
    speaking = null;
    voice.cancel();
  };

  const start = (button, heading) => {
    stop();
    speaking = button;
    button.textContent = article.dataset.stop;
    button.setAttribute("aria-pressed", "true");
    const texts = blocks(heading);
    texts.forEach((text, at) => {
      const piece = new SpeechSynthesisUtterance(text);
      piece.lang = spanish ? "es-US" : "en-US";
      piece.rate = 0.95;
      if (at === texts.length - 1) piece.onend = () => speaking === button && stop();
      voice.speak(piece);
    });
  };

  for (const heading of article.querySelectorAll("h2[id]:not(#terms)")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "button button-quiet speak no-print";
    button.textContent = article.dataset.speak;
    button.setAttribute("aria-pressed", "false");
    button.setAttribute("aria-describedby", heading.id);
    button.addEventListener("click", () => (speaking === button ? stop() : start(button, heading)));
    heading.after(button);
  }
  window.addEventListener("pagehide", stop);
})();

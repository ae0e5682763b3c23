// The page "On this phone": the answers that wait in this browser, and what else of it opens without signal.
"use strict";

(() => {
  const list = document.querySelector("[data-answers]");
  const { waits, refused, gone, remove, sure, none } = list.dataset;
  const { reader } = document.getElementById("signal").dataset;

  const made = (tag, text, kind = "") => {
    const element = document.createElement(tag);
    element.textContent = text;
    element.className = kind;
    return element;
  };

  // A refused answer goes when its person says so, and twice at that.
  const remover = (one) => {
    const button = made("button", remove, "button button-quiet");
    button.type = "button";
    button.addEventListener("click", async () => {
      if (button.textContent !== sure) {
        button.textContent = sure;
        return;
      }
      await kept.remove(one.key);
      signal.show();
    });
    return button;
  };

  const row = async (one) => {
    const item = document.createElement("li");
    const place = one.path.split("/").at(-1);
    const link = made("a", `${(await kept.fact(one.path.replace(/\/\d+$/, ""))) || ""} · ${place}`, "row-link");
    link.href = one.path;
    const waiting = one.state === "waiting";
    const state = made("span", "", `state ${waiting ? "state-wait" : "state-bad"}`);
    const mark = made("span", waiting ? "◔" : "✗");
    mark.setAttribute("aria-hidden", "true");
    state.append(mark, waiting ? waits : refused);
    const typed = made("p", "");
    typed.append(made("strong", one.shown));
    item.append(link, state, typed);
    if (!waiting) item.append(made("p", one.said || gone, "slip"), remover(one));
    return item;
  };

  const show = async () => {
    const mine = (await kept.answers()).filter((one) => one.reader === reader);
    const rows = await Promise.all(mine.map(row));
    list.replaceChildren(...(rows.length ? rows : [made("li", none)]));
  };
  document.addEventListener("kept-changed", show);

  const more = async () => {
    const name = (await caches.keys()).find((one) => one.startsWith("pages-"));
    if (!name) return;
    const urls = (await (await caches.open(name)).keys()).map((key) => new URL(key.url));
    const chimney = urls.find(({ pathname, search }) => /\/take-off\/(sheet|jobs\/\d+)$/.test(pathname) && (search || pathname.includes("jobs")));
    if (chimney) {
      const line = document.querySelector("[data-chimney]");
      line.querySelector("a").href = chimney.href;
      line.hidden = false;
    }
    const line = document.querySelector("[data-paper]");
    const papers = new Set(urls.map(({ pathname }) => pathname).filter((one) => /\/papers\/\d+\/\d+$/.test(one)));
    const first = [...papers].sort()[0];
    if (first) {
      line.querySelector("a").href = first;
      line.querySelector("[data-fact]").textContent = (await kept.fact(first.replace(/\/\d+$/, ""))) || "";
      line.hidden = false;
    }
  };
  more().catch(() => undefined);
})();

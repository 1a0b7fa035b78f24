// Shows what the preview made, and shows it again whenever it says that there is something new.
(() => {
  "use strict";
  const part = (name) => document.querySelector(name);
  const [state, problems, nav, paper] = ["#state", "#problems", "nav", "#paper"].map(part);
  const made = (name, words = "", kind = "") => {
    const element = document.createElement(name);
    element.textContent = words;
    if (kind) element.className = kind;
    return element;
  };
  let chosen = "as-it-stands";
  let drawn = "";
  let asked = 0;

  const svg = (text) => document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);

  const figure = (text, kind) => {
    const frame = made("figure", "", kind);
    frame.append(svg(text));
    return frame;
  };

  const draw = async (shown) => {
    const now = `${shown.good} ${chosen}`;
    if (drawn === now) return;
    drawn = now;
    if (shown.pictures.includes(chosen)) {
      const found = await fetch(`/picture/${chosen}.svg`);
      if (found.ok && drawn === now) paper.replaceChildren(figure(await found.text(), "picture"));
    } else {
      const found = await fetch(`/sheet/${chosen}.json`);
      if (!found.ok || drawn !== now) return;
      const link = made("a", "Open as PDF");
      link.href = `/sheet/${chosen}.pdf`;
      const { pages } = await found.json();
      paper.replaceChildren(link, ...pages.map((page) => figure(page, "page")));
    }
    paper.dataset.good = shown.good;
  };

  const tell = (shown) => {
    document.title = `${shown.title || "Preview"} · preview`;
    part("h1").textContent = shown.title || "Preview";
    const wrong = shown.problems.filter((one) => one.wrong);
    document.body.classList.toggle("old", !shown.busy && !shown.current);
    state.textContent = shown.busy ? "looking …"
      : shown.current ? `check word ${shown.check_word}` : shown.good ? "from an earlier text: put the mistakes right first" : "nothing to show yet";
    problems.hidden = !shown.problems.length;
    const list = made("ul");
    for (const one of shown.problems) {
      const item = made("li");
      item.append(made("code", one.where), ` ${one.wrong ? "" : "warning: "}${one.words}`);
      if (!one.wrong) item.className = "doubt";
      list.append(item);
    }
    const doubts = shown.problems.length - wrong.length;
    const words = [wrong.length && `${wrong.length} to mend`, doubts && `${doubts} to look at`].filter(Boolean).join(", ");
    problems.replaceChildren(made("h2", words), list);
  };

  const choose = (shown) => {
    const names = [...shown.pictures, ...shown.sheets];
    if (!names.length) return nav.replaceChildren();
    if (!names.includes(chosen)) chosen = names[0];
    nav.replaceChildren(...names.map((name) => {
      const button = made("button", name.replaceAll("-", " "));
      button.type = "button";
      button.setAttribute("aria-pressed", String(name === chosen));
      button.addEventListener("click", () => { chosen = name; look(); });
      return button;
    }));
  };

  const look = async () => {
    const mine = ++asked;
    const found = await fetch("/shown");
    if (!found.ok || mine !== asked) return;
    const shown = await found.json();
    tell(shown);
    const focused = document.activeElement?.closest?.("nav") ? chosen : "";
    choose(shown);
    if (focused) nav.querySelector("[aria-pressed=true]")?.focus();
    if (shown.good) await draw(shown);
  };

  const lines = new EventSource("/changes");
  lines.addEventListener("message", look);
  lines.addEventListener("error", () => { state.textContent = "the preview was ended, or cannot be reached"; });
})();

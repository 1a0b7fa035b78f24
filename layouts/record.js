// Keeps on this phone what was ticked off; nothing is ever sent. Each tick holds the check word of the page it was
// set on, so that a page of another revision can say that it was. Keys: build, then the record of the piece.
(() => {
  "use strict";
  const { build, word, revision, piece } = document.body.dataset;
  const key = (name) => `shopdocs ticks · ${build} · ${name}`;
  const read = (name) => {
    try {
      const found = JSON.parse(localStorage.getItem(key(name)) || "{}");
      return found && typeof found === "object" ? found : {};
    } catch { return {}; }
  };
  const say = (section, words) => { section.querySelector("[role=status]").textContent = words; };

  const ticks = document.querySelector(".ticks");
  if (ticks) {
    const boxes = [...ticks.querySelectorAll("input")];
    const show = () => {
      const done = read(piece);
      for (const box of boxes) box.checked = Boolean(done[box.name]);
      const older = boxes.filter((box) => done[box.name] && done[box.name] !== word).map((box) => box.name);
      say(ticks, older.length ? `Ticked on an earlier page of this build: ${older.join(", ")}. Look at what changed since.` : "");
    };
    ticks.addEventListener("change", ({ target }) => {
      const done = read(piece);
      if (target.checked) done[target.name] = word || "-"; else delete done[target.name];
      try { localStorage.setItem(key(piece), JSON.stringify(done)); show(); }
      catch { say(ticks, "This browser does not keep ticks on pages opened this way."); }
    });
    show();
    ticks.hidden = false;
    addEventListener("pageshow", show);
    addEventListener("storage", show);
  }

  const part = document.querySelector(".export");
  if (part) {
    const named = new Map();
    for (const link of document.querySelectorAll(".pieces a[data-piece]")) {
      const known = named.get(link.dataset.piece) || { mark: link.textContent, links: [], steps: link.dataset.steps.split(" ") };
      known.links.push(link);
      named.set(link.dataset.piece, known);
    }
    const element = (name, words, kind) => {
      const made = document.createElement(name);
      made.textContent = words;
      if (kind) made.className = kind;
      return made;
    };
    const show = () => {
      const count = new Map();
      for (const [name, known] of named) {
        const done = read(name);
        known.done = known.steps.filter((step) => done[step]);
        const own = new Map();
        for (const name of known.steps) {
          const step = name.split("·")[0];  // of several copies each has a tick, such as sawn·2
          for (const sums of [count, own]) {
            const [have, all] = sums.get(step) || [0, 0];
            sums.set(step, [have + (done[name] ? 1 : 0), all + 1]);
          }
        }
        for (const link of known.links) {
          for (const old of link.querySelectorAll(".bars, .unseen")) old.remove();
          link.classList.toggle("done", known.done.length === known.steps.length);
          if (!known.done.length) continue;
          const bars = element("span", "", "bars");
          bars.setAttribute("aria-hidden", "true");
          for (const [have, all] of own.values()) bars.append(element("i", "", have === all ? "on" : ""));
          link.append(bars, element("span", `, ${known.done.join(", ")}`, "unseen"));
        }
      }
      part.querySelector("dl").replaceChildren(...[...count].map(([step, [have, all]]) => {
        const pair = element("div", "");
        pair.append(element("dt", step[0].toUpperCase() + step.slice(1)), element("dd", `${have} of ${all}`));
        return pair;
      }));
    };
    const listed = () => [...named.values()].filter((known) => known.done.length);
    const told = () => [
      `${build}${revision ? `, revision ${revision}` : ""}`,
      ...(listed().length ? listed().map((known) => `${known.mark}: ${known.done.join(", ")}`) : ["nothing is done yet"]),
    ].join("\n");
    part.querySelector("[name=copy]").addEventListener("click", async () => {
      const area = part.querySelector("textarea");
      area.value = told();
      try { await navigator.clipboard.writeText(area.value); say(part, "Copied."); }
      catch { area.hidden = false; area.select(); say(part, "Copy the text above."); }
    });
    part.querySelector("[name=save]").addEventListener("click", () => {
      const done = Object.fromEntries(listed().map((known) => [known.mark, known.done]));
      const link = element("a", "");
      link.href = URL.createObjectURL(new Blob([JSON.stringify({ build, revision, word, done }, null, 2)], { type: "application/json" }));
      link.download = "done.json";
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 1000);
      say(part, "Saved as done.json.");
    });
    // Ticks saved on another phone come in beside those that are here; none is taken away.
    const file = part.querySelector("[type=file]");
    part.querySelector("[name=take]").addEventListener("click", () => file.click());
    file.addEventListener("change", async () => {
      const [chosen] = file.files;
      if (!chosen) return;
      let found;
      try { found = chosen.size > 1e6 ? null : JSON.parse(await chosen.text()); } catch { found = null; }
      file.value = "";
      if (!found || typeof found.done !== "object" || !found.done) return say(part, "That file holds no ticks.");
      if (found.build !== build) return say(part, `Those ticks belong to another build, not to ${build}.`);
      const told = typeof found.word === "string" && found.word ? found.word : "-";
      let more = 0;
      try {
        for (const [name, known] of named) {
          const steps = Object.hasOwn(found.done, known.mark) ? found.done[known.mark] : [];
          if (!Array.isArray(steps)) continue;
          const done = read(name);
          for (const step of known.steps) if (steps.includes(step) && !done[step]) { done[step] = told; more += 1; }
          localStorage.setItem(key(name), JSON.stringify(done));
        }
      } catch { return say(part, "This browser does not keep ticks on pages opened this way."); }
      const here = new Set([...named.values()].map((known) => known.mark));
      const gone = Object.keys(found.done).filter((mark) => !here.has(mark)).length;
      show();
      say(part, `${more} ${more === 1 ? "tick" : "ticks"} taken over.${gone ? ` ${gone} ${gone === 1 ? "piece is" : "pieces are"} no longer in this build.` : ""}`);
    });
    show();
    part.hidden = false;
    addEventListener("pageshow", show);
    addEventListener("storage", show);
  }

  if (location.protocol.startsWith("http") && "serviceWorker" in navigator) {
    navigator.serviceWorker.register("offline.js").catch(() => {});
  }
})();

// The high-contrast theme for bright sun: offered once on every page, at the head of a job's and at the foot of others,
// and kept on this device. Where the device itself asks for more contrast it is worn until somebody says otherwise.
(() => {
  "use strict";
  const key = "theme";
  const root = document.documentElement;
  const words = { en: "High contrast", es: "Alto contraste" };

  const read = () => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null;
    }
  };
  const keep = (value) => {
    try {
      localStorage.setItem(key, value);
    } catch {
      // Kept for this page only: the browser allows no storage.
    }
  };
  const wear = (glare) => {
    if (glare) root.dataset.theme = "glare";
    else delete root.dataset.theme;
  };
  const say = () => {
    for (const one of document.querySelectorAll("[data-glare]")) one.setAttribute("aria-pressed", String(root.dataset.theme === "glare"));
  };
  const made = () => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "link";
    button.dataset.glare = "";
    button.textContent = words[root.lang] || words.en;
    button.addEventListener("click", () => {
      const glare = root.dataset.theme !== "glare";
      wear(glare);
      keep(glare ? "glare" : "");
      say();
    });
    return button;
  };
  const dress = () => {
    const line = document.querySelector(".job-head > p:first-child");
    const foot = document.querySelector(".foot-row > [data-glare]");
    if (foot) foot.hidden = Boolean(line);
    if (!line || line.querySelector("[data-glare]")) return;
    line.append(" ", made());
    say();
  };

  wear(read() === "glare" || (read() === null && matchMedia("(prefers-contrast: more)").matches));
  addEventListener("DOMContentLoaded", () => {
    document.querySelector(".foot-row")?.prepend(made());
    say();
    dress();
    const main = document.querySelector("main");
    if (main) new MutationObserver(dress).observe(main, { childList: true });
  });
})();

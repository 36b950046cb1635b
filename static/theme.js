// The high-contrast theme for bright sun: offered at the foot of the page, kept on this device.
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

  wear(read() === "glare");
  addEventListener("DOMContentLoaded", () => {
    const row = document.querySelector(".foot-row");
    if (!row) return;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "link";
    button.textContent = words[root.lang] || words.en;
    const say = () => button.setAttribute("aria-pressed", String(root.dataset.theme === "glare"));
    button.addEventListener("click", () => {
      const glare = root.dataset.theme !== "glare";
      wear(glare);
      keep(glare ? "glare" : "");
      say();
    });
    say();
    row.prepend(button);
  });
})();

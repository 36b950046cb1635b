// A button that prints, in place of the sentence that says how: without a script the sentence stays.
(() => {
  "use strict";
  const button = document.querySelector("[data-print]");
  if (!button) return;
  button.addEventListener("click", () => print());
  button.parentElement.hidden = false;
  document.querySelector("[data-to-print]").hidden = true;
})();

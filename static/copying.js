// Copies what a line says; without this script the text is selected by a tap and copied by hand.

for (const button of document.querySelectorAll("[data-copy]")) {
  button.hidden = !navigator.clipboard;
  const words = button.firstChild.textContent;
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(document.getElementById(button.dataset.copy).textContent);
      button.firstChild.textContent = "Copied";
    } catch {
      button.firstChild.textContent = "Not copied: select it";
    }
    setTimeout(() => { button.firstChild.textContent = words; }, 2000);
  });
}

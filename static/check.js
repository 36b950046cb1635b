// Compares a PDF with the paper's record: read and hashed here, and sent nowhere. Every sentence stands in the page.

import { compared } from "./seal.js";

const LARGEST = 50_100_000;
const part = document.getElementById("compare");
const box = document.getElementById("pdf");
const told = document.getElementById("told");
const papers = [...part.querySelectorAll("[data-sha256]")].map(({ dataset }) => (
  { name: dataset.name, size: Number(dataset.size), sha256: dataset.sha256 }
));
const keys = new Map([...part.querySelectorAll("[data-print]")].map(({ dataset }) => [dataset.print, dataset.retired]));
const translations = [...part.querySelectorAll("[data-translation]")].map(({ dataset }) => dataset.translation);
const redacted = [...part.querySelectorAll("[data-redacted]")].map(({ dataset }) => dataset.redacted);
let newest = 0;

function tell(kind, filled = {}) {
  const said = part.querySelector(`template[data-kind="${kind}"]`).content.cloneNode(true);
  for (const place of said.querySelectorAll("[data-fill]")) place.textContent = filled[place.dataset.fill] ?? "";
  told.replaceChildren(said);
}

async function look(file) {
  newest += 1;
  const mine = newest;
  if (file.size > LARGEST) {
    tell("large");
    return;
  }
  tell("busy");
  let kind = "unread";
  let filled = {};
  try {
    const bytes = new Uint8Array(await file.arrayBuffer());
    if (bytes.length === 0) kind = "empty";
    else {
      const found = await compared(bytes, papers, [...keys.keys()], translations, redacted);
      kind = found.kind;
      const print = found.print.match(/.{4}/g)?.join(" ");
      filled = { name: found.name, print, retired: keys.get(found.print) };
    }
  } catch {
    // A file that went away meanwhile, or that is not let be read.
  }
  if (mine === newest) tell(kind, filled);
}

// Only pages that came by https, or from this machine, may hash.
if (globalThis.crypto?.subtle) {
  part.hidden = false;
  box.addEventListener("change", () => {
    if (box.files.length) look(box.files[0]);
  });
  const drop = document.getElementById("drop");
  const over = (event) => {
    event.preventDefault();
    drop.classList.toggle("over", event.type === "dragover");
  };
  for (const kind of ["dragover", "dragleave", "drop"]) drop.addEventListener(kind, over);
  drop.addEventListener("drop", ({ dataTransfer }) => {
    if (dataTransfer.files.length) look(dataTransfer.files[0]);
  });
}

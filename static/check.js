// Compares a PDF with the paper's record: read and hashed here, and sent nowhere. Every sentence stands in the page.

import { compared } from "./compared.js";

const LARGEST = 50_100_000;
const part = document.getElementById("compare");
const box = document.getElementById("pdf");
const told = document.getElementById("told");
const held = (name) => [...part.querySelectorAll(`[data-${name}]`)].map(({ dataset }) => dataset);
const known = {
  number: part.dataset.number,
  papers: held("sha256").map((one) => ({ ...one, size: Number(one.size) })),
  keys: held("print").map((one) => ({ ...one, traces: one.traces.split(" ").filter(Boolean) })),
  copies: held("copy").map(({ copy }) => copy),
  redacted: held("redacted").map(({ redacted }) => redacted),
};
let newest = 0;

function counted(bytes) {
  return bytes ? bytes.toLocaleString("en-US") : "";
}

// What a template says, its holes filled as plain text; a line for which nothing is known is left out.
function said(template, values) {
  const copy = template.content.cloneNode(true);
  for (const line of copy.querySelectorAll("[data-needs]")) if (!values[line.dataset.needs]) line.remove();
  const texts = document.createTreeWalker(copy, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    texts.currentNode.data = texts.currentNode.data.replace(/\{(\w+)\}/g, (hole, name) => values[name] ?? hole);
  }
  return copy;
}

function tell(kind, values = {}) {
  const parts = [said(part.querySelector(`template[data-kind="${kind}"]`), values)];
  if (values.file) parts.push(said(part.querySelector("template[data-facts]"), values));
  told.replaceChildren(...parts);
}

async function look(file) {
  newest += 1;
  const mine = newest;
  const facts = { file: file.name, size: counted(file.size) || "0", empty: file.size === 0 };
  if (file.size > LARGEST) {
    tell("too_large", facts);
    return;
  }
  tell("busy");
  let kind = "unread";
  try {
    const found = await compared(new Uint8Array(await file.arrayBuffer()), known);
    kind = found.kind;
    Object.assign(facts, {
      name: found.name, number: found.number, print: found.print.match(/.{4}/g)?.join(" "),
      retired: known.keys.find(({ print }) => print === found.print)?.retired, twin: kind === "sealed_twin",
      more: counted(found.more), whole: counted(found.whole),
    });
  } catch {
    // A file that went away meanwhile, or that is not let be read.
  }
  if (mine === newest) tell(kind, facts);
}

// Only pages that came by https, or from this machine, may hash.
if (globalThis.crypto?.subtle) {
  part.hidden = false;
  document.getElementById("by-hand-alone").hidden = true;
  box.addEventListener("change", () => {
    if (box.files.length) look(box.files[0]);
    // The same file, changed meanwhile, can be chosen again.
    box.value = "";
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

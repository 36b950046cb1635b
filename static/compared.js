// What a file is beside the papers as they are stored, of which whole hashes,
// sizes and identifiers are known: the kinds, and the rules by
// which they are told, of heaterapp/sealing/looking.py. Nothing of the file leaves the browser.

import { asText, origin } from "./origin.js";
import { digits, heldSeal, isSigned, sha256, tail, wasSealed } from "./seal.js";

const HEADER_WITHIN = 1024;
const END_WITHIN = 1024;
const NOTHING = { kind: "", name: "", print: "", number: "", more: 0, whole: 0 };

// bytes   the file
// known   number: the paper's; papers: its files, each {name, size, sha256, first, second}; keys: those of the
//         seal, each {print, retired, traces}; copies, redacted: what names files that are made of it and not kept
// Returns {kind, name, print, number, more, whole}: `number` is what the file calls itself, which anybody can write,
// `whole` how many bytes the paper has where too few are there.
export async function compared(bytes, known) {
  if (bytes.length === 0) return { ...NOTHING, kind: "no_pdf" };
  const whole = digits(await sha256(bytes));
  for (const { name, size, sha256: stored } of known.papers) {
    if (size === bytes.length && stored === whole) return { ...NOTHING, kind: "stored", name };
  }
  for (const paper of [...known.papers].sort((one, other) => other.size - one.size)) {
    if (!paper.size || paper.size >= bytes.length) continue;
    if (digits(await sha256(bytes.subarray(0, paper.size))) === paper.sha256) return withMore(bytes, paper, known);
  }
  return apart(bytes, known);
}

function ofSeal(seal, length, kind) {
  return { print: seal.print, kind: seal.end < length ? "added_after_seal" : kind };
}

async function withMore(bytes, { name, size }, { keys }) {
  const seal = await heldSeal(bytes, size, keys);
  if (seal) return { ...NOTHING, name, ...ofSeal(seal, bytes.length, seal.lower ? "sealed" : "sealed_twin") };
  const held = asText(tail(bytes, size));
  const kind = wasSealed(held, keys) ? "broken_seal" : isSigned(held) ? "foreign_seal" : "added";
  return { ...NOTHING, kind, name, more: bytes.length - size };
}

async function apart(bytes, { number, papers, keys, copies, redacted }) {
  const said = await origin(bytes);
  const hit = papers.find(({ first, second }) => said.named.has(`${first} ${second}`));
  if (!hit && !asText(bytes.subarray(0, HEADER_WITHIN)).includes("%PDF-")) return { ...NOTHING, kind: "no_pdf" };
  const seal = await heldSeal(bytes, 0, keys);
  if (seal) {
    const retired = keys.find(({ print }) => print === seal.print).retired;
    const found = ofSeal(seal, bytes.length, retired ? "sealed_retired" : "sealed_unknown");
    return { ...NOTHING, ...found, number: found.kind === "added_after_seal" ? "" : said.number };
  }
  const held = asText(tail(bytes, 0));
  const ours = wasSealed(held, keys);
  if (isSigned(held) && !ours) return { ...NOTHING, kind: "foreign_seal", number: said.number };
  const isOneOf = (names) => names.some((one) => said.identifiers.has(inHex(one)));
  if (isOneOf(redacted)) return { ...NOTHING, kind: "redacted" };
  if (isOneOf(copies)) return { ...NOTHING, kind: "translation" };
  if (hit && bytes.length < hit.size) return { ...NOTHING, kind: "shorter", name: hit.name, whole: hit.size };
  if (hit) return { ...NOTHING, kind: "changed", name: hit.name };
  const made = papers.find(({ first }) => said.identifiers.has(first));
  if (made) return { ...NOTHING, kind: "resaved", name: made.name };
  if (ours) return { ...NOTHING, kind: "changed" };
  const end = asText(bytes.subarray(-END_WITHIN));
  const called = said.number === number ? "lookalike" : said.number ? "another" : "unknown";
  const kind = end.includes("startxref") && end.includes("%%EOF") ? called : "damaged";
  return { ...NOTHING, kind, number: said.number };
}

function inHex(text) {
  return [...text].map((one) => one.charCodeAt(0).toString(16).padStart(2, "0")).join("");
}

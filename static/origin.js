// What a file says of itself: its identifiers, and the number in its title, read as heaterapp/sealing/origin.py
// reads it. All of it can be copied: it shows where a file may come from, never that it is whole.

const END = 4_000_000;
const MOST_IDENTIFIERS = 20;
const MOST_STREAMS = 2_000;
const MOST_TRIED = 50;
const MOST_INFLATED = 2_000_000;
const MOST_IN_ALL = 8_000_000;
const CHUNK = 256;
const LONGEST_DICTIONARY = 600;
const LONGEST_OBJECT = 4_000;
const LONGEST_STRING = 2_000;
const LONGEST_TITLE = 200;

const GAP = "[\\0\\t\\n\\f\\r ]";
const ID = new RegExp(`/ID${GAP}*\\[${GAP}*(?=[(<])`, "g");
const SECOND = new RegExp(`${GAP}*(?=[(<])`, "y");
const INFO = new RegExp(`/Info${GAP}+(\\d{1,10})${GAP}+(\\d{1,5})${GAP}+R`, "g");
const TITLE = new RegExp(`/Title${GAP}*(?=[(<])`);
const LENGTH = new RegExp(`/Length${GAP}+(\\d{1,10})(?!\\d)(?!${GAP}+\\d+${GAP}+R)`);
const FIRST = new RegExp(`/First${GAP}+(\\d{1,10})`);
const TITLED = "<dc:title>";
const DESCRIBED = /[^\0]{0,300}?<rdf:li[^>]{0,100}>([^<]{0,1000})</y;
const NUMBER = /(?<![A-Za-z0-9])[A-Z][A-Z0-9]{0,7}-[0-9]{1,12}(?![A-Za-z0-9])/;
const ESCAPED = new Map([["n", 10], ["r", 13], ["t", 9], ["b", 8], ["f", 12]]);

// A character a byte: a place in the text is the place in the bytes.
export function asText(bytes) {
  return new TextDecoder("latin1").decode(bytes);
}

// `named` are the identifiers that the file has or had, "first second" in hex, `identifiers` the first pieces alone:
// those stay when a program saves the file again. `number` is empty where its title has none.
export async function origin(bytes) {
  const raw = bytes.length <= 2 * END ? bytes : ends(bytes);
  const text = asText(raw);
  const named = new Set();
  const identifiers = new Set();
  for (const found of firstOf(text.matchAll(ID), MOST_IDENTIFIERS)) {
    const first = string(raw, found.index + found[0].length);
    const opens = at(SECOND, text, first.ends);
    const second = opens ? string(raw, first.ends + opens[0].length) : { held: [] };
    if (!first.held.length) continue;
    named.add(`${hex(first.held)} ${hex(second.held)}`);
    identifiers.add(hex(first.held));
  }
  const streams = await opened(raw, text);
  const number = numberIn(title(raw, text, streams)) || described(raw, text, streams);
  return { named, identifiers, number };
}

function hex(bytes) {
  return bytes.map((one) => one.toString(16).padStart(2, "0")).join("");
}

function at(sticky, text, place) {
  sticky.lastIndex = place;
  return sticky.exec(text);
}

function ends(bytes) {
  const both = new Uint8Array(2 * END + 1).fill(10);
  both.set(bytes.subarray(0, END));
  both.set(bytes.subarray(-END), END + 1);
  return both;
}

function* firstOf(all, most) {
  let left = most;
  for (const one of all) {
    if (left === 0) return;
    left -= 1;
    yield one;
  }
}

function numberIn(title) {
  // A title is not cut to its first letters: what is left of a number then would be another one.
  return [...title].length <= LONGEST_TITLE ? NUMBER.exec(title)?.[0] ?? "" : "";
}

// The title in the file's own list of facts, the last that is named.
function title(raw, text, streams) {
  let last = null;
  for (const found of text.matchAll(INFO)) last = found;
  if (!last) return "";
  const held = [...plainly(raw, text, `${last[1]} ${last[2]} obj`), ...within(streams, Number(last[1]))];
  if (!held.length) return "";
  const { facts } = held.reduce((one, other) => (other.at > one.at ? other : one));
  const found = TITLE.exec(asText(facts));
  return found ? words(string(facts, found.index + found[0].length).held) : "";
}

function plainly(raw, text, opening) {
  let at = text.length;
  for (let left = MOST_TRIED; left > 0 && at > 0; left -= 1) {
    at = text.lastIndexOf(opening, at - 1);
    if (at < 0) break;
    if (/[0-9]/.test(text[at - 1] ?? "")) continue;
    const from = at + opening.length;
    const closes = text.slice(from, from + LONGEST_OBJECT).indexOf("endobj");
    return [{ at, facts: raw.subarray(from, from + (closes < 0 ? LONGEST_OBJECT : closes)) }];
  }
  return [];
}

// The object of a number where it stands in a stream of objects (ISO 32000-1, 7.5.7).
function within(streams, number) {
  const found = [];
  for (const { at, dictionary, body } of streams) {
    const first = FIRST.exec(dictionary);
    if (!first || !dictionary.includes("/ObjStm")) continue;
    const begins = Number(first[1]);
    const told = (asText(body.subarray(0, begins)).match(/\d{1,10}/g) ?? []).map(Number);
    const places = new Map();
    for (let one = 0; one + 1 < told.length; one += 2) places.set(told[one], told[one + 1]);
    if (!places.has(number)) continue;
    const from = begins + places.get(number);
    let to = from + LONGEST_OBJECT;
    for (const place of places.values()) if (begins + place > from) to = Math.min(to, begins + place);
    found.push({ at, facts: body.subarray(from, to) });
  }
  return found;
}

// The number in the file's description of itself (XMP), the first there is.
function described(raw, text, streams) {
  let left = MOST_TRIED;
  for (const { body, told } of [{ body: raw, told: text }, ...streams.filter(isDescription)]) {
    const held = told ?? asText(body);
    for (let one = held.indexOf(TITLED); one >= 0; one = held.indexOf(TITLED, one + TITLED.length)) {
      if (left === 0) return "";
      left -= 1;
      const found = at(DESCRIBED, held, one + TITLED.length);
      if (!found) continue;
      const ends = one + TITLED.length + found[0].length - 1;
      const number = numberIn(new TextDecoder("utf-8", { ignoreBOM: true }).decode(body.subarray(ends - found[1].length, ends)));
      if (number) return number;
    }
  }
  return "";
}

function isDescription({ dictionary }) {
  return dictionary.includes("/Metadata");
}

// The streams in which objects or the description stand, opened.
async function opened(raw, text) {
  const found = [];
  let left = MOST_IN_ALL;
  let closes = -1;
  for (const one of firstOf(text.matchAll(/(?<!end)stream\r?\n/g), MOST_STREAMS)) {
    if (left <= 0) break;
    const at = one.index;
    const before = text.slice(Math.max(0, at - LONGEST_DICTIONARY), at);
    const dictionary = before.slice(before.includes(" obj") ? before.lastIndexOf(" obj") + 4 : 0);
    if (!/\/ObjStm|\/Metadata/.test(dictionary)) continue;
    const from = at + one[0].length;
    // Sought once going forward: a file of nothing but beginnings would be read anew for each of them.
    if (closes < from) {
      closes = text.indexOf("endstream", from);
      if (closes < 0) closes = text.length;
    }
    let to = closes;
    const length = LENGTH.exec(dictionary);
    if (length) to = Math.min(to, from + Number(length[1]));
    else {
      if (text[to - 1] === "\n") to -= 1;
      if (text[to - 1] === "\r") to -= 1;
    }
    const packed = raw.subarray(from, Math.max(from, Math.min(to, from + left)));
    const body = dictionary.includes("/FlateDecode") ? await inflated(packed) : packed.subarray(0, MOST_INFLATED);
    left -= Math.max(packed.length, body.length);
    found.push({ at, dictionary, body });
  }
  return found;
}

// What can be unpacked, up to where it is broken; neither head nor sum is looked at (RFC 1950).
async function inflated(packed) {
  const parts = [];
  let size = 0;
  let fed = 2;
  const bare = new ReadableStream({
    pull(into) {
      const until = Math.min(packed.length - 4, fed + CHUNK);
      if (fed < until) into.enqueue(packed.slice(fed, until));
      else into.close();
      fed = until;
    },
  });
  try {
    const reader = bare.pipeThrough(new DecompressionStream("deflate-raw")).getReader();
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      parts.push(value);
      size += value.length;
      if (size >= MOST_INFLATED) {
        await reader.cancel();
        break;
      }
    }
  } catch {
    // What is not packed as it says, or a browser that cannot open it: what was read before stands.
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer()).subarray(0, MOST_INFLATED);
}

// The bytes of the text at a place, in hex or in letters (ISO 32000-1, 7.3.4), and where it ends; none of a cut one.
function string(raw, at) {
  const held = raw.subarray(at, at + LONGEST_STRING);
  const text = asText(held);
  if (text[0] === "<") {
    const closes = text.indexOf(">");
    const digits = text.slice(1, Math.max(0, closes)).replace(/[^0-9A-Fa-f]/g, "");
    const even = `${digits}${digits.length % 2 ? "0" : ""}`;
    return { held: even.match(/../g)?.map((two) => parseInt(two, 16)) ?? [], ends: at + closes + 1 };
  }
  const found = [];
  let deep = 0;
  for (let place = 0; place < text.length; place += 1) {
    const one = text[place];
    if (one === "\\") {
      const octal = /^[0-7]{1,3}/.exec(text.slice(place + 1, place + 4))?.[0];
      const next = text[place + 1];
      if (octal) found.push(parseInt(octal, 8) & 0xff);
      else if (next !== undefined && next !== "\r" && next !== "\n") found.push(ESCAPED.get(next) ?? held[place + 1]);
      place += octal ? octal.length : 1;
      continue;
    }
    if (one === "(") deep += 1;
    if (one === ")") deep -= 1;
    if (deep === 0) return { held: found, ends: at + place + 1 };
    if (one !== "(" || deep > 1) found.push(held[place]);
  }
  return { held: [], ends: at };
}

function words(bytes) {
  const wide = bytes[0] === 0xfe && bytes[1] === 0xff;
  return wide ? new TextDecoder("utf-16be").decode(Uint8Array.from(bytes)) : asText(Uint8Array.from(bytes));
}

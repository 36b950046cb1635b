// Whether the seal after a paper holds: the same strict reading as heaterapp/sealing/contents.py, in the browser.
// The container of the signature (RFC 5652) is put together anew from the certificate, the digest of what is
// covered and the signature, and must be exactly what stands in the file: no byte of it goes unwatched.

const SEQUENCE = 0x30;
const SET = 0x31;
const OCTETS = 0x04;
const FIRST = 0xa0;
const TAIL = 1_000_000;
const LARGEST_CONTAINER = 40_000;
const MOST_TRIED = 8;
const FIGURE = 32;
const WHOLE = 0x02;

// Half of the order of the curve: of the two signatures that fit, our signing writes the one whose s is no larger.
const HALF = "7fffffff800000007fffffffffffffffde737d56d38bcf4279dce5617e3192a8";

const SHA256 = hex("300d06096086480165030402010500");
const ONE = hex("020101");
const DATA = hex("300b06092a864886f70d010701");
const SIGNED_DATA = hex("06092a864886f70d010702");
const ECDSA = hex("300a06082a8648ce3d040302");
const IS_DATA = hex("301806092a864886f70d010903310b06092a864886f70d010701");
const DIGEST = hex("302f06092a864886f70d01090431220420");
const CERTIFICATE = hex("060b2a864886f70d010910022f");

function hex(digits) {
  return Uint8Array.from(digits.match(/../g) ?? [], (two) => parseInt(two, 16));
}

export function digits(bytes) {
  return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
}

export async function sha256(bytes) {
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
}

function joined(...parts) {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

function same(one, other) {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}

// DER, written: a tag, the shortest length, the content.
function der(tag, ...content) {
  const body = joined(...content);
  const length = [];
  for (let left = body.length; left > 0; left >>= 8) length.unshift(left & 0xff);
  return joined(Uint8Array.from(body.length < 0x80 ? [tag, body.length] : [tag, 0x80 | length.length, ...length]), body);
}

// DER, read: the elements of `bytes`, each whole and as its content. Throws for what is cut short.
function elements(bytes) {
  const found = [];
  for (let at = 0; at < bytes.length;) {
    const many = bytes[at + 1] & 0x80 ? bytes[at + 1] & 0x7f : 0;
    let length = many ? 0 : bytes[at + 1];
    if (many > 3) throw new RangeError("too long");
    for (let digit = 0; digit < many; digit += 1) length = length * 256 + bytes[at + 2 + digit];
    const from = at + 2 + many;
    if (!(from + length <= bytes.length)) throw new RangeError("cut short");
    found.push({ whole: bytes.subarray(at, from + length), content: bytes.subarray(from, from + length) });
    at = from + length;
  }
  return found;
}

// What a certificate says that the container repeats: who, which, and its public key.
function named(certificate) {
  const said = elements(elements(elements(certificate)[0].content)[0].content);
  return { serial: said[1].whole, issuer: said[3].whole, key: said[6].whole };
}

function attributes(certificate, print, digest) {
  const { issuer, serial } = named(certificate);
  const whose = der(SEQUENCE, der(SEQUENCE, der(0xa4, issuer)), serial);
  const which = der(SEQUENCE, der(SEQUENCE, der(SEQUENCE, der(OCTETS, print), whose)));
  return joined(IS_DATA, DIGEST, digest, der(SEQUENCE, CERTIFICATE, der(SET, which)));
}

function container(certificate, held, signature) {
  const { issuer, serial } = named(certificate);
  const signer = der(
    SEQUENCE, ONE, der(SEQUENCE, issuer, serial), SHA256, der(FIRST, held), ECDSA, der(OCTETS, signature),
  );
  const content = der(SEQUENCE, ONE, der(SET, SHA256), DATA, der(FIRST, certificate), der(SET, signer));
  return der(SEQUENCE, SIGNED_DATA, der(FIRST, content));
}

// An ECDSA signature as DER has it, two whole numbers, as the browser wants it: 32 bytes each. Throws for what is
// written in any other way than DER's one, so that no byte of it goes unwatched.
function plain(signature) {
  const [pair] = elements(signature);
  const figures = elements(pair.content).map(({ content }) => content.subarray(content.findIndex((one) => one !== 0)));
  const anew = figures.map((bare) => der(WHOLE, bare[0] & 0x80 ? joined([0], bare) : bare));
  if (figures.length !== 2 || !same(signature, der(SEQUENCE, ...anew))) throw new RangeError("not DER");
  if (figures.some((bare) => bare.length > FIGURE)) throw new RangeError("too long");
  return joined(...figures.map((bare) => joined(new Uint8Array(FIGURE - bare.length), bare)));
}

async function holds(raw, digest, prints) {
  const [outer] = elements(raw.subarray(0, lengthOf(raw)));
  const [, wrapped] = elements(outer.content);
  const [, , , certificates, signers] = elements(elements(wrapped.content)[0].content);
  const certificate = certificates.content;
  const print = await sha256(certificate);
  if (!prints.includes(digits(print))) return null;
  const signature = elements(elements(signers.content)[0].content).at(-1).content;
  const held = attributes(certificate, print, digest);
  const wanted = container(certificate, held, signature);
  if (!same(raw, joined(wanted, new Uint8Array(Math.max(0, raw.length - wanted.length))))) return null;
  const curve = { name: "ECDSA", namedCurve: "P-256" };
  const key = await crypto.subtle.importKey("spki", named(certificate).key, curve, false, ["verify"]);
  const pair = plain(signature);
  const right = await crypto.subtle.verify({ name: "ECDSA", hash: "SHA-256" }, key, pair, der(SET, held));
  return right ? { print: digits(print), lower: digits(pair.subarray(FIGURE)) <= HALF } : null;
}

function lengthOf(raw) {
  const many = raw[1] & 0x80 ? raw[1] & 0x7f : 0;
  let length = many ? 0 : raw[1];
  for (let digit = 0; digit < many; digit += 1) length = length * 256 + raw[2 + digit];
  return 2 + many + length;
}

function begins(bytes, start) {
  return start || Math.max(0, bytes.length - TAIL);
}

// Where in a file a seal is looked for: after `start`, or before the end.
export function tail(bytes, start) {
  return bytes.subarray(begins(bytes, start), begins(bytes, start) + TAIL);
}

// Whether a seal by one of these keys once stood in a text, in hex; one half of its key may be hit.
export function wasSealed(text, keys) {
  const low = text.toLowerCase();
  return keys.some(({ traces }) => traces.some((one) => low.includes(one)));
}

// Whether a signature stands in a text, of whomever.
export function isSigned(text) {
  return text.includes("/ByteRange") && /\/Contents[\0\t\n\f\r ]*<30[0-9A-Fa-f]{200}/.test(text);
}

// The first seal after `start` that holds and whose key is one of `keys`: {print, lower, end}, or null. `end` is
// the place in the file where what it vouches for ends, `lower` whether it is the signature that our signing writes.
export async function heldSeal(bytes, start, keys) {
  const prints = keys.map(({ print }) => print);
  const from = begins(bytes, start);
  const text = new TextDecoder("latin1").decode(tail(bytes, start));
  const ranges = [...text.matchAll(/\/ByteRange \[(\d{1,10}) (\d{1,10}) (\d{1,10}) (\d{1,10})\]/g)];
  for (const found of ranges.slice(0, MOST_TRIED)) {
    const [first, opens, goesOn, rest] = found.slice(1).map(Number);
    const end = goesOn + rest;
    const said = from + found.index;
    if (first !== 0 || !(start <= opens && opens < goesOn && goesOn <= end && end <= bytes.length)) continue;
    // The numbers that say what is covered must themselves be covered.
    if (said < goesOn || said + found[0].length > end || goesOn - opens > LARGEST_CONTAINER) continue;
    // What begins before this text is none of ours: the slice would count from its end.
    const shown = opens >= from && /^<((?:[0-9A-F]{2})+)>$/.exec(text.slice(opens - from, goesOn - from));
    if (!shown) continue;
    const covered = await sha256(joined(bytes.subarray(0, opens), bytes.subarray(goesOn, end)));
    try {
      const found = await holds(hex(shown[1]), covered, prints);
      if (found) return { ...found, end };
    } catch {
      // What cannot be read holds nothing.
    }
  }
  return null;
}

// How a file is like a stored paper of which only an outline is known, as heaterapp/sealing/outline.py tells it.

const PARTS = 64;
const FEWEST = 4;
const MOST_ENDS = 8;
const END = "%%EOF";

async function digit(part) {
  return (new Uint8Array(await crypto.subtle.digest("SHA-256", part))[0] >> 4).toString(16);
}

function step({ size }) {
  return Math.ceil(size / PARTS) || 1;
}

async function isPart(bytes, paper, at, moved) {
  const begins = at * step(paper) + moved;
  const ends = Math.min((at + 1) * step(paper), paper.size) + moved;
  return begins >= 0 && ends <= bytes.length && await digit(bytes.subarray(begins, ends)) === paper.parts[at];
}

// How many of the last parts stand in a row before one of the places where the paper may end.
async function behind(bytes, text, paper) {
  const ends = [bytes.length];
  for (let at = text.indexOf(END); at >= 0 && ends.length < 1 + 3 * MOST_ENDS; at = text.indexOf(END, at + 1)) {
    for (let more = 0; more < 3; more += 1) ends.push(at + END.length + more);
  }
  let most = 0;
  for (const end of ends) {
    let found = 0;
    const moved = end - paper.size;
    while (moved && found < paper.parts.length && await isPart(bytes, paper, paper.parts.length - 1 - found, moved)) {
      found += 1;
    }
    most = Math.max(most, found);
  }
  return most;
}

// {kind, alike, first}: "cut_short" or "changed", how many parts are as they were, and where the first part that is
// not begins and ends; null where less than half of the paper is there. `text` is the file a character a byte.
export async function near(bytes, text, paper) {
  const count = paper.parts.length;
  const same = [];
  for (let at = 0; at < count && Math.min((at + 1) * step(paper), paper.size) <= bytes.length; at += 1) {
    same.push(await isPart(bytes, paper, at, 0));
  }
  if (bytes.length < paper.size && same.length >= FEWEST && same.every(Boolean)) {
    return { kind: "cut_short", alike: same.length, first: [0, 0] };
  }
  const ahead = same.includes(false) ? same.indexOf(false) : same.length;
  const inPlace = same.filter(Boolean).length;
  const alike = Math.max(inPlace, Math.min(count, ahead + await behind(bytes, text, paper)));
  if (2 * alike < count) return null;
  const first = ahead < count ? [ahead * step(paper), Math.min((ahead + 1) * step(paper), paper.size)] : [0, 0];
  return { kind: "changed", alike, first };
}

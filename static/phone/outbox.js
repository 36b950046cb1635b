// The signed jobs that wait on this phone, and their sending. A job leaves the phone only when the server has given its
// number and the same content hash; whatever else happens, it stays, with a sentence that says why.
//
// draft -> ready -> sending -> accepted (gone from the phone) | needs_you (a person must do something) | retry (by itself)

import { say } from "../say.js";
import { addressOf } from "./drafts.js";
import { oneAtATime } from "./one-at-a-time.js";
import { sendPhotos } from "./sending-photos.js";
import { sha256 } from "./sums.js";
import { dueIn, isDue, nextTry, unsent } from "./waiting.js";

const WAITING = new Set(["ready", "sending", "retry", "needs_you"]);
// What a person cannot mend at the job itself is tried again as soon as it may work.
const BY_ITSELF = new Set(["sign_in", "proof"]);
const NEEDS_YOU = {
  401: ["sign_in"],
  403: ["not_yours"],
  409: ["clashes", "issued_already", "other_content"],
  413: ["too_large"],
  415: ["not_a_photo"],
  422: ["fields", "unsigned", "judged_otherwise", "old_form", "bad_parcel"],
};
const SIGN_IN = say("Sign in again to send this. Nothing is lost.");
const PHOTO_ROUNDS = 3;
const A_DAY_S = 86_400;
const language = globalThis.document?.documentElement.lang || "en";
const LOOK_AGAIN_MS = 3_000;

// What kept it back, said once.
function byItself(fault, what) {
  const why = fault.message === say("no connection") ? say("No connection") : `${what} (${fault.message.replace(/\.+$/, "")})`;
  return say("{why}. It is sent by itself later.", { why });
}

// store   get, all, put, photosOf, change, changeTogether as in store.js
// api     {account(), api(path, options)} as in api.js
// nameOf  what a kind of picture is called
// now     milliseconds by the phone's clock; random: 0 to 1
export function outbox({ store, api, nameOf = (kind) => kind.replaceAll("_", " "), now = Date.now, random = Math.random, locks, wait, channel = hailing() }) {
  const hearers = new Set();
  const turn = oneAtATime({ store, now, random, locks, wait });
  let running = null;
  let again = null;
  let timer = 0;
  let busyElsewhere = false;
  let stopped = false;
  let serverNow = null;
  // What was sent since this page opened, newest first, with its address: no longer than that is it known here.
  const justSent = [];

  function told() {
    hearers.forEach((hear) => hear());
  }

  function tell() {
    told();
    channel?.postMessage("changed");
  }

  // The state alone may be lost where the phone is full: the sending goes on without it.
  async function keep(draft, change) {
    const same = (held) => held?.parcel_sha256 === draft.parcel_sha256;
    const kept = await store.change("drafts", draft.id, (held) => same(held) && { ...held, ...change }).catch(() => "full");
    if (kept) tell();
  }

  function needsYou(draft, code, says, more = {}) {
    return keep(draft, { state: "needs_you", problem: { code, says, language, ...more }, next_try_at: null });
  }

  function later(draft, says, after = 0) {
    const tries = (draft.tries ?? 0) + 1;
    return keep(draft, { state: "retry", tries, next_try_at: nextTry(tries, after, now(), random), problem: { code: "retry", says, language } });
  }

  // A proof that is older than the sign-in is fetched anew, once.
  async function call(path, options) {
    const answer = await api.api(path, options);
    if (answer.status !== 403 || answer.told.code !== "proof") return answer;
    if (!(await api.account())) return { status: 401, told: {}, after: 0 };
    return api.api(path, options);
  }

  async function refused(draft, { status, told: said, after }) {
    const { error, code, ...more } = said;
    if (status === 401) return needsYou(draft, "sign_in", SIGN_IN);
    // What each refused answer was: once it is another one, the reason holds no longer.
    if (more.fields) more.refused = Object.fromEntries(Object.keys(more.fields).map((name) => [name, draft.answers?.[name] ?? null]));
    if (NEEDS_YOU[status]?.includes(code)) return needsYou(draft, code, error ?? say("The server did not take it."), more);
    return later(draft, error ?? say("The server could not take it just now."), after);
  }

  async function accepted(draft, answer) {
    const { number, kind, link } = answer;
    const row = { id: draft.id, number, kind, link: link ?? null, sent_at: new Date(now()).toISOString() };
    const sent = ["put", "sent", row];
    const asSent = (held) => !held || held.parcel_sha256 === draft.parcel_sha256;
    if (!asSent(await store.get("drafts", draft.id))) {
      const says = say("What was signed before was issued as {number}. What was changed on this phone since is not in that paper.", { number });
      const problem = { code: "issued_already", says, language, number, own: true };
      await store.changeTogether([sent]);
      await store.change("drafts", draft.id, (held) => held && { ...held, state: "needs_you", problem });
      return tell();
    }
    const photos = (await store.photosOf(draft.id)).map((photo) => ["remove", "photos", photo.id]);
    const gone = [["remove", "drafts", draft.id], ...photos];
    const only = ["drafts", draft.id, asSent];
    let done = false;
    try {
      done = await store.changeTogether([sent, ...gone], only);
    } catch (fault) {
      if (!fault.quota) throw fault;
      done = await store.changeTogether(gone, only);
    }
    // An answer was changed in this very moment: it is kept, and said.
    if (!done) return accepted(draft, answer);
    justSent.unshift({ ...row, address: addressOf(draft) });
    return tell();
  }

  async function send(draft, renew) {
    await keep(draft, { state: "sending", problem: null });
    if ((await sha256(new TextEncoder().encode(draft.parcel))) !== draft.parcel_sha256) {
      return needsYou(draft, "damaged", say("What this phone kept of the signed job is not what was signed. Look at it and sign again."));
    }
    const listed = JSON.parse(draft.parcel).photos;
    for (let round = 0; round < PHOTO_ROUNDS; round += 1) {
      const photos = await sendPhotos({ store, call, draft, renew, listed });
      if (photos.answer) return refused(draft, photos.answer);
      if (photos.refused?.length) return namePhotos(draft, photos.refused);
      const answer = photos.lost ? null : await call(`parcels/${draft.id}`, { method: "PUT", body: draft.parcel });
      if (answer?.status === 200) {
        const whole = answer.told.content_sha256 === draft.parcel_sha256 && typeof answer.told.number === "string";
        return whole && answer.told.number ? accepted(draft, answer.told) : later(draft, say("The answer was not the server's own."));
      }
      if (answer && !(answer.status === 422 && answer.told.code === "photos_missing")) return refused(draft, answer);
    }
    return later(draft, say("The photos did not all arrive."));
  }

  function namePhotos(draft, refusedOnes) {
    const names = refusedOnes.map(({ kind, says }) => `${(kind && nameOf(kind)) || say("a photo")}: ${says}`).join(" ");
    const count = refusedOnes.length === 1 ? say("one photo") : say("{count} photos", { count: refusedOnes.length });
    const says = say("Everything is ready but {count} ({names}) Take it again, or send without it.", { count, names });
    return needsYou(draft, "photo", says, { photos: refusedOnes });
  }

  async function run(chosen) {
    const mine = (await store.all("drafts")).filter((draft) => draft.parcel && WAITING.has(draft.state) && chosen(draft));
    if (!mine.length) return;
    mine.sort((one, other) => String(one.ready_at).localeCompare(String(other.ready_at)));
    busyElsewhere = !(await turn(async (renew) => {
      let who = null;
      try {
        who = await api.account();
      } catch (fault) {
        for (const draft of mine) await later(draft, byItself(fault, say("No connection")));
        return;
      }
      serverNow = who ? { theirs: Date.parse(who.now), ours: now() } : serverNow;
      for (const draft of mine) {
        const held = await store.get("drafts", draft.id);
        if (!held?.parcel || !WAITING.has(held.state)) continue;
        const seen = { ...held, seen_at: held.seen_at ?? who?.now ?? null };
        if (seen.seen_at !== held.seen_at) await keep(held, { seen_at: seen.seen_at });
        if (!who) await needsYou(seen, "sign_in", SIGN_IN);
        else await sendKept(seen, renew);
      }
    }));
  }

  async function sendKept(draft, renew) {
    try {
      await renew();
      await send(draft, renew);
    } catch (fault) {
      await later(draft, byItself(fault, say("It did not go through")));
    }
  }

  // Asked for again while one run goes on: once more afterwards.
  function start(chosen) {
    if (running) {
      const before = again;
      again = before ? (draft) => before(draft) || chosen(draft) : chosen;
      return running;
    }
    running = (async () => {
      try {
        await run(chosen);
        while (again) {
          const next = again;
          again = null;
          await run(next);
        }
      } finally {
        running = null;
        await schedule();
      }
    })();
    return running;
  }

  const due = (draft) => isDue(draft, now()) || BY_ITSELF.has(draft.problem?.code);
  const tick = () => start(due).catch(() => {});

  async function schedule() {
    clearTimeout(timer);
    if (stopped) return;
    const waits = (await store.all("drafts")).filter((draft) => draft.parcel && ["ready", "sending", "retry"].includes(draft.state));
    const soonest = Math.min(...waits.map((draft) => dueIn(draft, now())));
    if (waits.length) timer = setTimeout(tick, busyElsewhere ? Math.max(soonest, LOOK_AGAIN_MS) : soonest);
  }

  async function counts() {
    const mine = (await store.all("drafts")).filter((draft) => draft.parcel && WAITING.has(draft.state));
    const of = (state) => mine.filter((draft) => draft.state === state).length;
    const oldest_s = Math.max(0, ...mine.map((draft) => unsent(draft, now(), serverNow)));
    const [ready, sending, retry, needs_you] = ["ready", "sending", "retry", "needs_you"].map(of);
    return { waiting: mine.length, ready, sending, retry, needs_you, oldest_s, late: oldest_s >= A_DAY_S };
  }

  // The same signed job without a photo that the server does not take: the answers stay as they were signed.
  async function sendWithout(id, sum) {
    const draft = await store.get("drafts", id);
    const parcel = JSON.parse(draft.parcel);
    parcel.photos = parcel.photos.filter((photo) => photo.sha256 !== sum);
    const text = JSON.stringify(parcel);
    const photos = draft.photos.filter((photo) => photo.sha256 !== sum);
    const parcel_sha256 = await sha256(new TextEncoder().encode(text));
    await store.put("drafts", { ...draft, photos, parcel: text, parcel_sha256, state: "ready", problem: null });
    return start((one) => one.id === id);
  }

  channel?.addEventListener("message", told);

  return {
    sendAll: () => start(() => true),
    sendOne: (id) => start((draft) => draft.id === id),
    sendWithout,
    counts,
    justSent,
    // Nothing more is begun by itself.
    stop() {
      stopped = true;
      clearTimeout(timer);
    },
    onChange: (hear) => (hearers.add(hear), () => hearers.delete(hear)),
    begin() {
      const atOnce = () => start((draft) => draft.state !== "needs_you" || BY_ITSELF.has(draft.problem?.code)).catch(() => {});
      globalThis.addEventListener?.("online", atOnce);
      globalThis.document?.addEventListener("visibilitychange", () => document.visibilityState === "visible" && tick());
      return atOnce();
    },
  };
}

function hailing() {
  return globalThis.BroadcastChannel && globalThis.document ? new BroadcastChannel("heaterapp-outbox") : null;
}

// The jobs that wait on this phone, and the sending of them.

import { account, api, Unreachable } from "./api.js";

export function sending(app) {
  const hearers = new Set();
  const told = () => hearers.forEach((hear) => hear());

  async function sendOne(id) {
    const draft = await app.store.get("drafts", id);
    if (!draft?.parcel) return;
    try {
      if (!(await account())) {
        await keep(draft, "needs_you", { code: "sign_in", says: "Sign in again to send this." });
        return;
      }
      const { status, told: answer } = await api(`parcels/${id}`, { method: "PUT", body: draft.parcel });
      if (status === 200 && answer.content_sha256 === draft.parcel_sha256) await accepted(draft, answer);
      else await keep(draft, "needs_you", { code: answer.code ?? String(status), says: answer.error ?? `The server said ${status}.` });
    } catch (fault) {
      if (!(fault instanceof Unreachable)) throw fault;
      await keep(draft, "retry", { code: "unreachable", says: fault.message });
    }
  }

  async function keep(draft, state, problem) {
    await app.store.put("drafts", { ...draft, state, problem });
    told();
  }

  async function accepted(draft, answer) {
    const { number, kind, link } = answer;
    await app.store.changeTogether([
      ["put", "sent", { id: draft.id, number, kind, link, sent_at: new Date().toISOString() }],
      ["remove", "drafts", draft.id],
      ...draft.photos.map((photo) => ["remove", "photos", photo.id]),
    ]);
    told();
  }

  async function sendAll() {
    for (const draft of await app.store.all("drafts")) {
      if (["ready", "retry", "sending", "needs_you"].includes(draft.state) && draft.parcel) await sendOne(draft.id);
    }
  }

  return {
    sendAll,
    sendOne,
    onChange: (hear) => (hearers.add(hear), () => hearers.delete(hear)),
    begin() {
      window.addEventListener("online", sendAll);
      sendAll();
    },
  };
}

// The jobs on this phone: in hand, waiting to be sent, sent; and those at the office that can be taken along.

import { addressOf, clock } from "./drafts.js";

const WORDS = {
  draft: "in hand", ready: "signed, waits to be sent", sending: "being sent", retry: "waits for a connection", needs_you: "needs you",
};

export async function listView(app, says = "") {
  const node = document.createElement("div");
  node.append(app.template("list"));
  const part = (name) => node.querySelector(`[data-${name}]`);
  const row = node.querySelector("template");

  async function fill() {
    const drafts = (await app.store.all("drafts")).sort((a, b) => (a.changed_at < b.changed_at ? 1 : -1));
    part("drafts").replaceChildren(...drafts.map(rowOf));
    part("none").hidden = drafts.length > 0;
    const waiting = drafts.filter((one) => one.parcel).length;
    part("send").hidden = !waiting;
    part("send").textContent = `Send ${waiting} waiting`;
    const sent = (await app.store.all("sent")).sort((a, b) => (a.sent_at < b.sent_at ? 1 : -1));
    part("sent-part").hidden = !sent.length;
    part("sent").replaceChildren(...sent.map(sentRow));
  }

  function rowOf(draft) {
    const one = row.content.cloneNode(true);
    const link = one.querySelector("a");
    link.href = `#/${draft.id}/${draft.at}`;
    one.querySelector("b").textContent = addressOf(draft);
    one.querySelector("[data-state]").textContent = WORDS[draft.state] ?? draft.state;
    one.querySelector("[data-saved-at]").textContent = `saved on this phone ${clock(draft.changed_at)}`;
    const problem = one.querySelector("[data-problem]");
    problem.textContent = draft.problem?.says ?? "";
    problem.hidden = !draft.problem;
    return one;
  }

  function sentRow(one) {
    const line = document.createElement("li");
    const link = Object.assign(document.createElement("a"), { href: one.link ?? "#/", textContent: one.number, className: "line-link" });
    line.append(link, `, sent ${clock(one.sent_at)}`);
    return line;
  }

  part("says").textContent = says;
  part("says").hidden = !says;
  part("send").addEventListener("click", () => app.outbox.sendAll());
  await fill();
  const off = app.outbox?.onChange(fill);
  return { node, title: "Jobs on this phone", close: async () => off?.() };
}

// The review of a job on this phone: what is to fix, to answer, left to others; and the way to the signature.

import { addressOf, saver } from "./drafts.js";
import { settle } from "./settle.js";

const AGAIN_MS = 1_500;
const PATIENCE_MS = 400;

export async function reviewView(app, draft) {
  const node = document.createElement("div");
  node.append(app.template("review"));
  const part = (name) => node.querySelector(`[data-${name}]`);
  part("address").textContent = addressOf(draft);
  for (const way of node.querySelectorAll("[data-to]")) way.href = `#/${draft.id}/${way.dataset.to}`;
  for (const way of node.querySelectorAll("[data-way]")) way.hidden = draft.told ? !draft.told.order.includes(way.dataset.way) : false;
  part("photos").textContent = draft.photos.length ? `${draft.photos.length} taken` : "none yet";
  draft.at = "review";
  const keeper = saver(draft, () => {});
  keeper.touch();
  let closed = false;
  let timer = 0;

  // Where nothing can judge yet, it is tried again by itself: the phone's own engine may still be starting.
  async function judge() {
    try {
      await settle(app, draft);
      const told = await app.ask({ do: "review", answers: { ...draft.answers } });
      if (told.error) throw new Error(told.error);
      if (!closed) show(told);
    } catch (fault) {
      if (closed) return;
      part("lead").textContent = `Not judged yet: ${fault.message}. Everything is kept on this phone.`;
      timer = setTimeout(judge, AGAIN_MS);
    }
  }

  function show(told) {
    keeper.touch();
    part("lead").textContent = `${told.outcome_words}.`;
    for (const one of node.querySelectorAll("[data-count]")) one.textContent = told.counts[one.dataset.count] ?? 0;
    part("review-html").innerHTML = told.html;
    const unread = Object.keys(draft.typed);
    part("unread").hidden = !unread.length;
    const lacking = Object.values(told.lacking ?? {});
    part("lacking").replaceChildren(...lacking.map((says) => Object.assign(document.createElement("li"), { textContent: says })));
    part("sign").hidden = !told.kind || lacking.length > 0 || unread.length > 0;
  }

  await Promise.race([judge(), new Promise((enough) => setTimeout(enough, PATIENCE_MS))]);
  return {
    node,
    title: `Review, ${addressOf(draft)}`,
    rest: keeper.rest,
    async close() {
      closed = true;
      clearTimeout(timer);
      await keeper.settled;
    },
    goTo: (section, name) => app.go(`${draft.id}/${section}/${name}`),
  };
}

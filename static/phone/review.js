// The review of a job on this phone: what is to fix, to answer, left to others; and the way to the signature.

import { addressOf, saver } from "./drafts.js";
import { settle } from "./settle.js";

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
  let told = null;
  try {
    told = await app.ask({ do: "review", answers: { ...draft.answers } });
    if (told.error) throw new Error(told.error);
  } catch (fault) {
    part("lead").textContent = `Not judged yet: ${fault.message}. Everything is kept on this phone.`;
    return { node, title: `Review, ${addressOf(draft)}`, rest: keeper.rest };
  }
  part("lead").textContent = `${told.outcome_words}.`;
  for (const one of node.querySelectorAll("[data-count]")) one.textContent = told.counts[one.dataset.count] ?? 0;
  part("review-html").innerHTML = told.html;
  const unread = Object.keys(draft.typed);
  part("unread").hidden = !unread.length;
  const lacking = Object.values(told.lacking ?? {});
  part("lacking").replaceChildren(...lacking.map((says) => Object.assign(document.createElement("li"), { textContent: says })));
  part("sign").hidden = !told.kind || lacking.length > 0 || unread.length > 0;
  return {
    node,
    title: `Review, ${addressOf(draft)}`,
    rest: keeper.rest,
    goTo: (section, name) => app.go(`${draft.id}/${section}/${name}`),
  };
}

// What was typed while nothing could read it is read now, before a review or a signature rests on it.

// returns  question -> what was expected, for what cannot be read
// raises   where it cannot be judged now
export async function settle(app, draft) {
  const sent = { ...draft.typed };
  if (!Object.keys(sent).length) return {};
  const told = await app.ask({ do: "told", answers: draft.answers, changes: sent, section: null });
  if (told.error) throw new Error(told.error);
  for (const [name, answer] of Object.entries(sent)) {
    if (draft.typed[name] === answer && !told.errors[name]) delete draft.typed[name];
  }
  draft.answers = told.answers;
  return told.errors;
}

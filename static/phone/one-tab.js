// A job is worked at in one tab: the tab that opened it last has it, and the one before is told.

let mine = null;

export function holdAlone(id, lost) {
  if (!navigator.locks) return;
  if (mine?.id === id) {
    mine.lost = lost;
    return;
  }
  mine?.release();
  const held = { id, lost };
  mine = held;
  const kept = new Promise((done) => (held.release = done));
  navigator.locks.request(`draft-${id}`, { steal: true }, () => kept).catch((fault) => {
    if (fault.name !== "AbortError" || mine !== held) return;
    mine = null;
    held.lost();
  });
}

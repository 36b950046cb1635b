// A job is worked at in one tab: the tab that opened it last has it, and the one before is told. Once that tab lets go of it,
// the one before shows the job anew, as it is kept then.

let mine = null;
let waits = null;

export function holdAlone(id, lost) {
  if (!navigator.locks) return;
  if (mine?.id === id) {
    mine.lost = lost;
    return;
  }
  letGo();
  const held = { id, lost };
  mine = held;
  const kept = new Promise((done) => (held.release = done));
  navigator.locks.request(`draft-${id}`, { steal: true }, () => kept).catch((fault) => {
    if (fault.name !== "AbortError" || mine !== held) return;
    mine = null;
    held.lost();
    waitFor(id);
  });
}

// Called where a view of no job is shown.
export function letGo() {
  waits?.abort();
  mine?.release();
  waits = mine = null;
}

function waitFor(id) {
  waits = new AbortController();
  const { signal } = waits;
  const free = () => signal.aborted || dispatchEvent(new HashChangeEvent("hashchange"));
  navigator.locks.request(`draft-${id}`, { signal }, () => {}).then(free, () => {});
}

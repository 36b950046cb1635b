// How long something has run, when the phone may have slept, the page been closed or the clock been set meanwhile.
// What is kept is when it began, never a running count. Nothing of the job is kept with it.

const A_DAY_MS = 24 * 3600_000;
const CLOCK_SET_MS = 3000;

// started   the wall clock at the start, in ms
// before    {wall, mono} as they stood at the last look of this page, or null on the first
// now       {wall, mono} now; mono counts from when this page was opened and cannot be set
// awake     the page was in view all the time since the last look
// returns   {started, elapsed, set}: the start as the clock has it now, ms gone, and whether the clock was set meanwhile;
//           null when the kept start cannot be this test's
export function gone(started, before, now, awake) {
  let from = started;
  let set = false;
  if (before) {
    const wall = now.wall - before.wall;
    const mono = now.mono - before.mono;
    // Asleep, a phone may stop its running count; it never runs ahead of the wall clock.
    const wrong = wall < mono - CLOCK_SET_MS || (awake && wall > mono + CLOCK_SET_MS);
    if (wrong) {
      from += wall - mono;
      set = true;
    }
  }
  const elapsed = now.wall - from;
  if (elapsed < -CLOCK_SET_MS || elapsed > A_DAY_MS) return null;
  return { started: from, elapsed: Math.max(0, elapsed), set };
}

export function clockFace(ms) {
  const seconds = Math.ceil(ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

// Five minutes for the spill test, beside its question. It tells when they are over; what is seen, the person answers.

import { clockFace, gone } from "./minutes.js";
import { say } from "./say.js";

const QUESTION = "spillage_after_5min";
const LASTS_MS = 5 * 60_000;
const LOOK_MS = 500;
const BUZZ = [400, 200, 400, 200, 800];
const STEPS = [
  say("Close doors, windows and fireplace dampers; run exhaust fans and the dryer on high."),
  say("Fire the burner, and start the five minutes."),
  say("Then hold smoke at the hood's opening, all the way round."),
];

function made(tag, kind, text = "") {
  const one = document.createElement(tag);
  one.className = kind;
  one.textContent = text;
  return one;
}

function keeper(key) {
  return {
    read() {
      try {
        const held = Number(localStorage.getItem(key));
        return Number.isFinite(held) && held > 0 ? held : null;
      } catch {
        return null;
      }
    },
    write(started) {
      try {
        if (started === null) localStorage.removeItem(key);
        else localStorage.setItem(key, String(started));
        return true;
      } catch {
        return false;
      }
    },
  };
}

// A section that is drawn anew takes over from the one before it; one that is left still tells in the page's title.
let leave = () => {};

export function offerSpillTimer(box) {
  if (box.dataset.q !== QUESTION) return;
  leave();
  const here = new AbortController();
  const job = box.closest("[data-job]")?.dataset.job ?? "";
  const kept = keeper(`spill/${job}`);
  const timer = made("div", "timer");
  const caution = made("p", "timer-caution");
  caution.append(made("b", "", say("Shut the heater off if it still spills after five minutes.")), ` ${say("Flue gas carries carbon monoxide: open up, leave it off, find the cause.")}`);
  const steps = made("details", "folded timer-steps");
  const list = document.createElement("ol");
  list.append(...STEPS.map((text) => made("li", "", text)));
  steps.append(made("summary", "", say("How the test goes")), list);
  const left = made("p", "timer-left");
  left.setAttribute("role", "timer");
  left.hidden = true;
  const says = made("p", "timer-says");
  says.setAttribute("role", "status");
  const button = made("button", "button timer-button", say("Start 5 minutes"));
  button.type = "button";
  timer.append(caution, steps, left, says, button);
  box.querySelector(".picks").before(timer);

  let started = kept.read();
  let before = null;
  let awake = true;
  let ticking = 0;
  let told = "";
  let title = null;

  function tell(text) {
    if (text === told) return;
    told = text;
    says.textContent = text;
  }

  function loud(on) {
    timer.classList.toggle("timer-over", on);
    if (on && title === null) {
      title = document.title;
      document.title = `${say("Look at the hood now.")} ${title}`;
      navigator.vibrate?.(BUZZ);
    }
    if (!on && title !== null) {
      document.title = title;
      title = null;
    }
  }

  function stop() {
    clearInterval(ticking);
    ticking = 0;
    started = before = null;
    kept.write(null);
    left.hidden = true;
    loud(false);
    button.textContent = say("Start 5 minutes");
  }

  function look() {
    if (started === null) return;
    const now = { wall: Date.now(), mono: performance.now() };
    const run = gone(started, before, now, awake);
    before = now;
    awake = document.visibilityState === "visible";
    if (!run) {
      stop();
      tell(say("The phone's clock was set back or a day went by: start again."));
      return;
    }
    if (run.set) kept.write((started = run.started));
    const rest = LASTS_MS - run.elapsed;
    if (rest > 0) {
      left.textContent = say("{time} left", { time: clockFace(rest) });
      if (run.set) tell(say("The phone's clock was set; the minutes go on as they were."));
      return;
    }
    left.textContent = say("5 minutes are over");
    loud(true);
    tell(say("Look at the hood now, burner still on. It was {time} when they ended.", { time: new Date(started + LASTS_MS).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" }) }));
    button.textContent = say("Start again");
  }

  function run() {
    left.hidden = false;
    button.textContent = say("Stop the timer");
    look();
    if (!ticking) ticking = setInterval(look, LOOK_MS);
  }

  button.addEventListener("click", () => {
    const going = started !== null && !timer.classList.contains("timer-over");
    stop();
    if (going) {
      tell(say("Stopped."));
      return;
    }
    started = Date.now();
    tell(kept.write(started) ? say("Started. The phone may be locked meanwhile.") : say("Started. Keep this page open: this browser remembers nothing."));
    run();
  });
  // What was seen is answered: the minutes have done their work.
  box.addEventListener("change", (event) => {
    if (event.target.name !== QUESTION || started === null) return;
    const over = timer.classList.contains("timer-over");
    if (!over && event.target.value !== "seen") return;
    stop();
    tell("");
  });
  document.addEventListener("visibilitychange", () => {
    awake = false;
    look();
  }, { signal: here.signal });
  leave = () => {
    here.abort();
    clearInterval(ticking);
    loud(false);
  };
  if (started !== null) run();
}

// The camera may end the page that opened it. So where one was is kept before it opens, and found again afterwards.

const DAY_MS = 24 * 60 * 60_000;

// A file input whose camera or gallery opens only once keep() has kept what stands in the job.
// lost(fault)  it was not kept, and nothing opens
export function opensAfter(input, { keep, forget, lost }) {
  let keeping = null;
  let kept = false;

  function begin() {
    if (input.disabled || keeping) return;
    keeping = keep().then(() => (kept = true));
    keeping.catch(() => {});
  }

  function done() {
    keeping = null;
    kept = false;
  }

  // A thumb rests on a button for a moment: most often all is kept when it lifts.
  input.addEventListener("pointerdown", begin);
  input.addEventListener("pointercancel", () => {
    done();
    forget();
  });
  input.addEventListener("click", async (press) => {
    if (kept) {
      done();
      return;
    }
    press.preventDefault();
    begin();
    try {
      await keeping;
      input.click();
    } catch (fault) {
      done();
      lost(fault);
    }
  });
  input.addEventListener("cancel", () => {
    done();
    forget();
  });
}

// The way back to the picture that was being taken when this page was ended, or "".
export function wayBack(drafts) {
  const left = drafts.filter((one) => one.camera && Date.now() - Date.parse(one.camera.at) < DAY_MS);
  left.sort((one, other) => (one.camera.at < other.camera.at ? 1 : -1));
  return left.length ? `${left[0].id}/photos` : "";
}

// By the phone's own clock: now for the camera, what the gallery says of the file otherwise.
export function whenTaken(file, from) {
  const now = Date.now();
  const said = from === "gallery" && file.lastModified > 0 && file.lastModified <= now ? file.lastModified : now;
  return new Date(said).toISOString().replace(/\.\d+Z$/, "Z");
}

// The drawn signature of a job's signing page, carried in its form.

import { offerPad } from "./ink.js";

const holder = document.querySelector(".draw-field");
const kept = holder.querySelector('input[name="strokes"]');
offerPad(holder, (strokes) => {
  kept.value = strokes.length ? JSON.stringify(strokes) : "";
});

// Grading with one hand: a tap on a stage fills it in, the stepper refines it in tenths.
import { number } from "./page.js";

const comma = document.documentElement.lang !== "en";

for (const half of document.querySelectorAll("[data-grade]")) {
  const stage = half.querySelector("input");
  const [low, high] = [Number(stage.dataset.low), Number(stage.dataset.high)].sort((a, b) => a - b);
  const chips = [...half.querySelectorAll("[data-stage]")];
  const mark = () => {
    const now = number(stage.value);
    for (const c of chips) c.setAttribute("aria-pressed", String(Number(c.dataset.stage) === now));
  };
  const set = (value, digits) => {
    const text = Math.min(high, Math.max(low, value)).toFixed(digits);
    stage.value = comma ? text.replace(".", ",") : text;
    mark();
  };
  for (const c of chips) {
    c.addEventListener("click", () => {
      if (c.getAttribute("aria-pressed") !== "true") return set(Number(c.dataset.stage), 0);
      stage.value = ""; // a second tap takes it back
      mark();
    });
  }
  for (const b of half.querySelectorAll("[data-step]")) {
    b.addEventListener("click", () => {
      const now = number(stage.value);
      if (now !== null) set(Math.round((now + Number(b.dataset.step)) * 10) / 10, 1);
    });
  }
  stage.addEventListener("input", mark);
  mark();
}

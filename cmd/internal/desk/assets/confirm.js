// One call with one hand: a stepper in tenths, and keys for who has a keyboard:
// Enter confirms, o leads to another stage, where arrows step, s skips, u takes the last one back.
import { number } from "./page.js";

const stage = document.getElementById("stage");
const comma = document.documentElement.lang !== "en";

function step(by) {
  const now = number(stage.value);
  if (now === null) return;
  const [low, high] = [Number(stage.dataset.low), Number(stage.dataset.high)].sort((a, b) => a - b);
  const next = Math.min(high, Math.max(low, Math.round((now + by) * 10) / 10)).toFixed(1);
  stage.value = comma ? next.replace(".", ",") : next;
}

for (const b of document.querySelectorAll("[data-step]")) b.addEventListener("click", () => step(Number(b.dataset.step)));

// A tap on a plate shows it in the half's place, at its size; another tap the half.
const big = document.querySelector(".between .this img");
for (const plate of document.querySelectorAll(".between .plate button")) {
  plate.addEventListener("click", () => {
    const shown = plate.getAttribute("aria-pressed") === "true";
    for (const p of document.querySelectorAll(".between .plate button")) p.setAttribute("aria-pressed", "false");
    plate.setAttribute("aria-pressed", String(!shown));
    big.dataset.half ??= big.src;
    big.src = shown ? big.dataset.half : plate.querySelector("img").src;
  });
}

const review = document.querySelector("form[data-review]");
if (review) {
  // A repeat after a lost answer is told by this id.
  const id = document.createElement("input");
  id.type = "hidden";
  id.name = "id";
  id.value = Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
  review.append(id);
  review.addEventListener("submit", (e) => {
    if (review.dataset.sent) e.preventDefault(); // a second tap with a wet glove
    review.dataset.sent = "yes";
  });
}

document.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey || e.target.matches("input, textarea, select, button, summary, a")) {
    if (e.target === stage && (e.key === "ArrowUp" || e.key === "ArrowDown")) {
      e.preventDefault();
      step(e.key === "ArrowUp" ? 0.1 : -0.1);
    }
    return;
  }
  const does = {
    Enter: () => review?.querySelector("button.confirm")?.click(),
    s: () => document.querySelector("[data-skip]")?.click(),
    u: () => document.querySelector("form[action='/confirm/undo'] button")?.click(),
  }[e.key];
  if (does) { e.preventDefault(); does(); }
});
// The key that leads to the stage is taken when it is let go: pressed, its letter
// would be typed there.
document.addEventListener("keyup", (e) => {
  const other = review?.querySelector("details");
  if (e.key !== "o" || !other || e.target.matches("input, textarea, select")) return;
  other.open = true;
  stage.focus();
  stage.select();
});

document.documentElement.dataset.keys = "on";

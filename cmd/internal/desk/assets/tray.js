// The tray's picture: a tap on a half opens its call; a missed half is added by
// tapping its core and then its rim.
import { texts } from "./page.js";

const svg = document.querySelector("svg.tray");

document.addEventListener("click", (e) => {
  const half = e.target.closest("svg.tray a.half");
  if (!half || tapping) return;
  const call = document.querySelector(half.getAttribute("href") + " details");
  if (call) call.open = true;
});

const form = document.querySelector("form[data-add]");
let tapping = false, centre = null, mark = null;

function note(text) {
  form.querySelector("[data-tap]").textContent = text;
}

function at(e) {
  const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [p.x, p.y];
}

function circle([x, y], r) {
  mark ??= svg.appendChild(document.createElementNS("http://www.w3.org/2000/svg", "circle"));
  mark.setAttribute("class", "added");
  for (const [k, v] of Object.entries({ cx: x, cy: y, r })) mark.setAttribute(k, v);
}

if (form) {
  form.querySelector("[data-tap]").addEventListener("click", () => {
    tapping = true;
    centre = null;
    note(texts.tapCentre);
    svg.scrollIntoView({ block: "center" });
  });
  svg.addEventListener("click", (e) => {
    if (!tapping) return;
    e.preventDefault();
    if (!centre) {
      centre = at(e);
      circle(centre, svg.viewBox.baseVal.width / 150);
      note(texts.tapRim);
      return;
    }
    const rim = at(e);
    circle(centre, Math.hypot(rim[0] - centre[0], rim[1] - centre[1]));
    form.elements.add.value = [...centre, ...rim].map((v) => v.toFixed(1)).join(" ");
    form.querySelector("button.main").disabled = false;
    form.scrollIntoView({ block: "center" });
    tapping = false;
  }, true);
}

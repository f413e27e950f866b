// Readings with wet gloves: large keys, the fields in the order of pressing, the
// next one by itself. What was typed is kept on the phone until it was sent.
import * as outbox from "./outbox.js";
import { texts, fill, number } from "./page.js";

const form = document.querySelector("form[data-pad]");
const pad = form.querySelector(".pad");
const cells = [...form.querySelectorAll(".grid input")];
const draftName = "readings " + form.dataset.block;
let at = Math.max(0, cells.findIndex((c) => c.value === ""));

// The draft outlives a reload and a locked phone.
for (const [name, value] of Object.entries(JSON.parse(localStorage.getItem(draftName) || "{}"))) {
  const cell = cells.find((c) => c.name === name);
  if (cell) cell.value = value;
}

function keepDraft() {
  const changed = cells.filter((c) => c.value !== c.defaultValue).map((c) => [c.name, c.value]);
  if (changed.length) localStorage.setItem(draftName, JSON.stringify(Object.fromEntries(changed)));
  else localStorage.removeItem(draftName);
}

// odd says what is unlikely about a value, so that it is asked about while the
// fruit is still in the hand.
function odd(cell) {
  const value = number(cell.value);
  if (cell.value.trim() === "") return "";
  const low = Number(cell.dataset.low), high = Number(cell.dataset.high);
  if (value !== null && value >= low && value <= high) return "";
  const other = cells.find((c) => c !== cell && c.name.split(".")[0] === cell.name.split(".")[0] && ["side1", "brix"].includes(c.dataset.column) && c.dataset.column !== cell.dataset.column);
  const swapped = value !== null && other && value >= Number(other.dataset.low) && value <= Number(other.dataset.high);
  return fill(swapped ? texts.swapped : texts.odd, { value: cell.value, low, high });
}

function check(cell) {
  const what = odd(cell);
  cell.setAttribute("aria-invalid", what ? "true" : "false");
  return what;
}

const small = matchMedia("(max-width: 60rem)");

function show() {
  form.classList.toggle("padded", small.matches);
  for (const c of cells) {
    c.classList.toggle("now", small.matches && c === cells[at]);
    c.inputMode = small.matches ? "none" : "decimal"; // the pad is the keyboard
  }
  const cell = cells[at];
  if (!small.matches || !cell) return;
  form.querySelector(".padwhere").textContent = cell.getAttribute("aria-label");
  form.querySelector(".padvalue").textContent = cell.value || "–";
  const what = check(cell), say = form.querySelector(".padodd");
  say.hidden = !what;
  say.textContent = what;
}

// done says whether a value is whole: readings have one decimal, shares none.
function done(cell) {
  return cell.dataset.column === "red" ? /^\d{2}$|^100$/.test(cell.value) : /[.,]\d$/.test(cell.value);
}

function go(to) {
  at = Math.min(cells.length - 1, Math.max(0, to));
  cells[at].scrollIntoView({ block: "nearest", inline: "nearest" });
  show();
}

function press(key) {
  const cell = cells[at];
  if (key === "next") return go(at + 1);
  if (key === "before") return go(at - 1);
  if (key === "erase") cell.value = cell.value.slice(0, -1);
  else if (!((key === "," || key === ".") && /[.,]/.test(cell.value)) && cell.value.length < 6) cell.value += key;
  keepDraft();
  if (key !== "erase" && done(cell) && !odd(cell)) return go(at + 1);
  show();
}

pad.addEventListener("click", (e) => {
  const key = e.target.closest("[data-key]");
  if (key) press(key.dataset.key);
});

for (const [i, cell] of cells.entries()) {
  cell.addEventListener("focus", () => { at = i; show(); });
  cell.addEventListener("input", () => { check(cell); keepDraft(); show(); });
  cell.addEventListener("keydown", (e) => {
    const columns = form.querySelectorAll(".grid thead th").length - 2;
    const to = { Enter: 1, ArrowDown: columns, ArrowUp: -columns }[e.key];
    if (!to) return;
    e.preventDefault();
    go(i + to);
    cells[at].focus();
  });
}

form.addEventListener("submit", async (e) => {
  e.preventDefault();
  if (!form.reportValidity()) return;
  await outbox.add(form.getAttribute("action"), Object.fromEntries(new FormData(form)), null);
});

document.addEventListener("sent", () => { localStorage.removeItem(draftName); location.reload(); });

const sheet = document.querySelector("form[data-sheet]");
sheet.addEventListener("submit", async (e) => {
  e.preventDefault();
  if (!sheet.reportValidity()) return;
  const fields = Object.fromEntries([...new FormData(sheet)].filter(([, v]) => typeof v === "string"));
  await outbox.add(sheet.getAttribute("action"), fields, sheet.elements.photo.files[0] || null);
});

small.addEventListener("change", show);
show();

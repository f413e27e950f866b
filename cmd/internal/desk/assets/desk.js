// What every page does: show the state of the line and of the outbox, send what
// waits, and look again when somebody else changed what is shown.
import * as outbox from "./outbox.js";
import { texts, fill, el } from "./page.js";

const line = document.getElementById("line");

async function showLine() {
  const items = await outbox.list();
  const waiting = items.filter((i) => i.state === "waits" || i.state === "unpaired").length;
  const say = [];
  if (!navigator.onLine || lost) say.push(line.dataset.off);
  if (waiting) say.push(fill(line.dataset.waits, { n: waiting }));
  line.textContent = say.join(" · ");
}

let lost = false, stream = null;

// One stream a page, and only while it shows: a browser opens six at most.
function listen() {
  if (document.hidden || !document.querySelector("[data-live]")) {
    if (stream) stream.close();
    stream = null;
    return;
  }
  if (stream) return;
  stream = new EventSource("/events");
  stream.onopen = () => { if (lost) { lost = false; outbox.send(); look(); } showLine(); };
  stream.onerror = () => { lost = true; showLine(); };
  stream.onmessage = (e) => {
    const event = JSON.parse(e.data);
    document.dispatchEvent(new CustomEvent("desk", { detail: event }));
    if (event.what !== "progress") look();
  };
}

let looking = 0;

// look fetches the page again and takes over its live parts, unless somebody is
// typing in them.
function look() {
  clearTimeout(looking);
  looking = setTimeout(async () => {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" } }).catch(() => null);
    if (!answer || !answer.ok || answer.redirected) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const now of document.querySelectorAll("[data-live]")) {
      const then = fresh.getElementById(now.id);
      if (then && !now.contains(document.activeElement) && now.innerHTML !== then.innerHTML) {
        now.replaceChildren(...then.childNodes);
        document.dispatchEvent(new CustomEvent("fresh", { detail: now }));
      }
    }
  }, 250);
}

// The outbox, wherever a page has room for it.
async function showOutbox(progress) {
  showLine();
  const box = document.getElementById("outbox");
  if (!box) return;
  if (progress) {
    const bar = box.querySelector(`[data-id="${progress.id}"] progress`);
    if (bar) bar.value = progress.sent;
    return;
  }
  const items = await outbox.list();
  box.hidden = items.length === 0;
  box.querySelector("ul").replaceChildren(...items.map(entry));
}

function entry(item) {
  const li = el("li", { class: "card", "data-id": item.id });
  li.append(el("p", {}, [el("strong", {}, [item.fields.block || ""]), ` ${item.file}`]));
  if (item.state === "waits") {
    li.append(el("p", { class: "soft" }, [texts.waiting]), el("progress", { max: "1", value: "0", "aria-label": texts.sending }));
  }
  if (item.state === "unpaired") li.append(el("p", {}, [el("a", { href: "/pair" }, [texts.unpaired])]));
  if (item.answer && (item.state === "asks" || item.state === "refused")) {
    li.append(el("div", { class: item.state === "asks" ? "say wait" : "say wrong" }, (item.answer.says || []).map((s) => el("p", {}, [s]))));
  }
  if (item.answer && item.answer.picture) {
    const bytes = Uint8Array.from(atob(item.answer.picture), (c) => c.charCodeAt(0));
    li.append(el("img", { src: URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })), alt: texts.found }));
  }
  if (item.state === "asks") li.append(ask(item, texts.why, texts.anyway, "anyway"));
  if (item.answer && item.answer.who) li.append(ask(item, texts.by, texts.again, "by"));
  const row = el("div", { class: "row" });
  if (item.state !== "waits") {
    row.append(button(texts.again, () => outbox.change(item.id, {})));
    row.append(button(texts.drop, () => { if (confirm(texts.dropSure)) outbox.drop(item.id); }, "wrong"));
  }
  if (item.file) row.append(button(texts.save, () => save(item)));
  li.append(row);
  return li;
}

// ask wants one more field before an item is sent again.
function ask(item, question, does, field) {
  const id = field + "-" + item.id;
  const answer = el("input", { type: "text", required: "required", id, autocomplete: "off" });
  const form = el("form", {}, [el("label", { class: "field", for: id }, [question]), answer, el("button", { class: "main" }, [does])]);
  form.addEventListener("submit", (e) => { e.preventDefault(); outbox.change(item.id, { [field]: answer.value }); });
  return form;
}

function button(words, does, kind) {
  const b = el("button", { type: "button", class: kind || "" }, [words]);
  b.addEventListener("click", does);
  return b;
}

async function save(item) {
  const blob = await outbox.photoOf(item.id);
  if (!blob) return;
  const a = el("a", { href: URL.createObjectURL(blob), download: item.file });
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 10000);
}

// A photo chosen goes into the outbox with the other fields of its form.
document.addEventListener("change", async (e) => {
  const form = e.target.closest("form[data-send]");
  if (!form || e.target.type !== "file") return;
  const fields = Object.fromEntries([...new FormData(form)].filter(([, v]) => typeof v === "string"));
  const by = document.getElementById("by");
  if (by && !fields.by) fields.by = by.value;
  for (const file of [...e.target.files]) await outbox.add(form.getAttribute("action"), fields, file);
  e.target.value = "";
  document.getElementById("outbox")?.scrollIntoView({ block: "nearest" });
});

// What was sent is shown where the page has room for it: one tray alone is opened.
document.addEventListener("sent", async (e) => {
  const to = e.detail.answer && e.detail.answer.tray;
  if (to && document.body.querySelector("form[data-send]") && (await outbox.list()).length === 0) location.href = to;
  else look();
});

// Copying works on plain HTTP too: the text is selected and taken.
document.addEventListener("click", (e) => {
  const b = e.target.closest("[data-copy]");
  if (!b) return;
  getSelection().selectAllChildren(document.getElementById(b.dataset.copy));
  if (document.execCommand("copy")) b.textContent = b.dataset.done;
});

outbox.onChange(showOutbox);
addEventListener("online", showLine);
addEventListener("offline", showLine);
document.addEventListener("visibilitychange", listen);
document.documentElement.dataset.scripts = "on";
showOutbox();
outbox.send();
listen();
if ("serviceWorker" in navigator && isSecureContext) navigator.serviceWorker.register("/worker.js").catch(() => {});

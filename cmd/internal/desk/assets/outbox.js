// The outbox keeps what was entered on this phone until the desk has it: photos
// and readings lie in IndexedDB, the oldest is sent first, and each carries an
// id made before the first try, by which the desk knows a repeat. So a lost
// network, a locked phone or a reload loses nothing and doubles nothing.

const name = "traystage", store = "outbox";
const waits = [2, 5, 10, 20, 40, 60]; // seconds between tries
const listeners = new Set();
let running = false, tries = 0, timer = 0;

function open() {
  return new Promise((done, failed) => {
    const ask = indexedDB.open(name, 1);
    ask.onupgradeneeded = () => ask.result.createObjectStore(store, { keyPath: "id" });
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => failed(ask.error);
  });
}

async function within(mode, work) {
  const db = await open();
  try {
    return await new Promise((done, failed) => {
      const t = db.transaction(store, mode, mode === "readwrite" ? { durability: "strict" } : undefined);
      const ask = work(t.objectStore(store));
      t.oncomplete = () => done(ask && ask.result);
      t.onerror = t.onabort = () => failed(t.error);
    });
  } finally {
    db.close();
  }
}

// newID is 128 random bits; randomUUID wants a secure context, which a shed's
// plain HTTP is not.
export function newID() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}

// list gives what waits without the bytes of its photos, oldest first.
export async function list() {
  const all = await within("readonly", (s) => s.getAll());
  return all.map(({ bytes, ...rest }) => rest).sort((a, b) => a.made - b.made);
}

const get = (id) => within("readonly", (s) => s.get(id));

async function put(item) {
  await within("readwrite", (s) => s.put(item));
  tell();
}

// drop forgets an item, sent or not.
export async function drop(id) {
  await within("readwrite", (s) => s.delete(id));
  tell();
}

// change gives an item other fields, such as another block or a reason to insist,
// and sends it. What the desk refused under an id it never took, so the id stays.
export async function change(id, fields) {
  const item = await get(id);
  if (!item) return;
  Object.assign(item.fields, fields);
  item.state = "waits";
  item.answer = null;
  await put(item);
  send();
}

// add keeps one thing to be sent to a path: fields as in a form, and a file or none.
export async function add(path, fields, file) {
  const item = { id: newID(), path, fields, made: Date.now(), state: "waits", answer: null, bytes: null, file: "", type: "" };
  if (file) {
    item.bytes = await file.arrayBuffer(); // some browsers lose a Blob that lies in the database
    item.file = file.name || "photo.jpg";
    item.type = file.type || "application/octet-stream";
  }
  await put(item);
  send();
  return item.id;
}

// onChange calls f whenever something was added, sent, refused or dropped.
export function onChange(f) {
  listeners.add(f);
}

function tell(progress) {
  for (const f of listeners) f(progress);
}

function post(item) {
  return new Promise((done) => {
    const form = new FormData();
    form.append("id", item.id); // before the photo: the desk may know it already
    for (const [key, value] of Object.entries(item.fields)) form.append(key, value);
    if (item.bytes) form.append("photo", new Blob([item.bytes], { type: item.type }), item.file);
    const x = new XMLHttpRequest();
    x.open("POST", item.path);
    x.setRequestHeader("Accept", "application/json");
    x.timeout = 120000;
    x.upload.onprogress = (e) => tell({ id: item.id, sent: e.loaded / e.total });
    x.onload = () => {
      let answer = null;
      try { answer = JSON.parse(x.responseText); } catch { /* not the desk that answered */ }
      done({ status: answer ? x.status : 0, answer });
    };
    x.onerror = x.ontimeout = x.onabort = () => done({ status: 0, answer: null });
    x.send(form);
  });
}

// sendOne gives true when the next one may be tried at once.
async function sendOne(id) {
  const item = await get(id);
  if (!item || item.state === "asks" || item.state === "refused") return true;
  const { status, answer } = await post(item);
  if (status === 200 || status === 201) {
    await drop(id);
    document.dispatchEvent(new CustomEvent("sent", { detail: { id, answer } }));
    return true;
  }
  if (status === 409 || status === 413 || status === 415 || status === 422 || status === 400) {
    const now = await get(id);
    if (now) await put({ ...now, state: answer.asks ? "asks" : "refused", answer });
    return true;
  }
  const now = await get(id);
  if (now) await put({ ...now, state: status === 401 || status === 403 ? "unpaired" : "waits", answer });
  return false;
}

// send tries everything that waits, one after the other.
export async function send() {
  if (running) return;
  running = true;
  clearTimeout(timer);
  try {
    for (const item of await list()) {
      if (!(await sendOne(item.id))) {
        timer = setTimeout(send, 1000 * waits[Math.min(tries++, waits.length - 1)]);
        return;
      }
    }
    tries = 0;
  } finally {
    running = false;
    if ((await list()).some((i) => i.state === "waits") && tries === 0) timer = setTimeout(send, 0);
  }
}

// photoOf gives the photo of an item, to be looked at or saved by hand.
export async function photoOf(id) {
  const item = await get(id);
  return item && item.bytes ? new Blob([item.bytes], { type: item.type }) : null;
}

addEventListener("online", () => { tries = 0; send(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden) { tries = 0; send(); } });

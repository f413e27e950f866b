// Keeps the desk's own files, and the last state of the pages a tester needs in
// the rows of a shed without network. The desk puts the list "assets" before this.
const shelf = "traystage" + assets[0].split("/")[2]; // the folder's name changes with the files
const pages = ["/", "/readings"];

self.addEventListener("install", (e) => {
  e.waitUntil(caches.open(shelf).then((c) => c.addAll(assets)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (e) => {
  e.waitUntil(caches.keys().then((all) => Promise.all(all.filter((k) => k !== shelf).map((k) => caches.delete(k)))).then(() => self.clients.claim()));
});

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (assets.includes(url.pathname)) {
    e.respondWith(caches.match(e.request).then((kept) => kept || fetch(e.request)));
  } else if (pages.includes(url.pathname) || url.pathname.startsWith("/readings/")) {
    e.respondWith(freshOrKept(e.request));
  }
});

// freshOrKept asks the desk and keeps its answer; out of reach it gives the last.
async function freshOrKept(request) {
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) (await caches.open(shelf)).put(request, answer.clone());
    return answer;
  } catch (lost) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw lost;
  }
}

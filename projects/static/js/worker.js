// Answers for the crew's pages when there is no signal: the page as it was last seen, never as a stranger's.
// What people record is not kept here but by kept.js, in the page, where it can be seen.
"use strict";
const PAGES = "rafterbook-pages";
const FILES = "rafterbook-files";
const WAIT_MS = 4000; // on a roof a request hangs more often than it fails
let signOuts = 0; // a page that was asked for before a sign-out must not come back onto the tablet after it
const KEPT_PAGE = /^\/crew\/(\d+\/)?$|^\/jobs\/\d+\/site\/(planes\/new\/|obstructions\/new\/)?$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (address.origin !== self.location.origin) return;
  if (request.method === "POST" && address.pathname === "/sign-out/") {
    signOuts += 1;
    event.waitUntil(caches.delete(PAGES));
  }
  if (request.method !== "GET") return;
  if (KEPT_PAGE.test(address.pathname) && !address.search && !request.headers.has("HX-Request"))
    event.respondWith(networkFirst(request, PAGES, address.pathname));
  else if (address.pathname.startsWith("/static/")) event.respondWith(networkFirst(request, FILES, address.pathname));
});

async function networkFirst(request, name, key) {
  const before = signOuts; // as it was when the page was asked for, before anything is waited for
  const kept = await caches.match(key, { cacheName: name });
  const fresh = fetch(request).then(async (answer) => {
    // A redirect to the sign-in page is an answer, but not this page.
    const page = answer.ok && !answer.redirected && answer.type === "basic";
    if (page && before === signOuts) {
      await (await caches.open(name)).put(key, answer.clone());
      if (before !== signOuts) await caches.delete(PAGES); // somebody signed out while it was put there
    }
    return answer;
  });
  if (!kept) return fresh.catch(() => (request.mode === "navigate" ? nothingKept() : Response.error()));
  const waited = new Promise((resolve) => setTimeout(resolve, WAIT_MS, kept));
  return Promise.race([fresh.catch(() => kept), waited]);
}

function nothingKept() {
  const words =
    '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">' +
    "<title>No signal · Rafterbook</title><main><h1>No signal</h1><p>This page was not opened while there was one, so " +
    'there is nothing to show. <a href="/crew/">Back to the crew’s day</a></p></main></html>';
  return new Response(words, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

// Keeps the page for working without a network. The name changes with any file, so that a new
// page is taken whole or not at all; a page that is open stays what it is until it is closed.

/** This page's own: another may lie in another folder of the same server. */
const OURS = `barwright-${new URL('./', self.location.href).pathname}-`;
const KEPT = `${OURS}@DIGEST@`;
const FILES = [
@FILES@
];

/** What few ask for is kept when it was fetched for the first time. */
const LATER = ['orders.js', 'orders_bg.wasm'];

/** @param {Cache} kept @param {Request} request */
async function fetched(kept, request) {
  const answer = await fetch(request);
  if (answer.ok && LATER.includes(new URL(request.url).pathname.split('/').at(-1) ?? '')) await kept.put(request, answer.clone());
  return answer;
}

const path = (/** @type {string} */ name) => new URL(name, self.location.href).pathname;
const PLACES = ['./', './index.html'].map(path);
const OWN = new Set([...PLACES, ...[...FILES, ...LATER].map(path)]);

self.addEventListener('install', (event) => {
  // From the server itself: what the browser still has may be of the release before.
  const fresh = FILES.map((name) => new Request(name, { cache: 'reload' }));
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(fresh)));
});

self.addEventListener('activate', (event) => {
  const old = (names) => Promise.all(names.filter((name) => name.startsWith(OURS) && name !== KEPT).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(old).then(() => self.clients.claim()));
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  // The page alone: what else a server holds below it is none of its business.
  if (request.method !== 'GET' || origin !== self.location.origin || !OWN.has(pathname)) return;
  if (request.mode === 'navigate' && !PLACES.includes(pathname)) return;
  event.respondWith(
    caches.open(KEPT).then(async (kept) => {
      const asked = request.mode === 'navigate' ? './index.html' : request;
      return (await kept.match(asked, { ignoreSearch: true })) ?? fetched(kept, request);
    }),
  );
});

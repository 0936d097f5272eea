// Keeps the pages of the round and their files on the device. Asks this service only; changes nothing anywhere.
'use strict';
const KEPT = 'driftwatch-rounds';

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', event => event.waitUntil(self.clients.claim()));

self.addEventListener('message', event => {
  const keep = async () => {
    const cache = await caches.open(KEPT);
    for (const address of event.data.keep) {
      const asked = new Request(address, { credentials: 'same-origin' });
      // Files are named by their content: one that is kept is right for good.
      if (new URL(address).pathname.startsWith('/assets/') && await cache.match(asked)) continue;
      const answer = await fetch(asked).catch(() => null);
      if (answer?.ok && !answer.redirected) await cache.put(asked, answer);
      // Without network the page that asks is itself the kept one.
      else if (answer || !await cache.match(asked, { ignoreSearch: true })) throw new Error(address);
    }
  };
  event.waitUntil(keep().then(
    () => event.ports[0].postMessage({ kept: true }),
    () => event.ports[0].postMessage({ kept: false })));
});

self.addEventListener('fetch', event => {
  const address = new URL(event.request.url);
  if (event.request.method !== 'GET' || address.origin !== self.location.origin) return;
  if (address.pathname.startsWith('/assets/')) {
    event.respondWith(caches.match(event.request).then(kept => kept ?? fetch(event.request)));
  } else if (event.request.mode === 'navigate' && address.pathname === '/rounds') {
    event.respondWith(fetch(event.request).catch(async failure => {
      const kept = await caches.match(event.request) ?? await caches.match('/rounds', { ignoreSearch: true });
      if (kept) return kept;
      throw failure;
    }));
  }
});

/**
 * The almanac without its hub: a service worker that keeps the page's own files, and the last good answers that the
 * journal is written with. What belongs to the garden is asked of the hub first, always; signing out forgets it.
 */
import { indexedOutbox } from '../src/outbox/indexed-outbox.js'
import { oneAtATime } from '../src/outbox/one-at-a-time.js'
import { sendWaiting } from '../src/outbox/run-outbox.js'
import { sendItem } from '../src/outbox/send-item.js'
import { forgetGarden, fromHubOrKept, isKept, keepGardenNow } from './kept-answers.js'
import { fileOf, keepPage, pageOrKept } from './kept-page.js'

declare const self: ServiceWorkerGlobalScope

self.addEventListener('install', (event) => {
  // the newest takes over at once: an older one would give files that the hub no longer has
  event.waitUntil(keepPage().then(() => self.skipWaiting()))
})

self.addEventListener('activate', (event) => {
  event.waitUntil(
    self.clients.claim().then(() => {
      // the page that hired this worker has fetched its garden already: once more, to be kept
      event.waitUntil(keepGardenNow())
    }),
  )
})

self.addEventListener('fetch', (event) => {
  const { request } = event
  const { origin, pathname, search } = new URL(request.url)
  if (origin !== self.location.origin) return
  if (request.method === 'POST' && pathname === '/api/v1/access/sign-out') {
    event.respondWith(
      fetch(request).then(async (response) => {
        await forgetGarden()
        return response
      }),
    )
    return
  }
  if (request.method !== 'GET') return
  if (request.mode === 'navigate') {
    if (!pathname.startsWith('/api/')) event.respondWith(pageOrKept(request))
  } else if (pathname.startsWith('/assets/')) event.respondWith(fileOf(request))
  else if (isKept(pathname, search)) event.respondWith(fromHubOrKept(request, event))
})

/** The browser has a connection again, and perhaps no page of ours open: send what waits. */
async function sendFromHere(): Promise<void> {
  const store = await indexedOutbox()
  const news = new BroadcastChannel('hearting.outbox')
  const end = await oneAtATime(store, () =>
    sendWaiting({
      store,
      send: (item) => sendItem(item, store),
      nowMs: Date.now,
      onChange: () => news.postMessage('changed'),
    }),
  )
  if (end.taken > 0) news.postMessage('taken')
  news.close()
  // told as a failure, so that the browser tries again later
  if (end.stopped === 'unreachable') throw new Error('the hub cannot be reached')
}

self.addEventListener('sync', (event) => {
  if (event instanceof ExtendableEvent && 'tag' in event && event.tag === 'hearting-outbox')
    event.waitUntil(sendFromHere())
})

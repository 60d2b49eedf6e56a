/** One item on its way to the hub, and what came back. Runs in the page and in the worker. */
import { type Answer, type OutboxItem, type Verdict, verdictOf } from './outbox-item.js'
import type { OutboxStore } from './outbox-store.js'

/** A hub that takes longer is taken for away, ms; a photo over the far end of a garden's network takes its time. */
const PATIENCE_MS = 20_000
const PHOTO_PATIENCE_MS = 120_000

interface Request {
  readonly method: 'POST' | 'PUT' | 'DELETE'
  readonly path: string
  readonly type?: string
  readonly body?: BodyInit
}

const json = (method: 'POST' | 'PUT', path: string, body: unknown): Request => ({
  method,
  path,
  type: 'application/json',
  body: JSON.stringify(body),
})

async function requestFor(item: OutboxItem, store: OutboxStore): Promise<Request> {
  const journal = `/api/v1/gardens/${encodeURIComponent(item.garden)}/journal`
  switch (item.task) {
    case 'write':
      return json('POST', journal, { id: item.entry, ...item.input })
    case 'change':
      return json('PUT', `${journal}/${item.entry}`, item.input)
    case 'remove':
      return { method: 'DELETE', path: `${journal}/${item.entry}` }
    case 'remove-photo':
      return { method: 'DELETE', path: `${journal}/${item.entry}/photos/${item.photo}` }
    case 'photo': {
      const image = await store.image(item.photo)
      return {
        method: 'PUT',
        path: `${journal}/${item.entry}/photos/${item.photo}`,
        type: item.mediaType,
        body: new Blob([new Uint8Array(image ?? [])]),
      }
    }
  }
}

async function answerTo({ method, path, type, body }: Request, patienceMs: number): Promise<Answer | null> {
  try {
    const response = await fetch(path, {
      method,
      headers: { accept: 'application/json', ...(type === undefined ? {} : { 'content-type': type }) },
      ...(body === undefined ? {} : { body }),
      signal: AbortSignal.timeout(patienceMs),
    })
    const text = await response.text()
    return { status: response.status, body: parsed(text) }
  } catch {
    // no connection, or none in time: whatever the reason, it is sent again
    return null
  }
}

/** undefined where it is not JSON: then it is not from the hub. */
function parsed(text: string): unknown {
  try {
    return text === '' ? null : JSON.parse(text)
  } catch {
    return undefined
  }
}

export async function sendItem(item: OutboxItem, store: OutboxStore): Promise<Verdict> {
  const request = await requestFor(item, store)
  return verdictOf(item, await answerTo(request, item.task === 'photo' ? PHOTO_PATIENCE_MS : PATIENCE_MS))
}

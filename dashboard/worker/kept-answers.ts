/** The last good answers of the hub that the journal is written with. Each says when it was given. */
import { KEPT_AT_HEADER } from '../src/api/kept-at-header.js'
import { isAway } from './kept-page.js'

const CACHE = 'hearting-garden'
const API = '/api/v1'
const OF_GARDEN = /^\/api\/v1\/gardens\/[^/]+\/(beds|plantings|crops|journal)$/
/** A hub that takes longer is taken for away, if there is a copy, ms. */
const PATIENCE_MS = 8_000

export const isKept = (pathname: string, search: string): boolean =>
  search === '' && (pathname === `${API}/access` || pathname === `${API}/gardens` || OF_GARDEN.test(pathname))

/** Counts how often the garden was forgotten: an answer that was asked for before must not be kept after. */
let forgotten = 0

export async function forgetGarden(): Promise<void> {
  forgotten++
  await caches.delete(CACHE)
}

const fieldOf = (value: unknown, name: 'visitor' | 'door'): unknown =>
  typeof value === 'object' && value !== null
    ? Object.getOwnPropertyDescriptor(value, name)?.value
    : undefined

/** Does this answer say that the hub knows this browser no more? */
async function isTurnedAway(pathname: string, response: Response): Promise<boolean> {
  if (response.status === 401) return true
  if (pathname !== `${API}/access` || !response.ok) return false
  const access: unknown = await response.clone().json()
  return fieldOf(access, 'visitor') === null
}

async function keep(request: Request, response: Response, since: number): Promise<void> {
  const { pathname } = new URL(request.url)
  if (await isTurnedAway(pathname, response)) return forgetGarden()
  if (!response.ok) return
  const copy = new Response(await response.arrayBuffer(), {
    headers: {
      'content-type': response.headers.get('content-type') ?? 'application/json',
      [KEPT_AT_HEADER]: String(Date.now()),
    },
  })
  const cache = await caches.open(CACHE)
  await cache.put(request.url, copy)
  if (since !== forgotten) await caches.delete(CACHE)
}

const keptOf = async (request: Request): Promise<Response | undefined> =>
  (await caches.open(CACHE)).match(request.url)

/** From the hub if it answers; else what it said last, marked with when that was. */
export async function fromHubOrKept(request: Request, event: ExtendableEvent): Promise<Response> {
  const since = forgotten
  const asked = fetch(request).then((response) => {
    if (!isAway(response)) event.waitUntil(keep(request, response.clone(), since))
    return response
  })
  const late = new Promise<null>((resolve) => setTimeout(() => resolve(null), PATIENCE_MS))
  try {
    const first = await Promise.race([asked, late])
    if (first !== null && !isAway(first)) return first
    return (await keptOf(request)) ?? (await asked)
  } catch (error) {
    const kept = await keptOf(request)
    if (kept !== undefined) return kept
    throw error
  }
}

/** Asks for all that is kept, as at the start of a page. */
export async function keepGardenNow(): Promise<void> {
  const since = forgotten
  const ask = async (path: string): Promise<Response | null> => {
    try {
      const request = new Request(`${API}${path}`)
      const response = await fetch(request)
      await keep(request, response.clone(), since)
      return response.ok ? response : null
    } catch {
      // away: the page asks again when it is opened next
      return null
    }
  }
  const access = await ask('/access')
  if (access === null || fieldOf(await access.json(), 'visitor') === null) return
  const gardens: unknown = await (await ask('/gardens'))?.json()
  for (const garden of Array.isArray(gardens) ? gardens : []) {
    const { id } = Object(garden)
    for (const part of ['beds', 'plantings', 'crops', 'journal'])
      await ask(`/gardens/${encodeURIComponent(String(id))}/${part}`)
  }
}

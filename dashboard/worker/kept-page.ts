/** The page's own files, one set for each build; a set is kept whole or not at all. */

/** Filled in by the build (dashboard/worker-build.ts): addresses whose names hold a hash of what is in them. */
declare const __PAGE_FILES__: readonly string[]
/** SHA-256 of the HTML file that refers to them, hexadecimal. */
declare const __PAGE_DIGEST__: string

const PREFIX = 'hearting-page-'
const CURRENT = `${PREFIX}${__PAGE_DIGEST__.slice(0, 16)}`
const PAGE = '/'
/** A hub that takes longer to give the page is taken for away, ms. */
const PATIENCE_MS = 4_000

async function digestOf(bytes: ArrayBuffer): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** @throws where the hub was renewed in between: the browser asks for the worker again later */
export async function keepPage(): Promise<void> {
  const response = await fetch(PAGE, { cache: 'no-cache' })
  const html = await response.arrayBuffer()
  if (!response.ok || (await digestOf(html)) !== __PAGE_DIGEST__)
    throw new Error('the page and this worker are of different builds')
  const cache = await caches.open(CURRENT)
  await cache.addAll([...__PAGE_FILES__])
  await cache.put(PAGE, new Response(html, { headers: response.headers }))
  for (const name of await caches.keys())
    if (name.startsWith(PREFIX) && name !== CURRENT) await caches.delete(name)
}

const within = (ms: number): Promise<null> => new Promise((resolve) => setTimeout(() => resolve(null), ms))

/** A proxy in front of a hub that is away says so itself. */
export const isAway = (response: Response): boolean => response.status >= 502 && response.status <= 504

/** The page as the hub has it now; the kept one while it does not answer. */
export async function pageOrKept(request: Request): Promise<Response> {
  const kept = await (await caches.open(CURRENT)).match(PAGE)
  const asked = fetch(request)
  if (kept === undefined) return asked
  try {
    const response = await Promise.race([asked, within(PATIENCE_MS)])
    return response === null || isAway(response) ? kept : response
  } catch {
    // no connection: that is what the copy is for
    return kept
  } finally {
    asked.catch(() => {})
  }
}

/** A file of the page: its name says what is in it, so a kept one is as good as the hub's. */
export async function fileOf(request: Request): Promise<Response> {
  const cache = await caches.open(CURRENT)
  const kept = await cache.match(request, { ignoreVary: true })
  if (kept !== undefined) return kept
  const response = await fetch(request)
  // fonts for other scripts, kept once they were wanted
  if (response.ok && __PAGE_FILES__.length > 0 && /\.woff2$/.test(new URL(request.url).pathname))
    await cache.put(request, response.clone())
  return response
}

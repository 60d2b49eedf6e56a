/** The page itself: built files from dashboard/dist, and the one HTML file at each address that the page knows. */
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance } from 'fastify'

/** Addresses of the page (dashboard/src/routes.ts); anything else is a 404, not the page in disguise. */
export const PAGE_ADDRESSES = [
  '/',
  '/beds/:bed',
  '/beds/:bed/sun',
  '/plantings/:planting',
  '/to-do',
  '/journal',
  '/plan',
  '/plan/space',
  '/review',
  '/nodes',
  '/garden',
  '/begin',
  '/begin/:step',
  '/look',
] as const

const NOT_BUILT = 'The page has not been built. Run: npm run build\nThe API is at /api/v1/openapi.json\n'

/** @param pageDir  folder of the built page; null serves a note at its addresses instead */
export async function servePages(app: FastifyInstance, pageDir: string | null): Promise<void> {
  for (const address of PAGE_ADDRESSES) {
    app.get(address, { schema: { hide: true } }, async (_request, reply) => {
      const html = pageDir === null ? null : await readPage(join(pageDir, 'index.html'))
      if (html === null) return reply.code(503).type('text/plain; charset=utf-8').send(NOT_BUILT)
      // asked for anew each time, so that a new build shows at once; what it refers to is cached for good
      return reply.type('text/html; charset=utf-8').header('cache-control', 'no-cache').send(html)
    })
  }
  if (pageDir === null) return
  app.get('/sw.js', { schema: { hide: true } }, async (_request, reply) => {
    const worker = await readPage(join(pageDir, 'sw.js'))
    if (worker === null) return reply.callNotFound()
    // at the root, so that all of the page is its own; asked for anew, so that an old one never stays
    return reply.type('text/javascript; charset=utf-8').header('cache-control', 'no-cache').send(worker)
  })
  await app.register(fastifyStatic, {
    root: join(pageDir, 'assets'),
    prefix: '/assets/',
    index: false,
    redirect: false,
    // file names hold a hash of their content: a changed file has another name
    immutable: true,
    maxAge: '365d',
    preCompressed: true,
    schemaHide: true,
  })
}

async function readPage(path: string): Promise<Buffer | null> {
  try {
    return await readFile(path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
}

/** For whoever runs the hub: is it alive, can it work, what does it count. Outside /api/v1. */
import { z } from 'zod'
import type { Api, ApiDeps } from '../deps.js'

/** A part that has not answered by then is not ready. */
const DEADLINE_MS = 5_000

const Alive = z.object({ status: z.literal('alive') })
const Readiness = z.object({
  status: z.enum(['ready', 'not ready']),
  parts: z.object({ store: z.boolean(), garden: z.boolean(), broker: z.boolean() }),
  /** what does not keep the hub from working, but wants somebody's attention */
  notices: z.array(z.string()),
})

export function healthRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/healthz',
    {
      config: { door: 'open' },
      schema: {
        tags: ['running the hub'],
        summary: 'The process answers',
        response: { 200: Alive },
      },
    },
    () => ({ status: 'alive' as const }),
  )

  app.get(
    '/readyz',
    {
      config: { door: 'open' },
      schema: {
        tags: ['running the hub'],
        summary: 'The store, the garden data and the broker do their work',
        response: { 200: Readiness, 503: Readiness },
      },
    },
    async (request, reply) => {
      const works = async (part: string, ask: () => Promise<unknown>): Promise<boolean> => {
        try {
          await withDeadline(ask())
          return true
        } catch (error) {
          request.log.warn({ err: error, part }, 'not ready')
          return false
        }
      }
      const [store, garden] = await Promise.all([
        works('store', () => deps.store.listSeries('home')),
        works('garden', () => deps.garden.listGardens()),
      ])
      const broker = deps.ingest.isListening()
      const isReady = store && garden && broker
      return reply
        .code(isReady ? 200 : 503)
        .header('cache-control', 'no-store')
        .send({
          status: isReady ? 'ready' : 'not ready',
          parts: { store, garden, broker },
          notices: deps.ingest.notices?.() ?? [],
        })
    },
  )

  app.get(
    '/metrics',
    {
      schema: {
        tags: ['running the hub'],
        summary: 'What the hub counts about itself',
        response: {
          200: {
            description: 'OpenMetrics text',
            content: { 'application/openmetrics-text': { schema: z.string() } },
          },
        },
      },
    },
    async (_request, reply) => reply.type(deps.metrics.contentType).send(await deps.metrics.render()),
  )
}

async function withDeadline<T>(work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error(`no answer within ${DEADLINE_MS} ms`)), DEADLINE_MS)
  })
  try {
    return await Promise.race([work, late])
  } finally {
    clearTimeout(timer)
  }
}

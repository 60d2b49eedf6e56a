/**
 * Live events of a garden as server-sent events (WHATWG HTML §9.2). Nothing is replayed: a page that has lost
 * the connection fetches what it shows anew once it is back, which the `hello` comment's retry time asks for.
 */
import type { ServerResponse } from 'node:http'
import { LiveEvent } from '../../../shared/api/warnings.js'
import type { Visitor } from '../../doors/port.js'
import type { Api, ApiDeps } from '../deps.js'
import { InGarden } from '../known.js'
import { ApiProblem } from '../problems.js'
import { COMMON_PROBLEMS } from '../replies.js'

/** shorter than the minute after which proxies commonly cut silent connections */
const HEARTBEAT_MS = 20_000
const RETRY_MS = 3_000
/** a page that has stopped reading is let go once this much waits for it */
const MOST_WAITING_BYTES = 1_048_576
/** of one session, token or link: one visitor cannot take the streams of all */
const MOST_PER_VISITOR = 12

export function liveRoutes(app: Api, deps: ApiDeps): void {
  const streams = new Map<ServerResponse, Visitor | null>()
  let isClosing = false
  deps.metrics.watchLiveStreams(() => streams.size)

  // before close, or close would wait for ever for streams that never end
  app.addHook('preClose', async () => {
    isClosing = true
    for (const stream of streams.keys()) stream.end()
  })

  // signed out, revoked or run out: the line ends at once, not at the next request
  const stopWatching = deps.doors?.onChange(() => {
    for (const [stream, visitor] of streams) if (visitor && !deps.doors?.isCurrent(visitor)) stream.end()
  })
  app.addHook('onClose', async () => stopWatching?.())

  app.get(
    '/gardens/:garden/live',
    {
      // a HEAD of a stream would never end
      exposeHeadRoute: false,
      schema: {
        tags: ['live'],
        summary: 'Server-sent events: readings, warnings, changes of the garden data',
        description: 'The event name is the `type` of its data. Also before the garden is set up.',
        params: InGarden,
        response: {
          200: {
            description: 'a stream of events, each one of these',
            content: { 'text/event-stream': { schema: LiveEvent } },
          },
          ...COMMON_PROBLEMS,
        },
      },
    },
    (request, reply) => {
      if (isClosing) throw new ApiProblem('UNAVAILABLE', 'the hub is stopping')
      if (streams.size >= deps.maxLiveStreams) {
        throw new ApiProblem('TOO_MANY_STREAMS', `${streams.size} pages follow this hub already`)
      }
      const { visitor } = request
      if (
        visitor &&
        [...streams.values()].filter((other) => isSame(other, visitor)).length >= MOST_PER_VISITOR
      ) {
        throw new ApiProblem('TOO_MANY_STREAMS', `you follow this hub ${MOST_PER_VISITOR} times already`)
      }
      reply.hijack()
      const stream = reply.raw
      // headers that hooks have set (security) are on the reply, which hijack leaves behind
      for (const [name, value] of Object.entries(reply.getHeaders())) {
        if (value !== undefined) stream.setHeader(name, value)
      }
      stream.writeHead(200, {
        'content-type': 'text/event-stream; charset=utf-8',
        'cache-control': 'no-store',
        'x-accel-buffering': 'no',
      })
      stream.write(`retry: ${RETRY_MS}\n: hello\n\n`)
      streams.set(stream, visitor)

      const unsubscribe = deps.live.subscribe(request.params.garden, (event) => {
        if (stream.writableLength > MOST_WAITING_BYTES) stream.destroy()
        else stream.write(`event: ${event.type}\ndata: ${JSON.stringify(event)}\n\n`)
      })
      const heartbeat = setInterval(() => stream.write(': still here\n\n'), HEARTBEAT_MS)
      heartbeat.unref()
      stream.on('error', (error) => request.log.debug({ err: error }, 'live stream broke off'))
      stream.on('close', () => {
        clearInterval(heartbeat)
        unsubscribe()
        streams.delete(stream)
      })
    },
  )
}

/** Everybody who came by one link counts as one: whoever has it can make as many sessions as they like. */
function isSame(a: Visitor | null, b: Visitor): boolean {
  return a !== null && keyOf(a) === keyOf(b)
}

function keyOf(visitor: Visitor): string {
  switch (visitor.role) {
    case 'owner':
      return `session ${visitor.session}`
    case 'reader':
      return `link ${visitor.link}`
    case 'token':
      return `token ${visitor.token}`
  }
}

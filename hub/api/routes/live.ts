/**
 * Live events of a garden as server-sent events (WHATWG HTML §9.2). Nothing is replayed: a page that has lost
 * the connection fetches what it shows anew once it is back, which the `hello` comment's retry time asks for.
 */
import type { ServerResponse } from 'node:http'
import { LiveEvent } from '../../../shared/api/warnings.js'
import type { Api, ApiDeps } from '../deps.js'
import { InGarden } from '../known.js'
import { ApiProblem } from '../problems.js'
import { COMMON_PROBLEMS } from '../replies.js'

/** shorter than the minute after which proxies commonly cut silent connections */
const HEARTBEAT_MS = 20_000
const RETRY_MS = 3_000
/** a page that has stopped reading is let go once this much waits for it */
const MOST_WAITING_BYTES = 1_048_576

export function liveRoutes(app: Api, deps: ApiDeps): void {
  const streams = new Set<ServerResponse>()
  let isClosing = false
  deps.metrics.watchLiveStreams(() => streams.size)

  // before close, or close would wait for ever for streams that never end
  app.addHook('preClose', async () => {
    isClosing = true
    for (const stream of streams) stream.end()
  })

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
      streams.add(stream)

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

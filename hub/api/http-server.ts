/** The server under fastify: plain or TLS, and with an end to everything that takes too long. */
import { createServer, type RequestListener, type Server, type ServerOptions } from 'node:http'
import { createServer as createTlsServer } from 'node:https'

/** below the grace that a container is given to stop, and longer than a page's pause between requests */
const KEEP_ALIVE_MS = 5_000
/** from the first byte of a request to its last */
const REQUEST_MS = 30_000
/** whoever sends headers slower than this keeps a socket for nothing */
const TIME_LIMITS: ServerOptions = { headersTimeout: 10_000, connectionsCheckingInterval: 5_000 }
/** longer than the pause between two heartbeats of a live stream: a socket that stands still for so long is dead */
const SILENCE_MS = 90_000
const MOST_SOCKETS = 1_024

/** @param tls  PEM; null: plain HTTP */
export function createHttpServer(
  handler: RequestListener,
  tls: { readonly cert: Buffer; readonly key: Buffer } | null,
): Server {
  const server: Server = tls
    ? createTlsServer({ ...TIME_LIMITS, ...tls, minVersion: 'TLSv1.2', handshakeTimeout: 10_000 }, handler)
    : createServer(TIME_LIMITS, handler)
  server.keepAliveTimeout = KEEP_ALIVE_MS
  server.requestTimeout = REQUEST_MS
  server.setTimeout(SILENCE_MS)
  server.maxConnections = MOST_SOCKETS
  return server
}

/** One address cannot take all the connections of the page: what it opens beyond its share is closed at once. */
import type { Server, Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'

/** A browser opens six to one host; a household behind one address has a few browsers. */
export const MOST_PER_ADDRESS = 128
const OWN_MACHINE = /^(127\.|::1$|::ffff:127\.)/

/** @param proxies  addresses behind which everybody comes from one */
export const limitSocketsPerAddress = (app: FastifyInstance, proxies: readonly string[]): void =>
  limitSockets(
    app.server,
    (address) => OWN_MACHINE.test(address) || proxies.includes(address.replace(/^::ffff:/, '')),
  )

/** @param isSpared  addresses that are not counted */
export function limitSockets(server: Server, isSpared: (address: string) => boolean): void {
  const open = new Map<string, number>()
  server.on('connection', (socket: Socket) => {
    const address = socket.remoteAddress ?? ''
    if (isSpared(address)) return
    const already = open.get(address) ?? 0
    if (already >= MOST_PER_ADDRESS) {
      socket.destroy()
      return
    }
    open.set(address, already + 1)
    socket.on('close', () => {
      const left = open.get(address)! - 1
      if (left > 0) open.set(address, left)
      else open.delete(address)
    })
  })
}

/** One address cannot take all the connections of the page: what it opens beyond its share is closed at once. */
import type { Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'

/** A browser opens six to one host; a household behind one address has a few browsers. */
const MOST_PER_ADDRESS = 128
const OWN_MACHINE = /^(127\.|::1$|::ffff:127\.)/

/** @param spared  addresses of proxies, behind which everybody comes from one */
export function limitSocketsPerAddress(app: FastifyInstance, spared: readonly string[]): void {
  const open = new Map<string, number>()
  app.server.on('connection', (socket: Socket) => {
    const address = socket.remoteAddress ?? ''
    if (OWN_MACHINE.test(address) || spared.includes(address.replace(/^::ffff:/, ''))) return
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

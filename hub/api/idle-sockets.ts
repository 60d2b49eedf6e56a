/**
 * Ends connections that no answer is under way on when the server closes. Node's own closeIdleConnections spares
 * those that have not sent a request yet, and browsers open such ones in advance: closing would wait for them
 * until their time-out.
 */
import type { Socket } from 'node:net'
import type { FastifyInstance } from 'fastify'

export function endIdleSocketsOnClose(app: FastifyInstance): void {
  const open = new Set<Socket>()
  const busy = new Set<Socket>()
  let isClosing = false

  app.server.on('connection', (socket) => {
    if (isClosing) {
      socket.destroy()
      return
    }
    open.add(socket)
    socket.on('close', () => open.delete(socket))
  })
  app.server.on('request', (request, response) => {
    busy.add(request.socket)
    response.on('close', () => {
      busy.delete(request.socket)
      if (isClosing) request.socket.destroySoon()
    })
  })
  app.addHook('preClose', async () => {
    isClosing = true
    for (const socket of open) if (!busy.has(socket)) socket.destroy()
  })
}

/** What starting and stopping the hub's HTTP server needs besides the server itself: addresses, the built page, an end. */
import { existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { FastifyInstance } from 'fastify'

/** Lets answers under way get out, but not beyond the deadline. */
export async function closeWithin(app: FastifyInstance, deadlineMs: number): Promise<void> {
  const deadline = setTimeout(() => app.server.closeAllConnections(), deadlineMs)
  try {
    await app.close()
  } finally {
    clearTimeout(deadline)
  }
}

/** The built page: beside the sources (run from hub/) or above the compiled hub (run from build/hub/). */
export function findPage(): string | null {
  const here = dirname(fileURLToPath(import.meta.url))
  const candidates = ['../dashboard/dist', '../../dashboard/dist'].map((path) => join(here, path))
  return candidates.find((path) => existsSync(join(path, 'index.html'))) ?? null
}

export const isLoopback = (host: string): boolean => /^(localhost|127\..*|::1)$/.test(host)

/** An address to connect to on this machine. */
export function reachable(host: string): string {
  if (host === '0.0.0.0' || host === '::') return '127.0.0.1'
  return host.includes(':') ? `[${host}]` : host
}

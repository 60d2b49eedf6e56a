/**
 * What every reply carries and what every request must satisfy, whatever its route. There is no sign-in in this
 * version: the hub listens on loopback unless told otherwise, and these checks keep pages of other sites from
 * using a browser on this machine to reach it.
 */
import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'
import { ApiProblem } from './problems.js'

const LOOPBACK_NAMES = /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/i
const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])

export async function secure(app: FastifyInstance, loopbackOnly: boolean): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        objectSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    // these three make sense over TLS only; browsers complain about them, or break the page, without it
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
    referrerPolicy: { policy: 'no-referrer' },
    xFrameOptions: { action: 'deny' },
  })

  app.addHook('onRequest', async (request) => {
    const { host, origin } = request.headers
    if (loopbackOnly && !LOOPBACK_NAMES.test(host ?? '')) {
      throw new ApiProblem('UNKNOWN_HOST', 'the hub is open to this machine only, as localhost or 127.0.0.1')
    }
    // a browser names the page behind every change; scripts and command lines send no Origin
    if (!SAFE_METHODS.has(request.method) && origin !== undefined && !isSameHost(origin, host)) {
      throw new ApiProblem('FOREIGN_ORIGIN', 'the request comes from a page of another site')
    }
  })
}

function isSameHost(origin: string, host: string | undefined): boolean {
  return host !== undefined && URL.canParse(origin) && new URL(origin).host === host.toLowerCase()
}

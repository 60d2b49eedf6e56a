/**
 * What every reply carries and what every request must satisfy, whatever its route and whoever asks: pages of other
 * sites must neither show this one nor use the browser of somebody who is signed in. Who may come in is decided in
 * door-guard.ts.
 */
import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'
import { ApiProblem } from './problems.js'

const LOOPBACK_NAMES = /^(localhost|127\.0\.0\.1|\[::1\])(:\d+)?$/i
const HSTS_S = 30 * 24 * 3600
const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])

export async function secure(app: FastifyInstance, loopbackOnly: boolean, isTls: boolean): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        // the page's own service worker, and nobody else's
        workerSrc: ["'self'"],
        objectSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    // these three make sense over TLS only; browsers complain about them, or break the page, without it. No
    // preloading and no subdomains: other things may live beside the hub
    strictTransportSecurity: isTls ? { maxAge: HSTS_S, includeSubDomains: false } : false,
    crossOriginOpenerPolicy: isTls ? { policy: 'same-origin' } : false,
    originAgentCluster: isTls,
    referrerPolicy: { policy: 'no-referrer' },
    xFrameOptions: { action: 'deny' },
  })

  app.addHook('onRequest', async (request) => {
    const { host, origin } = request.headers
    if (loopbackOnly && !LOOPBACK_NAMES.test(host ?? '')) {
      throw new ApiProblem('UNKNOWN_HOST', 'the hub is open to this machine only, as localhost or 127.0.0.1')
    }
    // a browser names the page behind every change; scripts and command lines send no Origin
    if (SAFE_METHODS.has(request.method)) return
    const site = request.headers['sec-fetch-site']
    const isForeign = site !== undefined && site !== 'same-origin' && site !== 'none'
    if (isForeign || (origin !== undefined && !isSameHost(origin, host))) {
      throw new ApiProblem('FOREIGN_ORIGIN', 'the request comes from a page of another site')
    }
  })
}

function isSameHost(origin: string, host: string | undefined): boolean {
  return host !== undefined && URL.canParse(origin) && new URL(origin).host === host.toLowerCase()
}

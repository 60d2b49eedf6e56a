/**
 * The guard at every route: who asks, and may they? Closed unless a route says otherwise: `door: 'open'` in its
 * config lets strangers in, `door: 'owner'` keeps helpers and scripts out; the rest is for whoever may look, and
 * for changes whoever may change.
 */
import cookie from '@fastify/cookie'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Caller, Doors, NewSession, Visitor } from '../doors/port.js'
import { ApiProblem } from './problems.js'

declare module 'fastify' {
  interface FastifyRequest {
    /** null: nobody that the doors know; also everybody on a hub without doors */
    visitor: Visitor | null
  }
  interface FastifyContextConfig {
    readonly door?: 'open' | 'owner'
  }
}

const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])
const BEARER = /^Bearer +(\S{1,200})$/i
const BASIC = /^Basic +([A-Za-z0-9+/=]{1,400})$/i

/** Call before the first route is added. */
export async function guardDoors(app: FastifyInstance, doors: Doors | null): Promise<void> {
  app.decorateRequest('visitor', null)
  if (doors === null) return
  await app.register(cookie, { secret: doors.cookieKey })

  app.addHook('onRequest', async (request) => {
    request.visitor = visitorOf(request, doors)
    const { door } = request.routeOptions.config
    if (request.is404 || door === 'open') return
    const { visitor } = request
    if (visitor === null) throw unknown(request, doors)
    if (door === 'owner' && visitor.role !== 'owner') {
      throw new ApiProblem('OWNER_ONLY', 'only the owner, signed in on the page, may do this')
    }
    if (!SAFE_METHODS.has(request.method) && !mayChange(visitor)) {
      throw new ApiProblem('READ_ONLY', 'you may look at this garden, not change it')
    }
  })
}

function visitorOf(request: FastifyRequest, doors: Doors): Visitor | null {
  const { authorization } = request.headers
  if (authorization !== undefined) {
    const token = tokenIn(authorization)
    return token === null ? null : doors.byToken(token)
  }
  const signed = request.cookies[doors.cookieName]
  if (signed === undefined) return null
  const { valid, value } = request.unsignCookie(signed)
  return valid ? doors.bySession(value) : null
}

/** Calendars and feed readers know user names and passwords only: there the token is the password. */
function tokenIn(authorization: string): string | null {
  const basic = BASIC.exec(authorization)?.[1]
  if (basic === undefined) return BEARER.exec(authorization)?.[1] ?? null
  return Buffer.from(basic, 'base64').toString('utf8').split(':', 2)[1] ?? null
}

function unknown(request: FastifyRequest, doors: Doors): ApiProblem {
  if (!doors.hasOwner()) {
    return new ApiProblem('SET_UP_FIRST', 'this hub has no owner yet: choose a passphrase on its page')
  }
  return new ApiProblem(
    'SIGN_IN_FIRST',
    request.headers.authorization === undefined
      ? 'sign in first'
      : 'the hub does not know this token: see `hearting token list` on its own machine',
  )
}

const mayChange = (visitor: Visitor): boolean =>
  visitor.role === 'owner' || (visitor.role === 'token' && visitor.mayWrite)

/** Hands the browser its session. Strict: no page of another site can make it speak for its owner. */
export function giveCookie(
  request: FastifyRequest,
  reply: FastifyReply,
  name: string,
  { secret, expiresAtMs }: NewSession,
  nowMs: number,
): void {
  reply.setCookie(name, secret, {
    signed: true,
    httpOnly: true,
    sameSite: 'strict',
    secure: request.protocol === 'https',
    path: '/',
    maxAge: Math.floor((expiresAtMs - nowMs) / 1000),
  })
}

export function takeCookie(reply: FastifyReply, name: string): void {
  reply.clearCookie(name, { path: '/', httpOnly: true, sameSite: 'strict' })
}

export const callerOf = (request: FastifyRequest): Caller => ({
  address: request.ip,
  device: request.headers['user-agent'] ?? '',
})

/** Let strangers in to all routes that are added to this scope. */
export function openToAll(scope: FastifyInstance): void {
  scope.addHook('onRoute', (route) => {
    route.config = { ...route.config, door: 'open' }
  })
}

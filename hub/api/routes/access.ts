/** Coming in and going out: set-up, sign-in, read-only links, sessions, the passphrase. */
import type { FastifyReply, FastifyRequest } from 'fastify'
import { z } from 'zod'
import {
  Access,
  Link,
  LinkEntryInput,
  LinkInput,
  NewLink,
  PassphraseInput,
  Session,
  SetUpInput,
  SignInInput,
} from '../../../shared/api/access.js'
import type { Doors, LinkInfo, NewSession, Visitor } from '../../doors/port.js'
import type { Api, ApiDeps } from '../deps.js'
import { callerOf, giveCookie, takeCookie } from '../door-guard.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, DOOR_PROBLEMS, NoContent } from '../replies.js'

const TAGS = ['signing in']
const ROLE_WORD = { owner: 'owner', reader: 'reader', token: 'script' } as const
const GivenId = z.strictObject({ id: z.string().min(1).max(100) })

export function accessRoutes(app: Api, deps: ApiDeps): void {
  /** @throws ApiProblem DOORS_OPEN */
  const doors = (): Doors => {
    if (deps.doors) return deps.doors
    throw new ApiProblem('DOORS_OPEN', 'this hub has no doors: everybody on its machine may do everything')
  }

  const letIn = (request: FastifyRequest, reply: FastifyReply, session: NewSession): void =>
    giveCookie(request, reply, doors().cookieName, session, deps.now())
  /** The browser has just got another cookie: nobody holds the one before any more. */
  const endReplaced = async (visitor: Visitor | null): Promise<void> => {
    const session = sessionOf(visitor)
    if (session !== null) await doors().endSession(session)
  }

  app.get(
    '/access',
    {
      config: { door: 'open' },
      schema: {
        tags: TAGS,
        summary: 'Must one sign in here, and who is it that asks?',
        response: { 200: Access, ...COMMON_PROBLEMS },
      },
    },
    (request): Access => {
      if (deps.doors === null) return { door: 'open', visitor: 'owner' }
      const { visitor } = request
      return {
        door: deps.doors.hasOwner() ? 'closed' : 'set-up',
        visitor: visitor === null ? null : ROLE_WORD[visitor.role],
      }
    },
  )

  app.post(
    '/access/set-up',
    {
      config: { door: 'open' },
      schema: {
        tags: TAGS,
        summary: 'Makes the owner, with the code that the hub shows on its console; signs in',
        body: SetUpInput,
        response: { 204: NoContent, ...DOOR_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { code, passphrase } = request.body
      letIn(request, reply, await doors().setUp(code, passphrase, callerOf(request)))
      return reply.code(204).send(null)
    },
  )

  app.post(
    '/access/sign-in',
    {
      config: { door: 'open' },
      schema: {
        tags: TAGS,
        summary: 'Signs the owner in: answers with a session cookie',
        body: SignInInput,
        response: { 204: NoContent, ...DOOR_PROBLEMS },
      },
    },
    async (request, reply) => {
      letIn(request, reply, await doors().signIn(request.body.passphrase, callerOf(request)))
      await endReplaced(request.visitor)
      return reply.code(204).send(null)
    },
  )

  app.post(
    '/access/look',
    {
      config: { door: 'open' },
      schema: {
        tags: TAGS,
        summary: 'Takes the secret of a read-only link for a session that may look',
        body: LinkEntryInput,
        response: { 204: NoContent, ...DOOR_PROBLEMS },
      },
    },
    async (request, reply) => {
      // the owner who tries the link stays the owner
      if (request.visitor?.role !== 'owner') {
        letIn(request, reply, await doors().enterByLink(request.body.secret, callerOf(request)))
        await endReplaced(request.visitor)
      }
      return reply.code(204).send(null)
    },
  )

  app.post(
    '/access/sign-out',
    {
      config: { door: 'open' },
      schema: { tags: TAGS, summary: 'Ends this session', response: { 204: NoContent, ...CHANGE_PROBLEMS } },
    },
    async (request, reply) => {
      await endReplaced(request.visitor)
      if (deps.doors) takeCookie(reply, deps.doors.cookieName)
      return reply.code(204).send(null)
    },
  )

  app.put(
    '/access/passphrase',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Changes the passphrase and ends the owner’s other sessions',
        body: PassphraseInput,
        response: { 204: NoContent, ...DOOR_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { passphrase, newPassphrase } = request.body
      const own = sessionOf(request.visitor) ?? ''
      await doors().changePassphrase(passphrase, newPassphrase, own, callerOf(request))
      return reply.code(204).send(null)
    },
  )

  app.get(
    '/access/sessions',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Where somebody is signed in',
        response: { 200: z.array(Session), ...COMMON_PROBLEMS },
      },
    },
    (request): Session[] => {
      const links = new Map(
        doors()
          .links()
          .map(({ id, name }) => [id, name]),
      )
      const own = sessionOf(request.visitor)
      return doors()
        .sessions()
        .map(({ id, link, device, createdAtMs, seenAtMs, expiresAtMs }) => ({
          id,
          isThis: id === own,
          link: link === null ? null : (links.get(link) ?? link),
          device,
          signedInAt: instant(createdAtMs),
          lastSeenAt: instant(seenAtMs),
          endsAt: instant(expiresAtMs),
        }))
    },
  )

  app.delete(
    '/access/sessions/:id',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Signs that session out',
        params: GivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      if (await doors().endSession(request.params.id)) return reply.code(204).send(null)
      throw new ApiProblem('UNKNOWN_SESSION', 'there is no such session; it may have ended by itself')
    },
  )

  app.get(
    '/access/links',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Read-only links that still open the page',
        response: { 200: z.array(Link), ...COMMON_PROBLEMS },
      },
    },
    () => doors().links().map(linkOnWire),
  )

  app.post(
    '/access/links',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Makes a read-only link; its secret is told this once',
        body: LinkInput,
        response: { 201: NewLink, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { link, secret } = await doors().addLink(request.body.name, request.body.days)
      return reply.code(201).send({ ...linkOnWire(link), secret })
    },
  )

  app.delete(
    '/access/links/:id',
    {
      config: { door: 'owner' },
      schema: {
        tags: TAGS,
        summary: 'Takes a link back; who came by it is signed out',
        params: GivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      if (await doors().revokeLink(request.params.id)) return reply.code(204).send(null)
      throw new ApiProblem('UNKNOWN_LINK', 'there is no such link; it may have run out')
    },
  )
}

const sessionOf = (visitor: Visitor | null): string | null =>
  visitor === null || visitor.role === 'token' ? null : visitor.session

/** These moments belong to no garden: they are told in UTC. */
const instant = (timeMs: number): string => new Date(timeMs).toISOString()

const linkOnWire = ({ id, name, createdAtMs, expiresAtMs }: LinkInfo): Link => ({
  id,
  name,
  madeAt: instant(createdAtMs),
  endsAt: instant(expiresAtMs),
})

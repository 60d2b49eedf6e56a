/**
 * The to-do list as a calendar file. Programs that subscribe to one cannot sign in: a key in the address opens this one file, to
 * be read. The owner makes, lists and takes back such addresses.
 */
import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { CalendarLink, CalendarLinkInput, NewCalendarLink } from '../../../shared/api/tasks.js'
import { isoWithOffset } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { callerOf } from '../door-guard.js'
import { InGarden, requireGarden, WithGivenId } from '../known.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, DOOR_PROBLEMS, NoContent } from '../replies.js'
import { createTaskCalendar } from '../task-calendar.js'

const TAGS = ['tasks']
const OWNERS = { door: 'owner' } as const
const WithKey = z.strictObject({ key: z.string().min(1).max(100).optional() })

export function calendarRoutes(app: Api, deps: ApiDeps): void {
  const calendarOf = createTaskCalendar(deps.now)

  /** @throws ApiProblem SIGN_IN_FIRST; DoorError WRONG_LINK, TOO_MANY_ATTEMPTS */
  const letIn = async (request: FastifyRequest, garden: string, key: string | undefined): Promise<void> => {
    if (deps.doors === null || request.visitor !== null) return
    if (key === undefined) {
      throw new ApiProblem(
        'SIGN_IN_FIRST',
        'sign in first, or use an address with a key: see the page “To do”',
      )
    }
    await deps.calendarKeys.check(garden, key, callerOf(request))
  }

  app.get(
    '/gardens/:garden/calendar.ics',
    {
      // checks for itself: by session, token, or the key in the address
      config: { door: 'open' },
      schema: {
        tags: TAGS,
        summary: 'The to-do list as a calendar file (RFC 5545), for programs that subscribe to it',
        description:
          'All-day events by the garden’s dates. UIDs stay when dates move. With `key` (see calendar-links), or signed in.',
        params: InGarden,
        querystring: WithKey,
        response: {
          200: {
            description: 'the calendar; with a validator for If-None-Match',
            content: { 'text/calendar': { schema: z.string() } },
          },
          304: {
            description: 'as the validator sent along has it',
            content: { 'text/calendar': { schema: z.literal('') } },
          },
          ...DOOR_PROBLEMS,
        },
      },
    },
    async (request, reply) => {
      await letIn(request, request.params.garden, request.query.key)
      const garden = await requireGarden(deps, request.params.garden)
      const [list, beds, { uuid }] = await Promise.all([
        deps.tasks.list(garden),
        deps.garden.listBeds(garden.id),
        deps.garden.gardenUuid(garden.id),
      ])
      const { text, etag } = calendarOf({
        garden,
        gardenUuid: uuid,
        list,
        bedName: (bed) => beds.find(({ id }) => id === bed)?.name ?? bed,
        publicUrl: deps.publicUrl,
      })
      reply.headers({ etag, 'cache-control': 'private, no-cache' })
      if (isKnown(request.headers['if-none-match'], etag)) return reply.code(304).send('')
      return reply
        .type('text/calendar; charset=utf-8')
        .header('content-disposition', 'inline; filename="to-do.ics"')
        .send(text)
    },
  )

  app.get(
    '/gardens/:garden/calendar-links',
    {
      config: OWNERS,
      schema: {
        tags: TAGS,
        summary: 'Addresses by which calendar programs follow the to-do list, without their keys',
        params: InGarden,
        response: { 200: z.array(CalendarLink), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      return (await deps.calendarKeys.links(id)).map((link) => onWire(link, timeZone))
    },
  )

  app.post(
    '/gardens/:garden/calendar-links',
    {
      config: OWNERS,
      schema: {
        tags: TAGS,
        summary: 'Makes an address for a calendar program; its key is told this once',
        params: InGarden,
        body: CalendarLinkInput,
        response: { 201: NewCalendarLink, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id, timeZone } = await requireGarden(deps, request.params.garden)
      const { link, secret } = await deps.calendarKeys.addLink(id, request.body.name)
      const path = `/api/v1/gardens/${id}/calendar.ics?key=${secret}`
      return reply.code(201).send({ ...onWire(link, timeZone), path })
    },
  )

  app.delete(
    '/gardens/:garden/calendar-links/:id',
    {
      config: OWNERS,
      schema: {
        tags: TAGS,
        summary: 'Takes an address of a calendar back: it opens nothing any more',
        params: WithGivenId,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      if (!(await deps.calendarKeys.revokeLink(garden, request.params.id))) {
        throw new ApiProblem('UNKNOWN_LINK', `there is no calendar link ${request.params.id}`)
      }
      return reply.code(204).send(null)
    },
  )
}

const onWire = (
  { id, name, createdAtMs }: { readonly id: string; readonly name: string; readonly createdAtMs: number },
  timeZone: string,
): CalendarLink => ({ id, name, createdAt: isoWithOffset(createdAtMs, timeZone) })

/** RFC 9110 §13.1.2: a list of validators, weak ones alike, or any. */
const isKnown = (sent: string | undefined, etag: string): boolean =>
  (sent ?? '').split(',').some((one) => one.trim() === '*' || one.trim().replace(/^W\//, '') === etag)

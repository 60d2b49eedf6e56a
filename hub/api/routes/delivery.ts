/**
 * Warnings on their way out: settings of delivery, what was sent, tests; and warnings in forms that other programs
 * read. Settings name people and are where the hub posts to: they are the owner's alone.
 */
import { z } from 'zod'
import { Delivery, DeliveryInput, OutboxEntry, TestInput, TestResult } from '../../../shared/api/delivery.js'
import type { Api, ApiDeps } from '../deps.js'
import { InGarden, requireGarden, WithGivenId } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { wholeNumber } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS } from '../replies.js'

const OWNERS = { door: 'owner' } as const
const OutboxQuery = z.strictObject({ limit: wholeNumber(1, 500).optional() })

const xml = (type: string, description: string) => ({
  200: { description, content: { [type]: { schema: z.string() } } },
  ...COMMON_PROBLEMS,
})

export function deliveryRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/delivery',
    {
      config: OWNERS,
      schema: {
        tags: ['delivery'],
        summary: 'Who gets warnings by mail or webhook, when, and about what',
        params: InGarden,
        response: { 200: Delivery, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return deps.delivery.settings(id)
    },
  )

  app.put(
    '/gardens/:garden/delivery',
    {
      config: OWNERS,
      schema: {
        tags: ['delivery'],
        summary: 'Sets who gets warnings, when, and about what',
        description:
          'What is left out takes its default. `webhookSecret` is kept when left out, never given out, and ' +
          'forgotten with the webhook. What waits for a recipient that is taken out is not sent.',
        params: InGarden,
        body: DeliveryInput,
        response: { 200: Delivery, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      const { webhookUrl, webhookSecret } = request.body
      if (webhookUrl !== null && webhookSecret === undefined) {
        const { hasWebhookSecret } = await deps.delivery.settings(id)
        if (!hasWebhookSecret) throw invalidInput([{ field: 'webhookSecret', message: SECRET_NEEDED }])
      }
      return deps.delivery.change(id, request.body)
    },
  )

  app.post(
    '/gardens/:garden/delivery/test',
    {
      config: OWNERS,
      schema: {
        tags: ['delivery'],
        summary: 'Sends a test to all recipients of a channel, now, and says what became of each',
        params: InGarden,
        body: TestInput,
        response: { 200: z.array(TestResult), ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      return deps.delivery.test(garden, request.body.channel)
    },
  )

  app.get(
    '/gardens/:garden/delivery/outbox',
    {
      config: OWNERS,
      schema: {
        tags: ['delivery'],
        summary: 'What was, is and will be sent, newest first; at most `limit` (usually 50)',
        params: InGarden,
        querystring: OutboxQuery,
        response: { 200: z.array(OutboxEntry), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      return deps.delivery.outbox(garden, request.query.limit ?? 50)
    },
  )

  app.get(
    '/gardens/:garden/warnings/:id/cap.xml',
    {
      schema: {
        tags: ['warnings'],
        summary: 'A warning as an alert of the Common Alerting Protocol 1.2 (OASIS)',
        params: WithGivenId,
        response: xml('application/cap+xml', 'the alert in its present version'),
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      const alert = await deps.delivery.capAlert(garden, request.params.id)
      if (alert === null) {
        throw new ApiProblem(
          'UNKNOWN_WARNING',
          `there is no warning ${request.params.id} in the garden ${garden.id}`,
        )
      }
      return reply.type('application/cap+xml; charset=utf-8').send(alert)
    },
  )

  app.get(
    '/gardens/:garden/warnings.atom',
    {
      schema: {
        tags: ['warnings'],
        summary: 'The latest 100 warnings as an Atom feed (RFC 4287), open and over',
        params: InGarden,
        response: xml('application/atom+xml', 'the feed, latest change first'),
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      const feed = await deps.delivery.feed(garden, `${request.protocol}://${request.host}`)
      return reply.type('application/atom+xml; charset=utf-8').send(feed)
    },
  )
}

const SECRET_NEEDED = 'choose a secret that you share with the receiver, so that it can tell who posts'

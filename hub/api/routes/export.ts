/** The grower's data to take away: tables of readings and day records, and one JSON of all the rest. Streamed. */
import { Readable } from 'node:stream'
import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { Id } from '../../../shared/ids.js'
import type { Api, ApiDeps } from '../deps.js'
import { InGarden, requireBed, requireGarden } from '../known.js'
import { invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { COMMON_PROBLEMS } from '../replies.js'

const TAGS = ['export']
const TableQuery = z.strictObject({
  what: z.enum(['readings', 'days'], 'use readings or days'),
  from: queryDate.optional(),
  to: queryDate.optional(),
  bed: Id.optional(),
})
type TableQuery = z.infer<typeof TableQuery>

export function exportRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/export.csv',
    {
      schema: {
        tags: TAGS,
        summary: 'Readings, or day records, as CSV (RFC 4180, UTF-8), streamed',
        description:
          'All of the garden unless `from`, `to` (local dates, both included) or `bed` say less; of a bed the ' +
          'readings of nodes while they stood in it. docs/export.md tells the columns. Answered without an end of ' +
          'the chunked transfer, the file is not whole.',
        params: InGarden,
        querystring: TableQuery,
        response: {
          200: { description: 'the table', content: { 'text/csv': { schema: z.string() } } },
          ...COMMON_PROBLEMS,
        },
      },
    },
    async (request, reply) => {
      const { what, from, to, bed } = request.query
      if (from !== undefined && to !== undefined && to < from) {
        throw invalidInput([{ field: 'to', message: 'must not be earlier than `from`' }])
      }
      const garden = await requireGarden(deps, request.params.garden)
      if (bed !== undefined) await requireBed(deps, garden.id, bed)
      const range = { from, to, bed }
      const pieces =
        what === 'readings' ? deps.keep.readingsCsv(garden.id, range) : deps.keep.daysCsv(garden.id, range)
      return download(
        reply,
        'text/csv; charset=utf-8; header=present',
        tableName(garden.id, request.query),
        pieces,
      )
    },
  )

  app.get(
    '/gardens/:garden/export.json',
    {
      schema: {
        tags: TAGS,
        summary:
          'All that the grower told the hub about this garden, journal with photos, as one JSON; no secrets',
        description:
          'docs/export.md tells the form; `hearting import` takes it in again. To helpers who came by a link it does ' +
          'not tell who gets warnings.',
        params: InGarden,
        response: {
          200: { description: 'the garden', content: { 'application/json': { schema: z.string() } } },
          ...COMMON_PROBLEMS,
        },
      },
    },
    async (request, reply) => {
      const { id } = await requireGarden(deps, request.params.garden)
      // mail addresses are the owner's, and those of the scripts that take an export for the owner
      const withDelivery = request.visitor?.role !== 'reader'
      return download(
        reply,
        'application/json; charset=utf-8',
        `${id}-garden.json`,
        deps.keep.gardenJson(id, withDelivery),
      )
    },
  )
}

/** Pieces are made as fast as the reader takes them; one who goes away ends their making. */
function download(
  reply: FastifyReply,
  type: string,
  name: string,
  pieces: AsyncGenerator<string, void>,
): FastifyReply {
  return reply
    .type(type)
    .header('content-disposition', `attachment; filename="${name}"`)
    .send(Readable.from(bytes(pieces), { objectMode: false, highWaterMark: 65_536 }))
}

async function* bytes(pieces: AsyncGenerator<string, void>): AsyncGenerator<Buffer, void> {
  for await (const piece of pieces) yield Buffer.from(piece, 'utf8')
}

/** e.g. home-readings-long-2027-05-01-to-2027-05-31.csv; ids and dates only, so it needs no escaping */
const tableName = (garden: string, { what, from, to, bed }: TableQuery): string =>
  `${[garden, what, bed, from, to === undefined ? undefined : `to-${to}`].filter((part) => part !== undefined).join('-')}.csv`

/** Measured history brought in by HTTP: a tidy CSV, read as it comes and stored as it is read. */
import { Transform } from 'node:stream'
import { createGunzip } from 'node:zlib'
import { z } from 'zod'
import { ImportReport } from '../../../shared/api/export.js'
import { Id } from '../../../shared/ids.js'
import { TidyCsvError } from '../../keep/port.js'
import type { Api, ApiDeps } from '../deps.js'
import { sendProblem } from '../error-replies.js'
import { InGarden, requireGarden } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { CHANGE_PROBLEMS } from '../replies.js'

const TYPES = ['text/csv', 'application/gzip']
/** unpacked; a request has half a minute anyway, larger files come in parts */
const MOST_BYTES = 16 * 1024 * 1024

export function importRoutes(app: Api, deps: ApiDeps): void {
  app.post(
    '/gardens/:garden/readings-import',
    {
      errorHandler: (error, request, reply) => {
        sendProblem(asImportProblem(error), request, reply)
      },
      schema: {
        tags: ['export'],
        summary:
          'Brings in measured history: a tidy CSV as the readings of one node, at most 16 MiB unpacked',
        description:
          'Lines that cannot be used are left out and told; the others are stored. Sent again, nothing is doubled, so ' +
          'corrected lines can simply be sent with the rest. docs/export.md tells the columns.',
        params: InGarden,
        querystring: z.strictObject({ node: Id }),
        consumes: TYPES,
        body: z.unknown().meta({ type: 'string', format: 'binary' }),
        response: { 200: ImportReport, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const { body } = request
      if (!isBytes(body))
        throw new ApiProblem('NOT_A_TABLE', 'the body is neither text/csv nor application/gzip')
      return deps.keep.takeTidy(garden, request.query.node, body)
    },
  )
}

const isBytes = (body: unknown): body is AsyncIterable<Uint8Array> =>
  typeof body === 'object' && body !== null && Symbol.asyncIterator in body

/** Bodies of these types are handed on as they come. Call before the routes, on a scope that no JSON route shares. */
export function takeCsv(app: Api): void {
  app.addContentTypeParser(TYPES, (request, payload, done) => {
    const isPacked = request.headers['content-type']?.startsWith('application/gzip') === true
    // known beforehand: nothing of it is stored
    if (Number(request.headers['content-length']) > MOST_BYTES) return done(tooLarge())
    const limited = limit(MOST_BYTES)
    const unpacked = isPacked ? payload.pipe(createGunzip()) : payload
    // whichever of them fails, the last one says so: to its reader, who may come later, so nobody need listen yet
    limited.on('error', () => {})
    payload.on('error', (error) => limited.destroy(error))
    if (unpacked !== payload) unpacked.on('error', (error) => limited.destroy(error))
    done(null, unpacked.pipe(limited))
  })
}

const tooLarge = (): ApiProblem => new ApiProblem('BODY_TOO_LARGE', 'more than 16 MiB: send it in parts')

function limit(mostBytes: number): Transform {
  let bytes = 0
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      bytes += chunk.length
      if (bytes > mostBytes) done(tooLarge())
      else done(null, chunk)
    },
  })
}

function asImportProblem(error: unknown): unknown {
  if (error instanceof TidyCsvError) {
    if (error.cause instanceof ApiProblem) return error.cause
    return invalidInput([{ field: 'file', message: error.message }])
  }
  const code = error instanceof Error && 'code' in error ? error.code : null
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE') {
    return new ApiProblem('NOT_A_TABLE', 'the body’s type is neither text/csv nor application/gzip')
  }
  return error
}

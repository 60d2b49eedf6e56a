/** Photos of journal entries: the picture is kept as it was sent, what the camera wrote beside it is not. */
import { z } from 'zod'
import { JournalId, JournalPhoto } from '../../../shared/api/journal.js'
import { Id } from '../../../shared/ids.js'
import type { Api, ApiDeps } from '../deps.js'
import { sendProblem } from '../error-replies.js'
import { gardenChanged } from '../garden-changed.js'
import { MEDIA_TYPES, mediaTypeOf } from '../image-type.js'
import { requireGarden } from '../known.js'
import { withoutMetadata } from '../photo-metadata.js'
import { ApiProblem } from '../problems.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent, TAKEN_BACK } from '../replies.js'

const MOST_BYTES = 4 * 1024 * 1024
const OfEntry = z.strictObject({ garden: Id, id: JournalId, photo: JournalId })
const Image = z.unknown().meta({ type: 'string', format: 'binary' })
/** whoever has the address may keep it: a photo never changes, and another one has another address */
const KEEP = 'private, max-age=31536000, immutable'

export function journalPhotoRoutes(app: Api, deps: ApiDeps): void {
  app.put(
    '/gardens/:garden/journal/:id/photos/:photo',
    {
      bodyLimit: MOST_BYTES,
      errorHandler: (error, request, reply) => {
        sendProblem(asPhotoProblem(error), request, reply)
      },
      schema: {
        tags: ['journal'],
        summary: 'Puts a photo to an entry, once: JPEG, PNG or WebP, at most 4 MiB and 6 an entry',
        description:
          'The picture is kept as it is; place, time and camera, which phones write into it, are left out, so that they ' +
          'reach neither helpers nor exports. `bytes` of the answer is what is kept.',
        params: OfEntry,
        consumes: [...MEDIA_TYPES],
        body: Image,
        response: { 200: JournalPhoto, 201: JournalPhoto, ...CHANGE_PROBLEMS, ...TAKEN_BACK },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const { id: entry, photo: id } = request.params
      const sent = request.body
      const mediaType = sent instanceof Uint8Array ? mediaTypeOf(sent) : null
      if (!(sent instanceof Uint8Array) || mediaType === null) {
        throw new ApiProblem('NOT_A_PHOTO', 'this is neither JPEG nor PNG nor WebP')
      }
      if (request.mediaType !== mediaType) {
        throw new ApiProblem('NOT_A_PHOTO', `it is called ${request.mediaType}, but it is ${mediaType}`)
      }
      const image = withoutMetadata(sent, mediaType)
      const answer: JournalPhoto = { id, mediaType, bytes: image.byteLength }
      const known = await deps.garden.journalPhoto(garden, entry, id)
      if (known) {
        if (Buffer.compare(known.image, image) === 0) return answer
        throw new ApiProblem('ID_TAKEN', `the entry ${entry} has another photo of the id ${id}`)
      }
      if (!(await deps.garden.putJournalPhoto(garden, entry, { id, mediaType, image }))) {
        if (await deps.garden.isJournalRemoved(garden, entry)) {
          throw new ApiProblem('TAKEN_BACK', `the entry ${entry} was taken back, and stays so`)
        }
        throw new ApiProblem('UNKNOWN_ENTRY', `there is no entry ${entry} to put the photo to`)
      }
      gardenChanged(deps, garden)
      return reply.code(201).send(answer)
    },
  )

  app.get(
    '/gardens/:garden/journal/:id/photos/:photo',
    {
      schema: {
        tags: ['journal'],
        summary: 'A photo, without what the camera wrote beside the picture',
        params: OfEntry,
        response: {
          200: {
            description: 'the image',
            content: Object.fromEntries(MEDIA_TYPES.map((type) => [type, { schema: Image }])),
          },
          ...COMMON_PROBLEMS,
        },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const { id: entry, photo } = request.params
      const found = await deps.garden.journalPhoto(garden, entry, photo)
      if (!found) throw new ApiProblem('UNKNOWN_PHOTO', `the entry ${entry} has no photo ${photo}`)
      return reply
        .type(found.mediaType)
        .header('cache-control', KEEP)
        .header('x-content-type-options', 'nosniff')
        .send(Buffer.from(found.image.buffer, found.image.byteOffset, found.image.byteLength))
    },
  )

  app.delete(
    '/gardens/:garden/journal/:id/photos/:photo',
    {
      schema: {
        tags: ['journal'],
        summary: 'Takes a photo away; one that is not there is no failure',
        params: OfEntry,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const { id: entry, photo } = request.params
      if (await deps.garden.deleteJournalPhoto(garden, entry, photo)) gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )
}

/** Bodies of these types are taken as bytes. Call before the routes, on a scope that no JSON route shares. */
export function takeImages(app: Api): void {
  app.addContentTypeParser(
    [...MEDIA_TYPES],
    { parseAs: 'buffer', bodyLimit: MOST_BYTES },
    (_request, body, done) => done(null, body),
  )
}

function asPhotoProblem(error: unknown): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : null
  if (code === 'FST_ERR_CTP_BODY_TOO_LARGE') {
    return new ApiProblem('PHOTO_TOO_LARGE', 'the photo is larger than 4 MiB')
  }
  if (code === 'FST_ERR_CTP_INVALID_MEDIA_TYPE') {
    return new ApiProblem('NOT_A_PHOTO', 'the body’s type is neither JPEG nor PNG nor WebP')
  }
  return error
}

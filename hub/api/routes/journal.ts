/** The journal: what the grower did and saw. The page makes the ids, so that sending twice writes once. */
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import type { Garden } from '../../../shared/api/garden.js'
import { JournalEntry, JournalId, JournalInput, NewJournalEntry } from '../../../shared/api/journal.js'
import { Id } from '../../../shared/ids.js'
import { localDate } from '../../../shared/local-time.js'
import { findGardenCrop } from '../../core/crops/garden-crops.js'
import { journalProblems } from '../../core/journal/journal-rules.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent, TAKEN_BACK } from '../replies.js'

const JournalQuery = z.strictObject({
  planting: z.string().min(1).max(100).optional(),
  bed: Id.optional(),
  from: queryDate.optional(),
  to: queryDate.optional(),
})
const InJournal = z.strictObject({ garden: Id, id: JournalId })

export function journalRoutes(app: Api, deps: ApiDeps): void {
  app.get(
    '/gardens/:garden/journal',
    {
      schema: {
        tags: ['journal'],
        summary: 'What was done and seen, by date: all of it, or of a planting, a bed, between two dates',
        params: InGarden,
        querystring: JournalQuery,
        response: { 200: z.array(JournalEntry), ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const { id } = await requireGarden(deps, request.params.garden)
      return deps.garden.listJournal(id, request.query)
    },
  )

  app.post(
    '/gardens/:garden/journal',
    {
      schema: {
        tags: ['journal'],
        summary: 'Writes an entry, once: the same again is answered with 200 and changes nothing',
        description:
          'Make the id where the entry is written, and send the entry until it is answered. 201: written; 200: it was ' +
          'there already; 409 ID_TAKEN: the id stands for something else, or for the same entry changed since; 410: it ' +
          'was taken back since. Entries of the kinds `sown` and `planted-out` set that date of their planting: of ' +
          'several, the earliest counts.',
        params: InGarden,
        body: NewJournalEntry,
        response: { 201: JournalEntry, 200: JournalEntry, ...CHANGE_PROBLEMS, ...TAKEN_BACK },
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      const { id = randomUUID(), ...input } = request.body
      if (await deps.garden.isJournalRemoved(garden.id, id)) throw takenBack(id)
      // before its checks: what was fit to be written once stays so, whatever has become of the planting
      const known = await deps.garden.getJournalEntry(garden.id, id)
      if (known) return sameOrTaken(known, input)
      await check(garden, id, input)
      const written = await deps.garden.writeJournal(garden.id, id, withoutOwnBed(input), deps.now())
      if (written.state === 'removed') throw takenBack(id)
      if (written.state === 'known') return sameOrTaken(written.entry, input)
      gardenChanged(deps, garden.id)
      return reply.code(201).send(written.entry)
    },
  )

  app.get(
    '/gardens/:garden/journal/:id',
    {
      schema: {
        tags: ['journal'],
        summary: 'One entry of the journal',
        params: InJournal,
        response: { 200: JournalEntry, ...COMMON_PROBLEMS, ...TAKEN_BACK },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      return (
        (await deps.garden.getJournalEntry(garden.id, request.params.id)) ??
        missing(garden, request.params.id)
      )
    },
  )

  app.put(
    '/gardens/:garden/journal/:id',
    {
      schema: {
        tags: ['journal'],
        summary: 'Changes an entry; its photos stay',
        params: InJournal,
        body: JournalInput,
        response: { 200: JournalEntry, ...CHANGE_PROBLEMS, ...TAKEN_BACK },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      const { id } = request.params
      const known = (await deps.garden.getJournalEntry(garden.id, id)) ?? (await missing(garden, id))
      if (isSame(known, request.body)) return known
      await check(garden, id, request.body)
      const changed = await deps.garden.changeJournal(garden.id, id, withoutOwnBed(request.body))
      if (!changed) return missing(garden, id)
      gardenChanged(deps, garden.id)
      return changed
    },
  )

  app.delete(
    '/gardens/:garden/journal/:id',
    {
      schema: {
        tags: ['journal'],
        summary: 'Takes an entry back, with its photos. One that arrives later with this id is not written',
        params: InJournal,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const { id: garden } = await requireGarden(deps, request.params.garden)
      const wasThere = await deps.garden.removeJournal(garden, request.params.id, deps.now())
      if (wasThere) gardenChanged(deps, garden)
      return reply.code(204).send(null)
    },
  )

  /** @throws ApiProblem INVALID_INPUT */
  async function check(garden: Garden, id: string, input: JournalInput): Promise<void> {
    const [planting, bed, entries, crops] = await Promise.all([
      input.planting === null ? null : deps.garden.getPlanting(garden.id, input.planting),
      input.bed === null ? null : deps.garden.getBed(garden.id, input.bed),
      input.planting === null ? [] : deps.garden.listJournal(garden.id, { planting: input.planting }),
      deps.garden.listCrops(garden.id),
    ])
    const problems = journalProblems(input, {
      today: localDate(deps.now(), garden.timeZone),
      planting,
      crop: (planting && findGardenCrop(planting.crop, crops)?.crop) ?? null,
      hasBed: bed !== null,
      others: entries.filter((entry) => entry.id !== id),
    })
    if (problems.length > 0) throw invalidInput(problems)
  }

  /** @throws ApiProblem TAKEN_BACK, UNKNOWN_ENTRY */
  async function missing(garden: Garden, id: string): Promise<never> {
    if (await deps.garden.isJournalRemoved(garden.id, id)) throw takenBack(id)
    throw new ApiProblem('UNKNOWN_ENTRY', `the journal of ${garden.name} has no entry ${id}`)
  }
}

const takenBack = (id: string): ApiProblem =>
  new ApiProblem('TAKEN_BACK', `the entry ${id} was taken back, and stays so`)

/** @throws ApiProblem ID_TAKEN */
function sameOrTaken(known: JournalEntry, input: JournalInput): JournalEntry {
  if (isSame(known, input)) return known
  throw new ApiProblem('ID_TAKEN', `the entry ${known.id} is in the journal already, and says something else`)
}

/** A planting's entry is found by its planting, wherever that stands. */
const withoutOwnBed = (input: JournalInput): JournalInput =>
  input.planting === null ? input : { ...input, bed: null }

const isSame = (known: JournalEntry, input: JournalInput): boolean =>
  JSON.stringify(JournalInput.parse(contentOf(known))) ===
  JSON.stringify(JournalInput.parse(withoutOwnBed(input)))

function contentOf({ id, photos, writtenAt, ...content }: JournalEntry): JournalInput {
  return content
}

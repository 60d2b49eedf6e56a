/** What there is to do: the list, "done" (which writes the journal), "later", "not this", and taking each of these back. */
import { z } from 'zod'
import type { Garden } from '../../../shared/api/garden.js'
import { TaskDone, TaskDoneReply, TaskLater, TaskList } from '../../../shared/api/tasks.js'
import { Id } from '../../../shared/ids.js'
import { addDays, localDate } from '../../../shared/local-time.js'
import type { Api, ApiDeps } from '../deps.js'
import { gardenChanged } from '../garden-changed.js'
import { InGarden, requireGarden } from '../known.js'
import { ApiProblem, invalidInput } from '../problems.js'
import { queryDate } from '../query.js'
import { CHANGE_PROBLEMS, COMMON_PROBLEMS, NoContent } from '../replies.js'
import { taskListOnWire } from '../task-on-wire.js'

const TAGS = ['tasks']
/** So far ahead the list goes unless it is asked for more. */
const USUAL_DAYS = 60
/** "Later" is within a year, or never. */
const LATEST_DAYS = 366

/** a planting's or a bed's id, a rule, an occurrence */
const WithTask = z.strictObject({
  garden: Id,
  id: z.string().regex(/^[A-Za-z0-9-]{1,100}\.[a-z-]{1,20}\.[a-z0-9-]{1,40}$/, 'is not the id of a task'),
})
const Until = z.strictObject({ until: queryDate.optional() })

export function taskRoutes(app: Api, deps: ApiDeps): void {
  const todayIn = ({ timeZone }: Garden): string => localDate(deps.now(), timeZone)

  app.get(
    '/gardens/:garden/tasks',
    {
      schema: {
        tags: TAGS,
        summary:
          'What there is to do, by date, each with its reason; sixty days ahead unless `until` says more',
        params: InGarden,
        querystring: Until,
        response: { 200: TaskList, ...COMMON_PROBLEMS },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      const until = request.query.until ?? addDays(todayIn(garden), USUAL_DAYS)
      const stemOf = (task: string): string => deps.tasks.entryStem(garden.id, task)
      return taskListOnWire(await deps.tasks.list(garden), until, stemOf)
    },
  )

  app.post(
    '/gardens/:garden/tasks/:id/done',
    {
      schema: {
        tags: TAGS,
        summary: 'Says that a task is done: writes its journal entry, once, however often it is said',
        params: WithTask,
        body: TaskDone,
        response: { 200: TaskDoneReply, ...CHANGE_PROBLEMS },
      },
    },
    async (request) => {
      const garden = await requireGarden(deps, request.params.garden)
      const { id } = request.params
      const { entry, ...said } = request.body
      const done = await deps.tasks.done(garden, id, { ...said, stemMm: null }, entry)
      if (done === null) throw unknownTask(garden, id)
      if ('problems' in done) throw invalidInput(done.problems)
      gardenChanged(deps, garden.id)
      return done
    },
  )

  app.post(
    '/gardens/:garden/tasks/:id/undone',
    {
      schema: {
        tags: TAGS,
        summary:
          'Takes "done" back: its journal entry goes, and dates that it set are put back as `before` has them',
        params: WithTask,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      if (!(await deps.tasks.undone(garden, request.params.id))) {
        throw new ApiProblem('UNKNOWN_TASK', `the task ${request.params.id} was not done`)
      }
      gardenChanged(deps, garden.id)
      return reply.code(204).send(null)
    },
  )

  app.post(
    '/gardens/:garden/tasks/:id/later',
    {
      schema: {
        tags: TAGS,
        summary: 'Puts a task off to a later day',
        params: WithTask,
        body: TaskLater,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      const today = todayIn(garden)
      const { untilOn } = request.body
      if (untilOn <= today || untilOn > addDays(today, LATEST_DAYS)) {
        throw invalidInput([{ field: 'untilOn', message: 'use a day after today, within a year' }])
      }
      await answer(garden, request.params.id, untilOn)
      return reply.code(204).send(null)
    },
  )

  app.post(
    '/gardens/:garden/tasks/:id/never',
    {
      schema: {
        tags: TAGS,
        summary: 'Says that a task is not wanted',
        params: WithTask,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      await answer(await requireGarden(deps, request.params.garden), request.params.id, null)
      return reply.code(204).send(null)
    },
  )

  app.delete(
    '/gardens/:garden/tasks/:id/answer',
    {
      schema: {
        tags: TAGS,
        summary: 'Takes "later" or "not this" back',
        params: WithTask,
        response: { 204: NoContent, ...CHANGE_PROBLEMS },
      },
    },
    async (request, reply) => {
      const garden = await requireGarden(deps, request.params.garden)
      if (!(await deps.tasks.takeBack(garden.id, request.params.id))) {
        throw new ApiProblem('UNKNOWN_TASK', `the task ${request.params.id} was neither put off nor unwanted`)
      }
      gardenChanged(deps, garden.id)
      return reply.code(204).send(null)
    },
  )

  const answer = async (garden: Garden, id: string, untilOn: string | null): Promise<void> => {
    if ((await deps.tasks.answer(garden, id, untilOn)) === null) throw unknownTask(garden, id)
    gardenChanged(deps, garden.id)
  }
}

const unknownTask = ({ id: garden }: Garden, id: string): ApiProblem =>
  new ApiProblem('UNKNOWN_TASK', `there is no task ${id} in the garden ${garden}`)

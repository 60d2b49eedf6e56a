/** What a problem's `type` address leads to: its meaning and its remedy. */
import { z } from 'zod'
import type { Api } from '../deps.js'
import { ApiProblem, PROBLEMS, type ProblemCode, problemSlug } from '../problems.js'
import { COMMON_PROBLEMS } from '../replies.js'

const ProblemInfo = z.object({
  type: z.string(),
  code: z.string(),
  status: z.int(),
  title: z.string(),
  remedy: z.string(),
})

const all = (Object.keys(PROBLEMS) as ProblemCode[]).map((code) => ({
  type: `/api/v1/problems/${problemSlug(code)}`,
  code,
  ...PROBLEMS[code],
}))

export function problemRoutes(app: Api): void {
  app.get(
    '/problems',
    {
      config: { door: 'open' },
      schema: {
        tags: ['problems'],
        summary: 'Every kind of problem that the API answers with',
        response: { 200: z.array(ProblemInfo) },
      },
    },
    () => all,
  )

  app.get(
    '/problems/:problem',
    {
      config: { door: 'open' },
      schema: {
        tags: ['problems'],
        summary: 'One kind of problem: what it means and what to do',
        params: z.strictObject({ problem: z.string().max(60) }),
        response: { 200: ProblemInfo, ...COMMON_PROBLEMS },
      },
    },
    (request) => {
      const found = all.find(({ type }) => type.endsWith(`/${request.params.problem}`))
      if (found) return found
      throw new ApiProblem('NOT_FOUND', `there is no kind of problem called ${request.params.problem}`)
    },
  )
}

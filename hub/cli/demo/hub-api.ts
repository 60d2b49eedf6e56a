/** The hub's own HTTP API, as the demo uses it to enter its garden. */
import type { z } from 'zod'
import { Problem } from '../../../shared/api/garden.js'

export class ApiError extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message)
    this.name = 'ApiError'
  }
}

export class HubApi {
  private readonly base: string

  constructor(httpUrl: string, garden: string) {
    this.base = `${httpUrl.replace(/\/$/, '')}/api/v1/gardens/${garden}`
  }

  async get<T>(path: string, shape: z.ZodType<T>): Promise<T> {
    return shape.parse(await this.request('GET', path))
  }

  async send(method: 'PUT' | 'POST', path: string, body: unknown): Promise<void> {
    await this.request(method, path, body)
  }

  private async request(method: string, path: string, body?: unknown): Promise<unknown> {
    const response = await fetch(`${this.base}${path}`, {
      method,
      ...(body !== undefined && {
        body: JSON.stringify(body),
        headers: { 'content-type': 'application/json' },
      }),
    })
    const answer: unknown = await response.json()
    if (response.ok) return answer
    const problem = Problem.safeParse(answer)
    const why = problem.success ? describe(problem.data) : response.statusText
    throw new ApiError(response.status, `${method} ${path}: ${why}`)
  }
}

const describe = ({ detail, problems = [] }: Problem): string =>
  [detail, ...problems.map(({ field, message }) => `${field}: ${message}`)].join('; ')

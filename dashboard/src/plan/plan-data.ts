/** What the plan's page fetches and sends, and the crop it remembers. */
import type { Problem } from '../../../shared/api/garden.js'
import type { Plan, PlanBasis, PlanBeds, PlanWay, PlanWeather } from '../../../shared/api/plan.js'
import { ApiFailure, get } from '../api/client.js'
import { inGarden } from '../state/garden.js'

const REMEMBERED = 'hearting.plan.crop'

/** The crop looked at last in this browser; null: none, or it keeps nothing. */
export function rememberedCrop(): string | null {
  try {
    return localStorage.getItem(REMEMBERED)
  } catch {
    // storage may be forbidden: then nothing is remembered, and all else works
    return null
  }
}

export function rememberCrop(crop: string): void {
  try {
    localStorage.setItem(REMEMBERED, crop)
  } catch {
    // as above
  }
}

export interface Asked {
  readonly crop: string
  /** null: whatever the hub has */
  readonly basis: PlanBasis | null
}

const queryOf = ({ crop, basis }: Asked): URLSearchParams => {
  const query = new URLSearchParams({ crop })
  if (basis !== null) query.set('basis', basis)
  return query
}

export const fetchPlan = (asked: Asked, signal: AbortSignal): Promise<Plan> =>
  get(inGarden(`/plan?${queryOf(asked)}`), signal)

export function fetchBeds(asked: Asked, way: PlanWay, sowOn: string, signal: AbortSignal): Promise<PlanBeds> {
  const query = queryOf(asked)
  query.set('way', way)
  query.set('sowOn', sowOn)
  return get(inGarden(`/plan/beds?${query}`), signal)
}

const isProblem = (body: unknown): body is Problem =>
  typeof body === 'object' && body !== null && 'title' in body && 'detail' in body

/** Sends a year's file as it is. @throws ApiFailure  the hub's words are about the field `file` */
export async function sendYear(file: File): Promise<PlanWeather> {
  const name = new URLSearchParams({ name: file.name.slice(0, 120) })
  let response: Response
  try {
    response = await fetch(`/api/v1${inGarden(`/plan-weather?${name}`)}`, {
      method: 'PUT',
      headers: { accept: 'application/json', 'content-type': 'text/csv' },
      body: file,
    })
  } catch {
    throw new ApiFailure('unreachable', null, 'The hub does not answer.')
  }
  const answer: unknown = await response.json()
  if (response.ok) return answer as PlanWeather
  if (response.status === 413)
    throw new ApiFailure('refused', 413, 'The file is larger than 2 MiB: a year of hours is smaller.')
  if (!isProblem(answer)) {
    throw new ApiFailure('broken', response.status, `The hub answered with status ${response.status}.`)
  }
  const told = answer.problems?.find(({ field }) => field === 'file')
  throw new ApiFailure(
    'refused',
    response.status,
    told === undefined ? answer.detail : `This file cannot be used: ${told.message}.`,
  )
}

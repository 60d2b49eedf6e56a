/** What the plan's page fetches and sends, and the crop it remembers. */
import type { Plan, PlanBasis, PlanWay, PlanWeather } from '../../../shared/api/plan.js'
import { ApiFailure, call, get } from '../api/client.js'
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

/** Query for the ranking of the beds for a week of sowing. */
export function bedsQuery(asked: Asked, way: PlanWay, sowOn: string): string {
  const query = queryOf(asked)
  query.set('way', way)
  query.set('sowOn', sowOn)
  return query.toString()
}

/** Sends a year's file as it is. @throws ApiFailure  the hub's words are about the field `file` */
export async function sendYear(file: File): Promise<PlanWeather> {
  const name = new URLSearchParams({ name: file.name.slice(0, 120) })
  try {
    return await call('PUT', inGarden(`/plan-weather?${name}`), new Blob([file], { type: 'text/csv' }))
  } catch (error) {
    if (!(error instanceof ApiFailure)) throw error
    const { status, problem } = error
    if (status === 413)
      throw new ApiFailure('refused', status, 'The file is larger than 2 MiB: a year of hours is smaller.')
    const told = problem?.problems?.find(({ field }) => field === 'file')
    if (told === undefined) throw error
    throw new ApiFailure('refused', status, `This file cannot be used: ${told.message}.`, problem)
  }
}

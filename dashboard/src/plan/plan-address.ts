/** The address of the plan's page: which crop, for which bed, by which weather. Pure. */
import type { PlanBasis } from '../../../shared/api/plan.js'

export interface PlanAddress {
  readonly crop: string | null
  readonly bed: string | null
  /** null: whatever the hub has */
  readonly basis: PlanBasis | null
}

/** In the order in which the hub prefers them. */
const BASES: readonly PlanBasis[] = ['garden days', 'normals', 'chosen year']

export function planPath({ crop, bed, basis }: PlanAddress): string {
  const query = new URLSearchParams()
  if (crop !== null) query.set('crop', crop)
  if (bed !== null) query.set('bed', bed)
  if (basis !== null) query.set('basis', basis)
  const text = query.toString()
  return text === '' ? '/plan' : `/plan?${text}`
}

/** Reads such an address; what makes no sense is left out. */
export function planAddressIn(search: string): PlanAddress {
  const query = new URLSearchParams(search)
  const text = (name: string): string | null => query.get(name)?.slice(0, 80) || null
  return {
    crop: text('crop'),
    bed: text('bed'),
    basis: BASES.find((basis) => basis === query.get('basis')) ?? null,
  }
}

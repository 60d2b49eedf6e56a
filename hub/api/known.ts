/** Things that an address names, or the problem that says they are not there. Also the address parameters. */
import { z } from 'zod'
import type { Bed, Garden, Planting } from '../../shared/api/garden.js'
import { Id } from '../../shared/ids.js'
import type { ApiDeps } from './deps.js'
import { ApiProblem } from './problems.js'

export const InGarden = z.strictObject({ garden: Id })
export const InBed = z.strictObject({ garden: Id, bed: Id })
/** ids that the hub gave out itself */
const GivenId = z.string().min(1).max(100)
export const WithGivenId = z.strictObject({ garden: Id, id: GivenId })

/** @throws ApiProblem UNKNOWN_GARDEN */
export async function requireGarden(deps: ApiDeps, garden: string): Promise<Garden> {
  const found = await deps.garden.getGarden(garden)
  if (found) return found
  throw new ApiProblem(
    'UNKNOWN_GARDEN',
    `the garden ${garden} has no place and time zone yet: set it up first`,
  )
}

/** @throws ApiProblem UNKNOWN_GARDEN, UNKNOWN_BED */
export async function requireBed(
  deps: ApiDeps,
  garden: string,
  bed: string,
): Promise<{ garden: Garden; bed: Bed }> {
  const found = await requireGarden(deps, garden)
  const inGarden = await deps.garden.getBed(garden, bed)
  if (inGarden) return { garden: found, bed: inGarden }
  throw new ApiProblem('UNKNOWN_BED', `there is no bed ${bed} in the garden ${garden}`)
}

/** @throws ApiProblem UNKNOWN_GARDEN, UNKNOWN_PLANTING */
export async function requirePlanting(
  deps: ApiDeps,
  garden: string,
  id: string,
): Promise<{ garden: Garden; planting: Planting }> {
  const found = await requireGarden(deps, garden)
  const planting = await deps.garden.getPlanting(garden, id)
  if (planting) return { garden: found, planting }
  throw new ApiProblem('UNKNOWN_PLANTING', `there is no planting ${id} in the garden ${garden}`)
}

/** What is asked of the hub about space, from what stands in the form's fields. */
import type { Crop } from '../../../shared/api/crops.js'
import type { Bed } from '../../../shared/api/garden.js'
import { bareSpacing, bedLengthText, type LengthUnit, lengthIn, spacingText } from '../format/lengths.js'
import { spacingLadder } from './ladder.js'
import type { SpaceAddress } from './space-address.js'

/** Chosen in place of a bed: lengths are typed. */
export const OTHER_SIZE = ''

/** As typed; lengths in the unit of the form. */
export interface SpaceFields {
  readonly bed: string
  readonly shape: string
  readonly lengthM: string
  readonly widthM: string
  readonly depthM: string
  readonly crop: string
  readonly spacingM: string
}

/** A raised bed as they are often built, and as a page may begin with: 1.2 m, or 4 ft, each way. */
const FIRST_SIDE: Readonly<Record<LengthUnit, string>> = { m: '1.2', ft: '4' }

/** The fields as an address fills them; the first bed, the first crop and its usual spacing where it says nothing. */
export function firstFields(
  address: SpaceAddress,
  beds: readonly Bed[],
  crops: readonly Crop[],
  unit: LengthUnit,
): SpaceFields {
  const typed = (m: number | null | undefined, else_: string): string => (m ? bedLengthText(m, unit) : else_)
  const bed = address.bed ?? (address.lengthM ? OTHER_SIZE : (beds[0]?.id ?? OTHER_SIZE))
  const crop = crops.find((one) => one.id === address.crop) ?? crops[0]
  const spacingM = address.spacingM ?? crop?.spacingM
  return {
    bed: beds.some((one) => one.id === bed) ? bed : OTHER_SIZE,
    shape: address.shape ?? 'rectangle',
    lengthM: typed(address.lengthM, FIRST_SIDE[unit]),
    widthM: typed(address.widthM, FIRST_SIDE[unit]),
    depthM: typed(address.depthM, ''),
    crop: crop?.id ?? '',
    spacingM: spacingM === undefined ? '' : spacingText(spacingM, unit),
  }
}

/** The same lengths, written in another unit; what is no length stays as it was typed. */
export function fieldsIn(fields: SpaceFields, from: LengthUnit, to: LengthUnit): SpaceFields {
  const bed = (text: string): string => {
    const m = lengthIn(text, from)
    return m === null ? text : bedLengthText(m, to)
  }
  const spacingM = lengthIn(fields.spacingM, bareSpacing(from))
  return {
    ...fields,
    lengthM: bed(fields.lengthM),
    widthM: bed(fields.widthM),
    depthM: bed(fields.depthM),
    spacingM: spacingM === null ? fields.spacingM : spacingText(spacingM, to),
  }
}

export interface SpaceQuestion {
  readonly address: SpaceAddress
  /** query of GET /space */
  readonly query: string
}

/** A question, or what is wrong with which field. */
export type Asked =
  | { readonly question: SpaceQuestion; readonly problems: null }
  | { readonly question: null; readonly problems: ReadonlyMap<string, string> }

/**
 * @param bed  the bed chosen; null: a size is typed
 */
export function questionOf(
  fields: SpaceFields,
  bed: Bed | null,
  usualM: number | null,
  unit: LengthUnit,
): Asked {
  const problems = new Map<string, string>()
  const read = (name: 'lengthM' | 'widthM' | 'depthM' | 'spacingM', mostM: number): number | null => {
    const m = lengthIn(fields[name], name === 'spacingM' ? bareSpacing(unit) : unit)
    const most = unit === 'm' ? `${mostM} m` : `${Math.floor(mostM / 0.3048)} ft`
    if (m === null) problems.set(name, `write a length, e.g. ${example(name, unit)}`)
    else if (m < 0.01 || m > mostM) problems.set(name, `use a length from 1 cm to ${most}`)
    return m === null ? null : Math.round(m * 1e6) / 1e6
  }
  const spacingM = read('spacingM', 5)
  const isRound = fields.shape === 'round'
  const typed = bed === null
  const lengthM = typed ? read('lengthM', 200) : bed.lengthM
  const widthM = typed ? (isRound ? lengthM : read('widthM', 200)) : bed.widthM
  const depthM = typed && fields.depthM.trim() !== '' ? read('depthM', 5) : null
  if (fields.crop === '') problems.set('crop', 'choose a crop')
  if (problems.size > 0 || lengthM === null || widthM === null || spacingM === null) {
    return { question: null, problems }
  }
  const asRound = isRound && (typed || isRoundable(bed))
  const address: SpaceAddress = {
    crop: fields.crop,
    spacingM,
    shape: asRound ? 'round' : null,
    ...(typed ? { lengthM, widthM: asRound ? null : widthM, depthM } : { bed: bed.id }),
  }
  const query = new URLSearchParams(
    Object.entries(address).flatMap(([k, v]): [string, string][] => (v ? [[k, String(v)]] : [])),
  )
  const compared = spacingLadder(usualM ?? spacingM, lengthM * widthM, unit)
  if (compared.length > 0) query.set('comparedM', compared.join(','))
  return { question: { address, query: query.toString() }, problems: null }
}

/** A container as long as it is wide may be a round one: its owner knows. */
export const isRoundable = (bed: Bed | null): boolean =>
  bed !== null && bed.kind === 'container' && bed.lengthM === bed.widthM

function example(name: string, unit: LengthUnit): string {
  if (name === 'spacingM') return unit === 'm' ? '40' : '16'
  return unit === 'm' ? '1.2' : '4 ft 6 in'
}

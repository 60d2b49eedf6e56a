/** A planting as the rules of the to-do list see it, with what a test wants to be different. */
import { CROPS } from '../../../hub/core/crops/library.js'
import { plantingName } from '../../../hub/core/crops/spoken-name.js'
import type { Stage } from '../../../hub/core/crops/stages.js'
import type { PestFlight } from '../../../hub/core/tasks/pest-flight.js'
import { PESTS } from '../../../hub/core/tasks/pest-table.js'
import type { PlantingView, StageAhead } from '../../../hub/core/tasks/task.js'
import type { Planting } from '../../../shared/api/garden.js'
import type { JournalEntry, JournalKind } from '../../../shared/api/journal.js'

export const BED = {
  id: 'long',
  name: 'Long bed',
  kind: 'raised',
  lengthM: 3,
  widthM: 1.2,
  depthM: 0.4,
} as const

export function entry(kind: JournalKind, on: string, rest: Partial<JournalEntry> = {}): JournalEntry {
  return {
    id: `${kind}-${on}-0001`,
    kind,
    on,
    planting: 'p1',
    bed: null,
    plants: null,
    firmness: null,
    stemMm: null,
    weightKg: null,
    diameterMm: null,
    what: null,
    note: null,
    photos: [],
    writtenAt: `${on}T18:00:00Z`,
    ...rest,
  }
}

export interface ViewChange {
  readonly crop?: string
  readonly planting?: Partial<Planting>
  readonly journal?: readonly JournalEntry[]
  readonly reachedOn?: Readonly<Partial<Record<Stage, string>>>
  readonly ahead?: Readonly<Partial<Record<Stage, string | StageAhead>>>
  readonly stage?: Stage | null
  readonly soilMeanC?: number | null
  readonly airMeanC?: number | null
  readonly flights?: readonly PestFlight[]
  readonly kind?: 'raised' | 'container' | 'ground'
}

export function view(change: ViewChange = {}): PlantingView {
  const { crop: id = 'cabbage-early', reachedOn = {}, ahead = {} } = change
  const crop = CROPS.get(id)
  if (!crop) throw new RangeError(`no crop ${id}`)
  const planting: Planting = {
    id: 'p1',
    bed: BED.id,
    crop: id,
    variety: null,
    sownOn: '2027-03-01',
    plantedOutOn: '2027-04-12',
    plants: 9,
    spacingM: 0.4,
    finishedOn: null,
    ...change.planting,
  }
  const only = (expectedOn: string | StageAhead): StageAhead =>
    typeof expectedOn === 'string' ? { expectedOn, earliestOn: null, latestOn: null } : expectedOn
  return {
    planting,
    crop,
    name: plantingName(crop.name, planting.variety),
    bed: { ...BED, kind: change.kind ?? BED.kind },
    stage: change.stage ?? null,
    reachedOn: new Map(entriesIn(reachedOn)),
    ahead: new Map(entriesIn(ahead).map(([stage, when]) => [stage, only(when)])),
    aheadWords: 'From the 4 past years measured in this garden.',
    journal: [...(change.journal ?? [])].sort((a, b) => (a.on < b.on ? -1 : 1)),
    soilMeanC: change.soilMeanC ?? null,
    airMeanC: change.airMeanC ?? null,
    flights: change.flights ?? [],
  }
}

const STAGES: readonly Stage[] = ['sown', 'emerged', 'leafing', 'heading', 'ready', 'finished']
const entriesIn = <T>(of: Readonly<Partial<Record<Stage, T>>>): [Stage, T][] =>
  STAGES.flatMap((stage): [Stage, T][] => {
    const value = of[stage]
    return value === undefined ? [] : [[stage, value]]
  })

export function flight(id: 'root-fly' | 'small-white', rest: Partial<PestFlight> = {}): PestFlight {
  const pest = PESTS.find((one) => one.id === id)
  if (!pest) throw new RangeError(`no pest ${id}`)
  return {
    pest,
    brood: 0,
    countedFrom: '2027-01-01',
    doneC: 60,
    usualDays: 0,
    openDays: 0,
    reachedOn: null,
    expectedOn: null,
    earliestOn: null,
    latestOn: null,
    words: 'Counted from 2027-01-01.',
    ...rest,
  }
}

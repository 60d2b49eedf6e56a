/**
 * The journal in words: what each kind is called, and one sentence for an entry with its numbers and units. Pure; inside
 * everything stays in kg and mm, and is turned here, at the edge, for those who measure in feet and pounds.
 */
import type { Firmness, JournalKind } from '../../../shared/api/journal.js'
import { INCH_M, type LengthUnit, POUND_KG } from '../format/lengths.js'
import { capital } from '../format/sentences.js'
import { figure } from '../format/units.js'

export const INCH_MM = INCH_M * 1000
const OZ_PER_LB = 16

/** In the order of a season; what is done, what is seen, what is taken. */
export const DONE: readonly JournalKind[] = [
  'sown',
  'pricked-out',
  'hardened-off',
  'planted-out',
  'fed',
  'watered',
  'weeded',
  'netted',
  'net-off',
]
export const SEEN_KINDS: readonly JournalKind[] = [
  'emerged',
  'first-leaves',
  'pests-seen',
  'stem-thickness',
  'heads-started',
  'firmness',
  'split',
  'bolted',
  'lost',
]
export const TAKEN: readonly JournalKind[] = ['cut', 'note']
export const ALL_KINDS: readonly JournalKind[] = [...DONE, ...SEEN_KINDS, ...TAKEN]

/** What an entry's sentence needs of it; one on the wire has it all. */
export interface EntryFigures {
  readonly kind: JournalKind
  readonly plants?: number | null
  readonly firmness?: Firmness | null
  readonly stemMm?: number | null
  readonly weightKg?: number | null
  readonly diameterMm?: number | null
  readonly what?: string | null
}

/** What a crop forms, as its entry in the list of crops has it: 'head', 'curd', 'leaves' … */
const formedPlural = (forms: string): string => (/s$/.test(forms) ? forms : `${forms}s`)

/** The kind in a word or three, as on a button: 'Fed', 'Net off', 'Heads started'. */
export function kindWords(kind: JournalKind, forms = 'head'): string {
  switch (kind) {
    case 'sown':
      return 'Sown'
    case 'pricked-out':
      return 'Pricked out'
    case 'hardened-off':
      return 'Hardened off'
    case 'planted-out':
      return 'Planted out'
    case 'fed':
      return 'Fed'
    case 'watered':
      return 'Watered'
    case 'weeded':
      return 'Weeded'
    case 'netted':
      return 'Netted'
    case 'net-off':
      return 'Net off'
    case 'emerged':
      return 'Seedlings up'
    case 'first-leaves':
      return 'First true leaves'
    case 'pests-seen':
      return 'Pests seen'
    case 'stem-thickness':
      return 'Stem measured'
    case 'heads-started':
      return forms === 'leaves' ? 'Leaves fill out' : `${capital(formedPlural(forms))} started`
    case 'firmness':
      return 'Firmness felt'
    case 'split':
      return 'Split'
    case 'bolted':
      return 'Bolted'
    case 'lost':
      return 'Lost'
    case 'cut':
      return 'Cut'
    case 'note':
      return 'Note'
  }
}

/** '850 g', '1.24 kg'; '1 lb 14 oz', '12.5 oz'. */
export function weightWords(weightKg: number, unit: LengthUnit): string {
  if (unit === 'm') {
    const grams = Math.round(weightKg * 1000)
    return grams < 1000 ? `${figure(grams, 0)}\u00a0g` : `${figure(weightKg, 2)}\u00a0kg`
  }
  const ounces = (weightKg / POUND_KG) * OZ_PER_LB
  const whole = Math.round(ounces)
  if (whole < OZ_PER_LB) return `${figure(ounces, 1)}\u00a0oz`
  const lb = `${figure(Math.floor(whole / OZ_PER_LB), 0)}\u00a0lb`
  return whole % OZ_PER_LB === 0 ? lb : `${lb} ${whole % OZ_PER_LB}\u00a0oz`
}

/** A stem: '12.5 mm', '0.49 in'. */
export const stemWords = (stemMm: number, unit: LengthUnit): string =>
  unit === 'm' ? `${plain(stemMm, 1)}\u00a0mm` : `${figure(stemMm / INCH_MM, 2)}\u00a0in`

/** A head: '18 cm', '7.1 in'. */
export const acrossWords = (diameterMm: number, unit: LengthUnit): string =>
  unit === 'm' ? `${plain(diameterMm / 10, 1)}\u00a0cm` : `${figure(diameterMm / INCH_MM, 1)}\u00a0in`

/** Rounded, without needless zeros. */
const plain = (value: number, decimals: number): string => {
  const text = figure(value, decimals)
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text
}

const plantsWords = (plants: number): string => (plants === 1 ? '1 plant' : `${figure(plants, 0)} plants`)

/** Who: '3 plants ' before a verb; nothing where it was not said. */
const some = (plants: number | null | undefined, verb: string): string =>
  plants === null || plants === undefined ? capital(verb) : `${plantsWords(plants)} ${verb}`

const withWhat = (text: string, what: string | null | undefined): string =>
  what === null || what === undefined || what === '' ? text : `${text} ${what}`

/** An entry in one sentence, past tense: 'Cut 3 plants, 2.40 kg in all, 18 cm across.' */
export function entrySentence(entry: EntryFigures, unit: LengthUnit, forms = 'head'): string {
  const { kind, plants, what } = entry
  switch (kind) {
    case 'sown':
    case 'pricked-out':
    case 'hardened-off':
    case 'planted-out':
      return `${withWhat(doneTo(kindWords(kind), plants), what)}.`
    case 'fed':
    case 'watered':
    case 'netted': {
      const done = doneTo(kindWords(kind), plants)
      return `${what === null || what === undefined || what === '' ? done : `${done} with ${what}`}.`
    }
    case 'weeded':
      return `${withWhat('Weeded', what)}.`
    case 'net-off':
      return 'Took the net off.'
    case 'emerged':
      return 'Seedlings were up.'
    case 'first-leaves':
      return 'First true leaves were out.'
    case 'pests-seen':
      return `Saw ${what === null || what === undefined || what === '' ? 'pests' : what}${
        plants === null || plants === undefined ? '' : ` on ${plantsWords(plants)}`
      }.`
    case 'stem-thickness':
      return entry.stemMm === null || entry.stemMm === undefined
        ? 'Measured a stem.'
        : `Measured a stem: ${stemWords(entry.stemMm, unit)} thick.`
    case 'heads-started':
      return forms === 'leaves'
        ? 'Leaves began to fill out.'
        : `${capital(formedPlural(forms))} had started${
            plants === null || plants === undefined ? '' : ` on ${plantsWords(plants)}`
          }.`
    case 'firmness': {
      const felt = entry.firmness === null || entry.firmness === undefined ? '' : ` ${entry.firmness}`
      return `${capital(formedPlural(forms))} felt${felt}${across(entry, unit)}.`
    }
    case 'split':
      return `${some(plants, 'split')}${across(entry, unit)}.`
    case 'bolted':
      return `${some(plants, 'bolted')}.`
    case 'lost':
      return `${plants === null || plants === undefined ? 'Lost plants' : `Lost ${plantsWords(plants)}`}${
        what === null || what === undefined || what === '' ? '' : ` to ${what}`
      }.`
    case 'cut':
      return `${plants === null || plants === undefined ? 'Cut' : `Cut ${plantsWords(plants)}`}${
        entry.weightKg === null || entry.weightKg === undefined
          ? ''
          : `, ${weightWords(entry.weightKg, unit)}${plants === 1 ? '' : ' in all'}`
      }${across(entry, unit)}.`
    case 'note':
      return 'Noted.'
  }
}

const doneTo = (done: string, plants: number | null | undefined): string =>
  plants === null || plants === undefined ? done : `${done} ${plantsWords(plants)}`

const across = ({ diameterMm }: EntryFigures, unit: LengthUnit): string =>
  diameterMm === null || diameterMm === undefined ? '' : `, ${acrossWords(diameterMm, unit)} across`

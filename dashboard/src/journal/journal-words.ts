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
const DONE: readonly JournalKind[] = [
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
const SEEN_KINDS: readonly JournalKind[] = [
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
const TAKEN: readonly JournalKind[] = ['cut', 'note']
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

const isSaid = <T>(value: T | null | undefined): value is T =>
  value !== null && value !== undefined && value !== ''

/** 'Sown', 'Sown 12 plants' */
const doneTo = (done: string, plants: number | null | undefined): string =>
  isSaid(plants) ? `${done} ${plantsWords(plants)}` : done

/** Who: '3 plants ' before a verb; nothing where it was not said. */
const some = (plants: number | null | undefined, verb: string): string =>
  isSaid(plants) ? `${plantsWords(plants)} ${verb}` : capital(verb)

/** Words behind a link: ' with nettle tea'; nothing where they were not said. */
const what = (link: string, said: string | null | undefined): string => (isSaid(said) ? `${link}${said}` : '')

const onPlants = (plants: number | null | undefined): string =>
  isSaid(plants) ? ` on ${plantsWords(plants)}` : ''

/** An entry in one sentence, past tense: 'Cut 3 plants, 2.40 kg in all, 18 cm across.' */
export function entrySentence(entry: EntryFigures, unit: LengthUnit, forms = 'head'): string {
  const { kind, plants } = entry
  switch (kind) {
    case 'sown':
    case 'pricked-out':
    case 'hardened-off':
    case 'planted-out':
      return `${doneTo(kindWords(kind), plants)}${what(' ', entry.what)}.`
    case 'fed':
    case 'watered':
    case 'netted':
      return `${doneTo(kindWords(kind), plants)}${what(' with ', entry.what)}.`
    case 'weeded':
      return `Weeded${what(' ', entry.what)}.`
    case 'net-off':
      return 'Took the net off.'
    case 'emerged':
      return 'Seedlings were up.'
    case 'first-leaves':
      return 'First true leaves were out.'
    case 'pests-seen':
      return `Saw${what(' ', entry.what) || ' pests'}${onPlants(plants)}.`
    case 'stem-thickness':
      return `Measured a stem${isSaid(entry.stemMm) ? `: ${stemWords(entry.stemMm, unit)} thick` : ''}.`
    case 'heads-started':
      return forms === 'leaves'
        ? 'Leaves began to fill out.'
        : `${capital(formedPlural(forms))} had started${onPlants(plants)}.`
    case 'firmness':
      return `${capital(formedPlural(forms))} felt${what(' ', entry.firmness)}${across(entry, unit)}.`
    case 'split':
      return `${some(plants, 'split')}${across(entry, unit)}.`
    case 'bolted':
      return `${some(plants, 'bolted')}.`
    case 'lost':
      return `${isSaid(plants) ? `Lost ${plantsWords(plants)}` : 'Lost plants'}${what(' to ', entry.what)}.`
    case 'cut':
      return `${doneTo('Cut', plants)}${weighing(entry, unit)}${across(entry, unit)}.`
    case 'note':
      return 'Noted.'
  }
}

const weighing = ({ weightKg, plants }: EntryFigures, unit: LengthUnit): string =>
  isSaid(weightKg) ? `, ${weightWords(weightKg, unit)}${plants === 1 ? '' : ' in all'}` : ''

const across = ({ diameterMm }: EntryFigures, unit: LengthUnit): string =>
  isSaid(diameterMm) ? `, ${acrossWords(diameterMm, unit)} across` : ''

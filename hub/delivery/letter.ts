/** What a message says, as plain words in order; letter-text.ts writes it out. Pure. */
import { isoWithOffset } from '../../shared/local-time.js'
import type { StoredDelivery } from '../garden/delivery-port.js'
import type { StoredWarning } from '../garden/port.js'
import { grouped } from './grouped.js'

export interface Letter {
  readonly subject: string
  readonly intro: string | null
  readonly items: readonly LetterItem[]
  readonly foot: readonly string[]
}

export interface LetterItem {
  readonly headline: string
  readonly lines: readonly { readonly label: string; readonly text: string }[]
}

/** All that one message has to say about one warning. */
export interface WarningStory {
  readonly warning: StoredWarning
  readonly bedName: string | null
  readonly events: readonly Pick<StoredDelivery, 'event' | 'atMs'>[]
}

export type LetterForm = 'own' | 'digest' | 'summary'

export interface LetterSubject {
  readonly form: LetterForm
  readonly stories: readonly WarningStory[]
  readonly gardenName: string
  readonly timeZone: string
  /** where the page is; null: not known */
  readonly pageUrl: string | null
}

const LONGEST_SUBJECT = 160
const SEVERITY_ORDER = ['Extreme', 'Severe', 'Moderate', 'Minor', 'Unknown']

/** Deliveries of one target, put together by warning in the order in which they arose. */
export function storiesOf(
  deliveries: readonly StoredDelivery[],
  bedNames: ReadonlyMap<string, string>,
): WarningStory[] {
  const inOrder = [...deliveries].sort((a, b) => a.id - b.id)
  return grouped(inOrder, (d) => d.warning.id).map((events) => {
    const { warning } = events.at(-1)!
    return {
      warning,
      bedName: warning.bed === null ? null : (bedNames.get(warning.bed) ?? warning.bed),
      events,
    }
  })
}

export function letterOf(subject: LetterSubject): Letter {
  const stories = [...subject.stories].sort(byGravity)
  const open = stories.filter((story) => story.warning.clearedAtMs === null).length
  return {
    subject: oneLine(subjectOf(subject, open)).slice(0, LONGEST_SUBJECT),
    intro: introOf(subject, stories.length, open),
    items: stories.map((story) => itemOf(story, subject.timeZone)),
    foot: [
      `From hearting in the garden ${oneLine(subject.gardenName)}. Who gets mail, when and about what is set there on the page Garden.`,
      ...(subject.pageUrl === null ? [] : [subject.pageUrl]),
    ],
  }
}

const isOver = (story: WarningStory): boolean => story.warning.clearedAtMs !== null

function byGravity(a: WarningStory, b: WarningStory): number {
  const rank = (story: WarningStory): number =>
    SEVERITY_ORDER.indexOf(story.warning.severity) + (isOver(story) ? SEVERITY_ORDER.length : 0)
  return rank(a) - rank(b)
}

const counted = (n: number): string => `${n} warning${n === 1 ? '' : 's'}`

function subjectOf({ stories, gardenName }: LetterSubject, open: number): string {
  const [first] = stories
  if (stories.length === 1 && first !== undefined) {
    if (isOver(first)) return `Over: ${first.warning.headline}`
    return first.events.some(({ event }) => event === 'raised')
      ? first.warning.headline
      : `Changed: ${first.warning.headline}`
  }
  const over = stories.length - open
  if (open === 0) return `${gardenName}: ${counted(over)} over`
  return `${gardenName}: ${counted(open)}${over === 0 ? '' : `, ${over} over`}`
}

function introOf({ form, gardenName }: LetterSubject, all: number, open: number): string | null {
  if (form === 'own') return null
  const name = oneLine(gardenName)
  const over = all - open === 0 ? '' : `, ${all - open} over since`
  return form === 'digest'
    ? `What there is to know about ${name} today: ${counted(open)}${over}.`
    : `Several things came together in ${name}, so they come in one letter: ${counted(open)}${over}.`
}

function itemOf({ warning, bedName, events }: WarningStory, timeZone: string): LetterItem {
  const over = warning.clearedAtMs !== null
  const lines: { label: string; text: string }[] = []
  const put = (label: string, text: string | null): void => {
    if (text !== null && text !== '') lines.push({ label, text })
  }
  put('Bed', bedName)
  put('Since', moment(warning.raisedAtMs, timeZone))
  const changed = events.findLast(({ event }) => event === 'changed')
  put('Changed', changed === undefined ? null : moment(changed.atMs, timeZone))
  put('Over since', warning.clearedAtMs === null ? null : moment(warning.clearedAtMs, timeZone))
  if (!over) {
    put('Expected', warning.onsetMs === null ? null : moment(warning.onsetMs, timeZone))
    put('How sure', howSure(warning))
  }
  put(over ? 'What was said' : 'Why', warning.why)
  put('What to do', over ? null : warning.advice)
  return { headline: over ? `Over: ${oneLine(warning.headline)}` : oneLine(warning.headline), lines }
}

const CERTAINTY_WORDS: Readonly<Record<string, string>> = {
  Observed: 'it was measured',
  Likely: 'likely',
  Possible: 'possible',
  Unlikely: 'not likely',
}

function howSure({ certainty, chance }: StoredWarning): string | null {
  const words = CERTAINTY_WORDS[certainty] ?? null
  if (chance === null) return words
  const odds = `about ${Math.round(chance * 10)} in 10`
  return words === null ? odds : `${words}, ${odds}`
}

/** "04:10 on 2027-05-06" on the garden's clock */
function moment(timeMs: number, timeZone: string): string {
  const iso = isoWithOffset(timeMs, timeZone)
  return `${iso.slice(11, 16)} on ${iso.slice(0, 10)}`
}

/** Names typed by people may hold line breaks, which in a subject would begin another header. */
export const oneLine = (text: string): string => text.replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').trim()

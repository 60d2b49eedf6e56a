/** Which form of the journal is open, kept with its draft over a reload; and the line that says what was just done. */
import { signal } from '@preact/signals'
import type { JournalKind } from '../../../shared/api/journal.js'
import { failureText } from '../api/client.js'
import { ALL_KINDS } from './journal-words.js'

type OpenForm =
  | { readonly of: 'new'; readonly kind: JournalKind }
  | { readonly of: 'entry'; readonly id: string }

const KEY = 'hearting.journal.open'

function stored(): OpenForm | null {
  try {
    const [of, what = ''] = (sessionStorage.getItem(KEY) ?? '').split(' ')
    if (of === 'entry' && what !== '') return { of, id: what }
    const kind = ALL_KINDS.find((k) => k === what)
    return of === 'new' && kind !== undefined ? { of, kind } : null
  } catch {
    // no storage: nothing was open
    return null
  }
}

export const openForm = signal<OpenForm | null>(stored())

/** Opened by hand just now: then it takes the focus, once. After a reload it does not. */
let isFresh = false

export function takeFresh(): boolean {
  const was = isFresh
  isFresh = false
  return was
}

/** What the form was opened with: it has the focus back when the form is closed. */
let opener: Element | null = null

export function setOpenForm(form: OpenForm | null): void {
  isFresh = form !== null
  if (form !== null) opener = document.activeElement
  else if (opener instanceof HTMLElement) opener.focus({ preventScroll: true })
  openForm.value = form
  try {
    if (form === null) sessionStorage.removeItem(KEY)
    else sessionStorage.setItem(KEY, `${form.of} ${form.of === 'new' ? form.kind : form.id}`)
  } catch {
    // the signal still holds
  }
}

export interface Told {
  readonly text: string
  readonly isTrouble: boolean
  readonly ways: readonly { readonly label: string; run(): void }[]
}

/** So long the way back stays in sight, ms. */
const TOLD_MS = 30_000

export const told = signal<Told | null>(null)
let clear: ReturnType<typeof setTimeout> | undefined

interface HowTold extends Partial<Omit<Told, 'text'>> {
  /** so long it stays, unless something else is told */
  readonly forMs?: number
}

export function tell(text: string, { isTrouble = false, ways = [], forMs = TOLD_MS }: HowTold = {}): void {
  clearTimeout(clear)
  told.value = { text, isTrouble, ways }
  clear = setTimeout(hush, forMs)
}

export function hush(): void {
  clearTimeout(clear)
  told.value = null
}

/** Does it, and tells where it fails: 'Not undone: …' */
export async function orTell(what: string, work: () => Promise<void>): Promise<void> {
  try {
    await work()
  } catch (error) {
    tell(`${what}: ${failureText(error)}`, { isTrouble: true })
  }
}

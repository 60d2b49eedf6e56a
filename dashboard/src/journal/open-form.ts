/** Which form of the journal is open, kept with its draft over a reload; and the line that says what was just done. */
import { signal } from '@preact/signals'
import type { JournalKind } from '../../../shared/api/journal.js'
import { ALL_KINDS } from './journal-words.js'

export type OpenForm =
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

export function setOpenForm(form: OpenForm | null): void {
  isFresh = form !== null
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

export const told = signal<Told | null>(null)
let clear: ReturnType<typeof setTimeout> | undefined

/** @param forMs  so long it stays, unless something else is told */
export function tell(next: Told | null, forMs: number): void {
  clearTimeout(clear)
  told.value = next
  if (next !== null) clear = setTimeout(() => (told.value = null), forMs)
}

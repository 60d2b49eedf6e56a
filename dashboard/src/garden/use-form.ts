/**
 * A form's typing, its trip to the hub and what comes back. Typing is never lost: it is kept outside the component
 * and in the tab's session until the hub has taken it, whatever reloads, fails or is navigated away from.
 */
import { type Signal, signal } from '@preact/signals'
import { useRef, useState } from 'preact/hooks'
import { ApiFailure, failureText } from '../api/client.js'

export type Values = Readonly<Record<string, string>>

/** A field the page itself cannot send, told like the hub's own problems. */
export class FieldProblem extends Error {
  constructor(
    readonly field: string,
    message: string,
  ) {
    super(message)
  }
}

export interface Form {
  readonly values: Values
  /** what is wrong with a field; null when nothing is */
  problemOf(field: string): string | null
  /** what is wrong with the whole, where no field can be named */
  readonly trouble: string | null
  readonly isSaving: boolean
  readonly isSaved: boolean
  set(field: string, value: string): void
  /** Sends; on failure everything typed stays. */
  submit(send: (values: Values) => Promise<void>): Promise<void>
  /** Forgets what was typed. */
  reset(): void
}

const drafts = new Map<string, Signal<Values | null>>()
const storageKey = (key: string): string => `hearting.draft.${key}`

function storedDraft(key: string): Values | null {
  try {
    const text = sessionStorage.getItem(storageKey(key))
    const draft: unknown = text === null ? null : JSON.parse(text)
    return typeof draft === 'object' && draft !== null ? (draft as Values) : null
  } catch {
    // no storage, or not ours: start from what the hub has
    return null
  }
}

function draftOf(key: string): Signal<Values | null> {
  let draft = drafts.get(key)
  if (draft === undefined) {
    draft = signal(storedDraft(key))
    drafts.set(key, draft)
  }
  return draft
}

/** Has something been typed into a form that the hub has not taken yet? */
export const hasDraft = (key: string): boolean => draftOf(key).peek() !== null

function keepDraft(key: string, values: Values | null, isSecret: boolean): void {
  draftOf(key).value = values
  if (isSecret) return
  try {
    if (values === null) sessionStorage.removeItem(storageKey(key))
    else sessionStorage.setItem(storageKey(key), JSON.stringify(values))
  } catch {
    // the draft in memory still holds
  }
}

function problemsOf(error: unknown): ReadonlyMap<string, string> {
  if (error instanceof FieldProblem) return new Map([[error.field, error.message]])
  if (error instanceof ApiFailure && error.problem?.problems !== undefined)
    return new Map(error.problem.problems.map((p) => [p.field, p.message]))
  return new Map()
}

/**
 * @param key names the form for its draft, e.g. 'bed.east'
 * @param initial what the hub has; shown until something is typed
 * @param isSecret passphrases: kept while the page is open, never in the tab's storage
 */
export function useForm(key: string, initial: Values, { isSecret = false } = {}): Form {
  const draft = draftOf(key).value
  const values = { ...initial, ...draft }
  const keep = (next: Values | null): void => keepDraft(key, next, isSecret)
  const [problems, setProblems] = useState<ReadonlyMap<string, string>>(new Map())
  const [trouble, setTrouble] = useState<string | null>(null)
  const [isSaving, setSaving] = useState(false)
  const [isSaved, setSaved] = useState(false)
  const isRunning = useRef(false)

  return {
    values,
    trouble,
    isSaving,
    isSaved,
    problemOf: (field) => problems.get(field) ?? null,
    set(field, value) {
      setSaved(false)
      // what was said of the field was said of what stood there
      setProblems((told) => (told.has(field) ? new Map([...told].filter(([one]) => one !== field)) : told))
      keep({ ...draftOf(key).peek(), [field]: value })
    },
    reset() {
      keep(null)
      setProblems(new Map())
      setTrouble(null)
    },
    async submit(send) {
      if (isRunning.current) return
      isRunning.current = true
      setSaving(true)
      try {
        await send(values)
        keep(null)
        setProblems(new Map())
        setTrouble(null)
        setSaved(true)
      } catch (error) {
        const found = problemsOf(error)
        setProblems(found)
        const isPlaced = [...found.keys()].every((field) => field in values)
        setTrouble(found.size > 0 && isPlaced ? null : failureText(error))
      } finally {
        isRunning.current = false
        setSaving(false)
      }
    },
  }
}

/** A number as people type it: comma or point, blanks round it. */
export function numberIn(values: Values, field: string): number {
  const text = (values[field] ?? '').trim().replace(',', '.').replace('\u2212', '-')
  if (!/^[+-]?\d+(\.\d+)?$/.test(text)) throw new FieldProblem(field, 'write a number, e.g. 1.2')
  return Number(text)
}

/** As numberIn, but an empty field is null. */
export function optionalNumberIn(values: Values, field: string): number | null {
  return (values[field] ?? '').trim() === '' ? null : numberIn(values, field)
}

/** Text without blanks round it; empty is null. */
export function optionalTextIn(values: Values, field: string): string | null {
  const text = (values[field] ?? '').trim()
  return text === '' ? null : text
}

export const textIn = (values: Values, field: string): string => (values[field] ?? '').trim()

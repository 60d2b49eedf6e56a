/** Journal entries by their date. Pure. */

/** Entries of one day together, days and entries in the order given. */
export function byDay<T extends { readonly on: string }>(entries: readonly T[]): [string, T[]][] {
  const days = new Map<string, T[]>()
  for (const entry of entries) {
    const day = days.get(entry.on)
    if (day === undefined) days.set(entry.on, [entry])
    else day.push(entry)
  }
  return [...days]
}

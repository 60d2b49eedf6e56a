/**
 * How well warnings of warm spells did: over a record of hot days and of evenings on which a warning stood.
 *
 * A spell is reached on its `spellDays`-th hot day in a row. An evening's warning is right if a spell is in force on
 * one of the `leadDays` days that follow. Evenings within a spell are left out: by then nobody is being warned.
 * Scores after Wilks 2019, Statistical Methods in the Atmospheric Sciences (4th ed.), §9.2.
 */
export interface SpellVerification {
  /** spells reached, at least `leadDays` after the first evening that counts */
  readonly spells: number
  /** part of them warned of before they were reached; null: there were none */
  readonly hitRate: number | null
  /** part of them warned of before even their first hot day */
  readonly hitRateBeforeFirstDay: number | null
  /** days from the first such warning to the day the spell was reached, mean over hits; null: no hits */
  readonly meanLeadDays: number | null
  /** runs of evenings with a warning */
  readonly warnings: number
  /** part of them that no spell followed; null: no warnings */
  readonly falseAlarmRatio: number | null
}

export interface SpellRecord {
  /** by day: hot? null: not measured, which ends a run */
  readonly hot: readonly (boolean | null)[]
  /** by day: did a warning stand at its end? null: nothing could be said */
  readonly warned: readonly (boolean | null)[]
  readonly spellDays: number
  readonly leadDays: number
  /** first evening that counts */
  readonly fromIndex: number
}

/** Length of the run of hot days that ends on each day. */
function runLengths(hot: readonly (boolean | null)[]): number[] {
  let run = 0
  return hot.map((isHot) => {
    run = isHot ? run + 1 : 0
    return run
  })
}

export function verifySpellWarnings(record: SpellRecord): SpellVerification {
  const { warned, spellDays, leadDays, fromIndex } = record
  const runs = runLengths(record.hot)
  const lastEvening = runs.length - 1 - leadDays
  const isInForce = (day: number): boolean => (runs[day] ?? 0) >= spellDays

  const leads: number[] = []
  let spells = 0
  let beforeFirstDay = 0
  for (let reached = fromIndex + leadDays; reached < runs.length; reached++) {
    if (runs[reached] !== spellDays) continue
    spells++
    for (let evening = reached - leadDays; evening < reached; evening++) {
      if (warned[evening] !== true) continue
      leads.push(reached - evening)
      if (evening < reached - spellDays + 1) beforeFirstDay++
      break
    }
  }

  let warnings = 0
  let falseAlarms = 0
  let isRight: boolean | null = null
  const endWarning = (): void => {
    if (isRight === false) falseAlarms++
    isRight = null
  }
  for (let evening = fromIndex; evening <= lastEvening; evening++) {
    if (warned[evening] !== true || isInForce(evening)) {
      endWarning()
      continue
    }
    if (isRight === null) {
      warnings++
      isRight = false
    }
    for (let lead = 1; lead <= leadDays; lead++) if (isInForce(evening + lead)) isRight = true
  }
  endWarning()

  const ratio = (part: number, whole: number): number | null => (whole === 0 ? null : part / whole)
  return {
    spells,
    hitRate: ratio(leads.length, spells),
    hitRateBeforeFirstDay: ratio(beforeFirstDay, spells),
    meanLeadDays: ratio(
      leads.reduce((sum, lead) => sum + lead, 0),
      leads.length,
    ),
    warnings,
    falseAlarmRatio: ratio(falseAlarms, warnings),
  }
}

/** When a run of hot days would begin. */

/**
 * The first day of the spell as it will most likely come: so many days before the one on which it is as likely as not to
 * have been reached, if it comes at all. Hot days before the forecast's first may belong to it.
 *
 * @param reachedBy  SpellOdds.reachedBy, one a day
 * @param chance     that it comes at all within the days looked at
 */
export function spellStart(
  days: readonly { readonly date: string }[],
  reachedBy: readonly number[],
  chance: number,
  spellDays: number,
): string {
  const reached = reachedBy.findIndex((by) => by >= chance / 2)
  return days[Math.max(reached + 1 - spellDays, 0)]!.date
}

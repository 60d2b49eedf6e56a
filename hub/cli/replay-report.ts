/** The report after a replay, in words and as JSON, and the exit code it stands for. */
import type { HubView } from './hub-view.js'
import type { ReplayOutcome, Survey } from './replay.js'
import type { FlagCounts } from './replay-flags.js'

/** 0: everything acknowledged and taken. Others say what was not. */
export const EXIT = { failed: 1, somethingRefused: 2, stopped: 130 } as const

/** What the hub counted meanwhile, where it could be asked. */
export type Counted = HubView | { readonly unknown: string }

export interface ReplayReport {
  readonly file: string
  readonly garden: string
  readonly node: string
  readonly survey: Survey
  readonly outcome: ReplayOutcome
  readonly flags: FlagCounts
  readonly horizonDays: number
  readonly counted: Counted
}

const minuteOf = (timeMs: number): string =>
  `${new Date(timeMs).toISOString().slice(0, 16).replace('T', ' ')} UTC`
const count = (n: number): string => n.toLocaleString('en-GB')
const listCounts = (counts: Readonly<Record<string, number>>): string =>
  Object.entries(counts)
    .map(([name, n]) => `${name} ${count(n)}`)
    .join(', ')
const plural = (n: number, one: string, many = `${one}s`): string => `${count(n)} ${n === 1 ? one : many}`

export function exitCode({ outcome, counted }: ReplayReport): number {
  if (outcome.failure) return EXIT.failed
  if (outcome.wasStopped) return EXIT.stopped
  return isSomethingRefused(outcome, counted) ? EXIT.somethingRefused : 0
}

/**
 * The hub counts for all nodes: a refused pack was ours when some of our acknowledged readings are not there, or
 * when it was refused unread and we were cut off for it.
 */
function isSomethingRefused(outcome: ReplayOutcome, counted: Counted): boolean {
  if ('unknown' in counted) return false
  if (outcome.failure?.code === 'TURNED_AWAY') return counted.refusedPacks > 0
  const taken = counted.storedReadings + counted.repeatedReadings
  return counted.refusedPacks > 0 && taken < outcome.acknowledgedReadings
}

/** The report in words; what is not known is said to be unknown. */
export function describeReport(report: ReplayReport): string {
  const { survey, outcome, counted } = report
  const lines = [
    `${report.file} as node ${report.node} of garden ${report.garden}: ${listCounts(survey.byQuantity)}; ` +
      `${minuteOf(survey.firstMs)} to ${minuteOf(survey.lastMs)}`,
    `sent     ${plural(outcome.sentReadings, 'reading')} in ${plural(outcome.packs, 'pack')}, ` +
      `in ${(outcome.tookMs / 1000).toFixed(1)} s${outcome.reconnects > 0 ? `, ${plural(outcome.reconnects, 'reconnection')}` : ''}`,
    `stored   ${storedLine(report)}`,
    `flagged  ${flaggedLine(report)}`,
    `refused  ${refusedLine(outcome, counted)}`,
  ]
  if ('hasGarden' in counted && !counted.hasGarden) {
    lines.push(
      `The hub has no garden "${report.garden}" yet. What came for it is kept and shows once it is set up.`,
    )
  }
  if (outcome.failure)
    lines.push(outcome.failure.message, 'Start the same replay again to go on; nothing is doubled.')
  else if (outcome.wasStopped)
    lines.push('Stopped. Start the same replay again to go on; nothing is doubled.')
  return lines.join('\n')
}

function storedLine({ survey, outcome, counted }: ReplayReport): string {
  const { acknowledgedReadings } = outcome
  const ofAll = acknowledgedReadings < survey.readings ? ` of the file’s ${count(survey.readings)}` : ''
  const acknowledged = `${count(acknowledgedReadings)}${ofAll} acknowledged`
  if ('unknown' in counted) return `${acknowledged}, which means stored, but for packs that were refused`
  const { storedReadings, repeatedReadings } = counted
  const taken = storedReadings + repeatedReadings
  const whose = taken > acknowledgedReadings ? ' (with those of other nodes in that time)' : ''
  return `${acknowledged}; new to the hub ${count(storedReadings)}, there already ${count(repeatedReadings)}${whose}`
}

function flaggedLine({ flags, horizonDays }: ReplayReport): string {
  if (flags.readings === 0) return '0 of the file by the hub’s checks'
  const line = `${count(flags.readings)} of the file by the hub’s checks: ${listCounts(flags.byFlag)}`
  if (!flags.byFlag.clock) return line
  return (
    `${line}\n         clock: their times are ahead of now, more than ${horizonDays} days back, or of 1970 or 2000, so they are kept ` +
    'but left out of every figure.\n         For very old records, start the hub with a larger HEARTING_HORIZON_DAYS.'
  )
}

function refusedLine(outcome: ReplayOutcome, counted: Counted): string {
  if ('unknown' in counted) return `unknown: ${counted.unknown}`
  if (counted.refusedPacks === 0) return '0 packs'
  const packs = `${plural(counted.refusedPacks, 'pack')}: ${listCounts(counted.refusedByReason)}`
  if (!isSomethingRefused(outcome, counted)) return `0 packs (other nodes: ${packs})`
  return counted.latestRefusal === null
    ? `${packs}. See the hub’s log for the reason.`
    : `${packs}. The hub says: ${counted.latestRefusal}`
}

/** The report for scripts: times in ISO 8601, null for what is not known. */
export function jsonReport({ file, garden, node, survey, outcome, flags, counted }: ReplayReport): object {
  const { failure, tookMs, ...counts } = outcome
  return {
    file,
    garden,
    node,
    firstTime: new Date(survey.firstMs).toISOString(),
    lastTime: new Date(survey.lastMs).toISOString(),
    rows: survey.rows,
    readings: survey.readings,
    byQuantity: survey.byQuantity,
    ...counts,
    tookS: tookMs / 1000,
    flaggedReadings: flags.readings,
    flags: flags.byFlag,
    hub:
      'unknown' in counted
        ? null
        : {
            storedReadings: counted.storedReadings,
            repeatedReadings: counted.repeatedReadings,
            refusedPacks: counted.refusedPacks,
            refusedByReason: counted.refusedByReason,
            latestRefusal: counted.latestRefusal,
            hasGarden: counted.hasGarden,
          },
    hubUnknown: 'unknown' in counted ? counted.unknown : null,
    failure: failure && { code: failure.code, message: failure.message },
  }
}

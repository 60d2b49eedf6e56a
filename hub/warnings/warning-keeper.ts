/**
 * Raises, updates, holds and clears warnings: one open warning a cause, kept in the garden's database, so that a
 * restart neither forgets nor repeats any. The rules say what is the case; here is when to say it.
 */
import { randomUUID } from 'node:crypto'
import type { BaseLogger } from 'pino'
import type { Garden } from '../../shared/api/garden.js'
import type { Forecasts } from '../forecast/port.js'
import type { BedMeasurements } from '../garden/measured.js'
import type { GardenRepository, StoredWarning } from '../garden/port.js'
import type { StoredReadings } from '../ingest/stored-readings.js'
import type { ReadingStore } from '../store/port.js'
import { viewGarden } from './garden-view.js'
import { createNodeArrivals } from './node-arrivals.js'
import type { BedView, Finding, Rule, RuleContext } from './rule.js'
import { coldBolting } from './rules/cold-bolting.js'
import { coldSoil } from './rules/cold-soil.js'
import { frost } from './rules/frost.js'
import { heatBolting } from './rules/heat-bolting.js'
import { looseHeads } from './rules/loose-heads.js'
import { nodeSilent } from './rules/node-silent.js'
import { sensorFault } from './rules/sensor-fault.js'
import { shortSun } from './rules/short-sun.js'
import { warmSpell } from './rules/warm-spell.js'
import { createSunHistories } from './sun-histories.js'
import { warningMessage } from './warning-message.js'

export const RULES: readonly Rule[] = [
  frost,
  warmSpell,
  looseHeads,
  heatBolting,
  coldBolting,
  coldSoil,
  shortSun,
  nodeSilent,
  sensorFault,
]

/** New readings lead to a look at the garden no more often than this: they never stop coming … */
const LOOK_EVERY_MS = 60_000
/** … and nothing leads to one at once: what belongs together (a backlog, a form filled in) comes in pieces. */
const SETTLE_MS = 3_000
/** Numbers in an open warning are brought up to date no more often than this; its severity at once. */
const RENEW_MS = 15 * 60_000
/** So many of the latest warnings have their topics put right when the hub starts. */
const TOLD_AT_FIRST = 200
/** Readings this old change days that are thought to be done. */
const LATE_MS = 3 * 86_400_000

export interface WarningKeeper {
  /** Looks at a garden now. Never rejects: what goes wrong is logged, and warnings stay as they are. */
  evaluate(garden: string): Promise<void>
  /** The same for every garden; for the hub's timer, since silence brings no readings. */
  evaluateAll(): Promise<void>
  /** Readings were stored: their gardens are looked at within a minute. */
  readingsStored(stored: StoredReadings): void
  /** Garden data changed: looked at within seconds, since whoever changed it waits for the answer. */
  gardenChanged(garden: string): void
  /** Waits for what is under way; nothing is looked at any more. */
  close(): Promise<void>
}

export interface WarningKeeperDeps {
  readonly garden: GardenRepository
  readonly measurements: BedMeasurements
  readonly store: ReadingStore
  /** left out: nothing is told ahead of time */
  readonly forecasts?: Pick<Forecasts, 'ahead'>
  readonly now: () => number
  /** a warning was raised, changed or cleared; it is in the database already */
  readonly onChange: (garden: string, warning: StoredWarning) => void
  /** what to retain on the bed's topic of this kind; empty: nothing any more. Told anew at first */
  readonly onMessage: (garden: string, bed: string, kind: string, payload: string) => void
  readonly log: Pick<BaseLogger, 'error'>
  readonly rules?: readonly Rule[]
}

export function createWarningKeeper(deps: WarningKeeperDeps): WarningKeeper {
  const { garden: repository, measurements, now, log, rules = RULES } = deps
  const arrivals = createNodeArrivals()
  const sunHistories = createSunHistories(measurements)
  const startedAtMs = now()
  const view = {
    ...deps,
    forecasts: deps.forecasts ?? null,
    arrivals,
    sunHistories,
    listeningSinceMs: startedAtMs,
  }
  /** when a finding was last there, by garden and cause */
  const lastFoundMs = new Map<string, number>()
  const announced = new Set<string>()
  const timers = new Map<string, { readonly timer: NodeJS.Timeout; readonly dueMs: number }>()
  /** by garden, on the machine's own running clock */
  const lastLookMs = new Map<string, number>()
  const running = new Map<string, Promise<void>>()
  let isClosed = false

  const look = async (id: string): Promise<void> => {
    const garden = await repository.getGarden(id)
    // not set up yet: that was no look, so the first one need not wait
    if (!garden) return
    lastLookMs.set(id, performance.now())
    const nowMs = now()
    const seen = await viewGarden(view, garden, nowMs)
    const open = new Map((await repository.openWarnings(id)).map((w) => [w.cause, w]))
    const muted = new Set((await repository.listMutes(id)).map((mute) => `${mute.planting}/${mute.kind}`))
    const context: RuleContext = {
      ...seen,
      isOpen: (cause, as) => {
        const known = open.get(cause)
        return known !== undefined && (as === undefined || known.certainty === as)
      },
    }
    const { findings, failed } = applyRules(rules, context, muted, log)

    const changed: StoredWarning[] = []
    const keep = async (warning: StoredWarning): Promise<void> => {
      await repository.saveWarning(id, warning)
      changed.push(warning)
    }
    for (const finding of findings) {
      lastFoundMs.set(`${id}/${finding.cause}`, nowMs)
      const known = open.get(finding.cause)
      if (!known) await keep(raise(finding, nowMs))
      else if (isNews(known, finding, nowMs))
        await keep({ ...known, ...findingAsKept(finding), updatedAtMs: nowMs })
    }
    const found = new Set(findings.map((f) => f.cause))
    for (const warning of open.values()) {
      const rule = rules.find((r) => r.name === warning.kind)
      // a rule that could not be asked has not said that all is well
      if (found.has(warning.cause) || failed.has(warning.kind)) continue
      const key = `${id}/${warning.cause}`
      const awayMs = nowMs - (lastFoundMs.get(key) ?? startedAtMs)
      const isMuted = warning.planting !== null && muted.has(`${warning.planting}/${warning.kind}`)
      if (rule && awayMs < rule.holdMs && !isMuted) continue
      lastFoundMs.delete(key)
      await keep({ ...warning, updatedAtMs: nowMs, clearedAtMs: nowMs })
    }
    for (const warning of changed) deps.onChange(id, warning)
    await tellTopics(garden, changed)
  }

  const tellTopics = async (garden: Garden, changed: readonly StoredWarning[]): Promise<void> => {
    const isFirst = !announced.has(garden.id)
    if (changed.length === 0 && !isFirst) return
    const open = await repository.openWarnings(garden.id)
    // a hub that was stopped between clearing a warning and telling so tells it now
    const told = isFirst ? await repository.listWarnings(garden.id, TOLD_AT_FIRST) : changed
    announced.add(garden.id)
    const topics = new Map(told.flatMap((w) => (w.bed ? [[`${w.bed}/${w.kind}`, w] as const] : [])))
    for (const { bed, kind } of topics.values()) {
      const ofTopic = open.filter((w) => w.bed === bed && w.kind === kind)
      deps.onMessage(garden.id, bed!, kind, warningMessage(ofTopic, garden.timeZone))
    }
  }

  /** One look at a garden at a time; who asks meanwhile waits for one that begins after. */
  const evaluate = (id: string): Promise<void> => {
    const before = running.get(id) ?? Promise.resolve()
    const mine = before.then(async () => {
      if (isClosed) return
      try {
        await look(id)
      } catch (error) {
        log.error({ err: error, garden: id }, 'warnings could not be looked at; they stay as they are')
      }
    })
    running.set(id, mine)
    return mine
  }

  /** Looks at a garden at that time of the machine's running clock, or when it was about to anyway if that is sooner. */
  const evaluateAt = (id: string, dueMs: number): void => {
    const planned = timers.get(id)
    if (isClosed || (planned !== undefined && planned.dueMs <= dueMs)) return
    clearTimeout(planned?.timer)
    const timer = setTimeout(
      () => {
        timers.delete(id)
        void evaluate(id)
      },
      Math.max(0, dueMs - performance.now()),
    )
    // looking at the garden is no reason to keep a process alive
    timer.unref()
    timers.set(id, { timer, dueMs })
  }

  return {
    evaluate,
    async evaluateAll() {
      try {
        const gardens = await repository.listGardens()
        await Promise.all(gardens.map((garden) => evaluate(garden.id)))
      } catch (error) {
        log.error({ err: error }, 'warnings could not be looked at; they stay as they are')
      }
    },
    readingsStored(stored) {
      arrivals.note(stored)
      const lateMs = now() - LATE_MS
      const gardens = new Set<string>()
      for (const { garden, timeMs } of stored.readings) {
        if (timeMs < lateMs) sunHistories.forget(garden)
        gardens.add(garden)
      }
      const settledMs = performance.now() + SETTLE_MS
      for (const garden of gardens) {
        const restedMs = (lastLookMs.get(garden) ?? Number.NEGATIVE_INFINITY) + LOOK_EVERY_MS
        evaluateAt(garden, Math.max(settledMs, restedMs))
      }
    },
    gardenChanged(garden) {
      sunHistories.forget(garden)
      evaluateAt(garden, performance.now() + SETTLE_MS)
    },
    async close() {
      isClosed = true
      for (const { timer } of timers.values()) clearTimeout(timer)
      timers.clear()
      await Promise.all(running.values())
    },
  }
}

function applyRules(
  rules: readonly Rule[],
  context: RuleContext,
  muted: ReadonlySet<string>,
  log: Pick<BaseLogger, 'error'>,
): { findings: Finding[]; failed: Set<string> } {
  const findings: Finding[] = []
  const failed = new Set<string>()
  for (const rule of rules) {
    try {
      findings.push(...rule.find(heeding(context, rule.name, muted)))
    } catch (error) {
      failed.add(rule.name)
      log.error({ err: error, rule: rule.name, garden: context.garden.id }, 'a warning rule failed')
    }
  }
  return { findings, failed }
}

/** The garden without the plantings of which the grower does not want to hear this kind of warning. */
function heeding(context: RuleContext, kind: string, muted: ReadonlySet<string>): RuleContext {
  const isHeard = ({ planting }: { readonly planting: { readonly id: string } }): boolean =>
    !muted.has(`${planting.id}/${kind}`)
  if (muted.size === 0) return context
  const beds = context.beds.flatMap((bed): BedView[] => {
    const plantings = bed.plantings.filter(isHeard)
    // a bed of which nothing is to be heard is not an empty bed
    if (plantings.length === 0 && bed.plantings.length > 0) return []
    return [{ ...bed, plantings, sowings: bed.sowings.filter(isHeard) }]
  })
  return { ...context, beds }
}

/** What a finding leaves out is not known, and takes the place of what was known before. */
const findingAsKept = (finding: Finding): Omit<StoredWarning, 'id' | `${string}AtMs`> => ({
  onsetMs: null,
  expiresMs: null,
  chance: null,
  ...finding,
})

const raise = (finding: Finding, nowMs: number): StoredWarning => ({
  id: randomUUID(),
  ...findingAsKept(finding),
  raisedAtMs: nowMs,
  updatedAtMs: nowMs,
  clearedAtMs: null,
  seenAtMs: null,
})

/** Worth telling: it got better or worse, or its numbers are old. */
function isNews(known: StoredWarning, finding: Finding, nowMs: number): boolean {
  const isGraver =
    known.severity !== finding.severity ||
    known.urgency !== finding.urgency ||
    known.certainty !== finding.certainty
  const isOtherText =
    known.headline !== finding.headline || known.why !== finding.why || known.advice !== finding.advice
  return isGraver || (isOtherText && nowMs - known.updatedAtMs >= RENEW_MS)
}

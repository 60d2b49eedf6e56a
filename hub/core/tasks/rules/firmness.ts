/** From the projected date on, feel every few days whether it is ready. */
import { daysAfter, entriesOf, later, type PlantingView, plantingTask, type Rule } from '../task.js'

/** After it felt so. Common practice. */
const AGAIN_AFTER_DAYS = { soft: 5, giving: 3, firm: 3 } as const
const WINDOW_DAYS = 3

export const firmness: Rule = (view) => {
  const { crop, name, reachedOn, ahead } = view
  if (crop.forms === 'leaves') return []
  const felt = entriesOf(view, 'firmness')
  if (felt.some((entry) => entry.firmness === 'firm')) return []
  if (entriesOf(view, 'cut', 'split', 'bolted', 'lost').some(({ plants }) => plants === null)) return []
  const reached = reachedOn.get('ready') ?? null
  const expected = reached ?? ahead.get('ready')?.expectedOn ?? null
  if (expected === null) return []
  const last = felt.at(-1)
  const again = last === undefined ? null : daysAfter(last.on, AGAIN_AFTER_DAYS[last.firmness ?? 'soft'])
  const from = again === null ? expected : later(again, last?.firmness === 'giving' ? again : expected)
  return [
    plantingTask(view, 'firmness', felt.length + 1, {
      what: crop.forms === 'head' ? `Feel the heads of the ${name}` : `See whether the ${name} is ready`,
      why: whyOf(view, reached, last?.on ?? null, last?.firmness ?? null),
      how: crop.readiness.value,
      from,
      to: daysAfter(from, WINDOW_DAYS),
      journal: 'firmness',
      asks: 'firmness',
    }),
  ]
}

function whyOf(
  { ahead, aheadWords }: PlantingView,
  reached: string | null,
  lastOn: string | null,
  last: string | null,
): string {
  const before = lastOn === null ? '' : ` On ${lastOn} it felt ${last}.`
  if (reached !== null) {
    return `By its degree days it has been ready since ${reached}; the hub reckons, your hand knows.${before}`
  }
  const { expectedOn, earliestOn, latestOn } = ahead.get('ready')!
  const interval = earliestOn === null ? '' : `, between ${earliestOn} and ${latestOn} eight times in ten`
  return `By its degree days it should be ready about ${expectedOn}${interval}. ${aheadWords}${before}`
}

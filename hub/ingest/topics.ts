/** The topics of the wire contract (firmware-notes/wire-format.md), read and written in this one place. */
import { isId } from '../../shared/ids.js'

export interface NodeTopic {
  readonly garden: string
  readonly node: string
  readonly kind: 'readings' | 'presence'
}

export interface Topics {
  /** Topics that nodes publish to; null: any other topic, or an id with a letter that ids do not have. */
  parse(topic: string): NodeTopic | null
  /** The garden whose forecast is published on this topic; null: any other topic */
  parseForecast(topic: string): string | null
  /** What can be said of a topic that `parse` refuses, so that the refusal is shown where it belongs. */
  blame(topic: string): { readonly garden: string; readonly node: string | null }
  readings(garden: string, node: string): string
  presence(garden: string, node: string): string
  settings(garden: string, node: string): string
  forecast(garden: string): string
  warning(garden: string, bed: string, kind: string): string
  /** May a subscription to this filter hear readings? (They are many; see embedded-broker.ts.) */
  mayHearReadings(filter: string): boolean
}

/**
 * @param prefix  put in front of every topic, for a broker shared with others; '' or e.g. 'site/north'
 * @throws RangeError  if the prefix holds a wildcard or an empty level
 */
export function topicsUnder(prefix = ''): Topics {
  if (prefix !== '' && !/^[^/+#$][^/+#]*(\/[^/+#]+)*$/.test(prefix))
    throw new RangeError(`a topic prefix has no wildcard, no empty level and no $: ${JSON.stringify(prefix)}`)
  const start = prefix === '' ? '' : `${prefix}/`
  const levelsOf = (topic: string): string[] | null =>
    topic.startsWith(start) ? topic.slice(start.length).split('/') : null

  const node = (garden: string, id: string, kind: string): string =>
    `${start}gardens/${garden}/nodes/${id}/${kind}`
  return {
    parse(topic) {
      const levels = levelsOf(topic)
      if (levels?.length !== 5) return null
      const [gardens, garden, nodes, id, kind] = levels as [string, string, string, string, string]
      if (gardens !== 'gardens' || nodes !== 'nodes' || (kind !== 'readings' && kind !== 'presence'))
        return null
      return isId(garden) && isId(id) ? { garden, node: id, kind } : null
    },
    parseForecast(topic) {
      const levels = levelsOf(topic)
      if (levels?.length !== 3 || levels[0] !== 'gardens' || levels[2] !== 'forecast') return null
      const garden = levels[1]!
      return isId(garden) ? garden : null
    },
    blame(topic) {
      const [gardens, garden, nodes, id] = levelsOf(topic) ?? []
      if (gardens !== 'gardens' || garden === undefined || !isId(garden)) return { garden: '', node: null }
      return { garden, node: nodes === 'nodes' && id !== undefined && isId(id) ? id : null }
    },
    readings: (garden, id) => node(garden, id, 'readings'),
    presence: (garden, id) => node(garden, id, 'presence'),
    settings: (garden, id) => node(garden, id, 'settings'),
    forecast: (garden) => `${start}gardens/${garden}/forecast`,
    warning: (garden, bed, kind) => `${start}gardens/${garden}/beds/${bed}/warnings/${kind}`,
    mayHearReadings(filter) {
      const levels = filter.split('/')
      const last = levels.at(-1)!
      if (last === '#') return !levels.includes('beds')
      return last === 'readings' || (last === '+' && !levels.includes('beds'))
    },
  }
}

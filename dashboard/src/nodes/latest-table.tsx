/** What a node measured last, one quantity a row. */
import type { NodeStatus } from '../../../shared/api/measurements.js'
import { ageInWords } from '../format/durations.js'
import { labelOf, showValue } from '../format/units.js'
import { flagWord } from '../parts/flag-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'

export function LatestTable({ node }: { readonly node: NodeStatus }) {
  if (node.latest.length === 0) return <p>No reading of it has been stored yet.</p>
  const isAnyDoubtful = node.latest.some((l) => l.flags.length > 0)
  return (
    <ScrollTable label={`Latest values of ${node.name ?? node.id}`}>
      <table>
        <thead>
          <tr>
            <th scope="col">quantity</th>
            <th scope="col">latest</th>
            <th scope="col">measured</th>
            {isAnyDoubtful && <th scope="col">doubts</th>}
          </tr>
        </thead>
        <tbody>
          {node.latest.map((latest) => (
            <tr key={latest.quantity}>
              <th scope="row">{labelOf(latest.quantity)}</th>
              <td>{showValue(latest.quantity, latest.unit, latest.value, tempUnit.value)}</td>
              <td>{ageInWords(nowMs.value - Date.parse(latest.time))}</td>
              {isAnyDoubtful && <td>{latest.flags.map(flagWord).join('; ')}</td>}
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollTable>
  )
}

/** Heavy heads and light ones, crop by crop: what went along with the weights, with the numbers. It finds no causes. */
import type { HeadComparison, SeasonReview } from '../../../shared/api/review.js'
import { addDays } from '../../../shared/local-time.js'
import { spacingText } from '../format/lengths.js'
import { dayMonth } from '../format/local-clock.js'
import { figure, toShown } from '../format/units.js'
import { weightWords } from '../journal/journal-words.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { lengthUnit, tempUnit } from '../state/preferences.js'

type Factor = HeadComparison['factors'][number]

/** The hub measures in °C and cm. */
function labelIn(factor: Factor): string {
  if (factor.factor === 'warmth' && tempUnit.value === 'F') return factor.label.replace('°C', '°F')
  if (factor.factor === 'spacing' && lengthUnit.value === 'ft') return factor.label.replace('cm', 'in')
  return factor.factor === 'start' ? 'begun' : factor.label
}

function valueIn({ factor }: Factor, value: number | null): string {
  if (value === null) return '–'
  if (factor === 'warmth') return figure(toShown(value, '°C', tempUnit.value), 1)
  if (factor === 'spacing') return spacingText(value / 100, lengthUnit.value)
  if (factor === 'start') return dayMonth(addDays('2027-01-01', value - 1))
  return figure(value, factor === 'sun' || factor === 'chill' ? 1 : 0)
}

function Compared({
  comparison,
  review,
}: {
  readonly comparison: HeadComparison
  readonly review: SeasonReview
}) {
  const { plantings, weightPerHeadKg, weighedHeads, factors, words } = comparison
  const [lead, ...rest] = words
  const nameOf = (id: string): string => {
    const one = review.plantings.find(({ planting }) => planting === id)
    if (one === undefined) return id
    const variety = one.variety === null ? '' : `‘${one.variety}’, `
    return `${variety}${one.bedName}, ${(one.days.date[0] ?? '').slice(0, 4)}`
  }
  return (
    <div class="heads-compared">
      <h4>{comparison.cropName}</h4>
      <p class="say">
        <b>{lead}</b>
      </p>
      {rest.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <ScrollTable label={`Heads of ${comparison.cropName} compared`}>
        <table>
          <caption>
            Heaviest heads first. In bold: what went along with the weights in nearly every pair.
          </caption>
          <thead>
            <tr>
              <th scope="col">planting</th>
              <th scope="col">a head</th>
              <th scope="col">weighed</th>
              {factors.map((factor) => (
                <th key={factor.factor} scope="col">
                  {factor.goesAlong ? <b>{labelIn(factor)}</b> : labelIn(factor)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {plantings.map((id, i) => (
              <tr key={id}>
                <th scope="row">{nameOf(id)}</th>
                <td>{weightWords(weightPerHeadKg[i] ?? 0, lengthUnit.value)}</td>
                <td>{weighedHeads[i]}</td>
                {factors.map((factor) => (
                  <td key={factor.factor}>{valueIn(factor, factor.values[i] ?? null)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollTable>
      <details>
        <summary>Each thing that was looked at, in words</summary>
        <ul>
          {factors.map(({ factor, words: said }) => (
            <li key={factor}>{said}</li>
          ))}
        </ul>
      </details>
    </div>
  )
}

export function HeadsSection({ review }: { readonly review: SeasonReview }) {
  const { comparisons, plantings } = review
  if (plantings.length === 0) return null
  return (
    <section class="review-part">
      <h3>Heavy heads and light ones</h3>
      {comparisons.length === 0 ? (
        <p class="none">
          To compare plantings of one crop, two at least need heads that were both counted and weighed when
          they were cut. <a href="/journal">Write it into the journal</a>, or choose a longer time above.
        </p>
      ) : (
        comparisons.map((comparison) => (
          <Compared key={comparison.crop} comparison={comparison} review={review} />
        ))
      )}
    </section>
  )
}

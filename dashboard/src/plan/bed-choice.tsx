/** Which bed: ranked for the week that is read, each with its reasons and a way to plant it there. */

import type { PlanBeds, PlanWay, PlanWeek } from '../../../shared/api/plan.js'
import { get } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import { plantingFormPath } from '../garden/planting-prefill.js'
import { Failure } from '../parts/failure.js'
import { spacePath } from '../space/space-address.js'
import { mayChange } from '../state/access.js'
import { inGarden } from '../state/garden.js'
import { toldHere } from '../state/told-here.js'
import { useAnswer } from '../state/use-answer.js'
import { type Asked, bedsQuery } from './plan-data.js'

interface BedChoiceProps {
  readonly asked: Asked
  readonly way: PlanWay
  readonly week: PlanWeek
  /** the bed the grower has in mind; null: none */
  readonly bed: string | null
}

/** Reading week after week by arrow key asks only for the one that it rests on, ms. */
const REST_MS = 400

export function BedChoice({ asked, way, week, bed }: BedChoiceProps) {
  const ranked = useAnswer<PlanBeds>(
    bedsQuery(asked, way, week.sowOn),
    (query, signal) => get(inGarden(`/plan/beds?${query}`), signal),
    { pauseMs: REST_MS, beginsAtOnce: true },
  )
  const { value, failure } = ranked.state.value

  return (
    <section class="plan-part plan-beds" aria-labelledby="plan-beds-heading">
      <h3 id="plan-beds-heading">Which bed</h3>
      {failure !== null && <Failure failure={failure} onRetry={() => void ranked.reload()} />}
      {value === null && failure === null && <p class="part-waiting">Looking at the beds …</p>}
      {value !== null && value.beds.length === 0 && (
        <p>
          There is no bed yet: <a href="/garden">add one</a>, and it is ranked here by its sun, its warmth and
          what grew in it.
        </p>
      )}
      {value !== null && value.beds.length > 0 && (
        <>
          <p>
            For a sowing of {dayMonthYear(value.week.sowOn)}, best first: by the sun while it forms, by
            warmth, and by what grew there in the last four years.
          </p>
          <ol class="plan-ranked">
            {value.beds.map((one) => (
              <li key={one.bed} class={one.bed === bed ? 'chosen' : undefined}>
                <b>{one.name}</b>
                {one.bed === bed && ' (the bed you chose)'}
                {one.sameFamily !== null && <em> – same family before</em>}
                {': '}
                {one.reasons.length === 0 ? 'nothing speaks against it.' : toldHere(one.reasons.join(' '))}{' '}
                <span class="plan-ways">
                  {mayChange.value && (
                    <>
                      <a href={plantingPath(value, one.bed)}>
                        Plant it here<span class="unseen">, in {one.name}</span>
                      </a>
                      {' · '}
                    </>
                  )}
                  <a href={spacePath({ bed: one.bed, crop: value.crop })}>
                    how many fit<span class="unseen"> in {one.name}</span>
                  </a>
                </span>
              </li>
            ))}
          </ol>
        </>
      )}
    </section>
  )
}

/** The form for a new planting with the week's dates in it. */
const plantingPath = ({ crop, week }: PlanBeds, bed: string | null): string =>
  plantingFormPath({ crop, bed, sownOn: week.sowOn, plantedOutOn: week.plantOutOn })

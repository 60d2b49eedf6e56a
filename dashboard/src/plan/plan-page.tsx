/** Plan: when to sow a crop so that it forms in its best weather, in which bed, and what speaks against it. */

import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { Plan } from '../../../shared/api/plan.js'
import { localDate } from '../../../shared/local-time.js'
import { Failure } from '../parts/failure.js'
import { spacePath } from '../space/space-address.js'
import { bedName, beds, crops, timeZone } from '../state/garden.js'
import { gardenChanges } from '../state/live-garden.js'
import { nowMs } from '../state/present.js'
import { resource } from '../state/resource.js'
import { toldHere } from '../state/told-here.js'
import { CropYear } from './crop-year.js'
import { type PlanAddress, planAddressIn, planPath } from './plan-address.js'
import { PlanChoice } from './plan-choice.js'
import { type Asked, fetchPlan, rememberCrop, rememberedCrop } from './plan-data.js'
import { WeatherBasis } from './weather-basis.js'

const USUAL_CROP = 'cabbage-early'

/** The answer to the newest question; the one before stays until it is there. */
function usePlan(asked: Asked) {
  const question = useRef(asked)
  question.current = asked
  const plan = useMemo(() => resource<Plan>((signal) => fetchPlan(question.current, signal)), [])
  const changes = gardenChanges.value
  useEffect(() => void plan.reload(), [asked.crop, asked.basis, changes, plan])
  return plan
}

function Planned({
  address,
  onChange,
}: {
  readonly address: PlanAddress
  onChange(next: PlanAddress): void
}) {
  const known = crops.state.value.value ?? []
  const chosen =
    known.find(({ id }) => id === (address.crop ?? rememberedCrop())) ??
    known.find(({ id }) => id === USUAL_CROP) ??
    known[0]
  const asked: Asked = { crop: chosen?.id ?? USUAL_CROP, basis: address.basis }
  const answer = usePlan(asked)
  const { value: plan, failure } = answer.state.value
  const today = localDate(nowMs.value, timeZone.value)
  const isCurrent = plan !== null && plan.crop === asked.crop
  return (
    <>
      <p class="print-only plan-of">
        <b>{chosen?.name}</b>
        {address.bed !== null && `, for ${bedName(address.bed)}`}
      </p>
      <PlanChoice
        crops={known}
        beds={beds.state.value.value ?? []}
        crop={asked.crop}
        bed={address.bed}
        onCrop={(crop) => {
          rememberCrop(crop)
          onChange({ ...address, crop })
        }}
        onBed={(bed) => onChange({ ...address, bed })}
      />
      <p class="bed-links">
        <a href={spacePath({ crop: asked.crop, bed: address.bed })}>how many fit in a bed</a>
      </p>
      {failure !== null && <Failure failure={failure} onRetry={() => void answer.reload()} />}
      <div class="plan-answer" aria-busy={!isCurrent}>
        {plan !== null && (
          <>
            <p class="plan-words">{toldHere(plan.words)}</p>
            {chosen !== undefined && isCurrent && plan.weeks.length > 0 && (
              <CropYear
                key={plan.crop}
                plan={plan}
                asked={asked}
                crop={chosen}
                bed={address.bed}
                today={today}
              />
            )}
            <WeatherBasis
              plan={plan}
              basis={address.basis}
              onChoose={(basis) => onChange({ ...address, basis })}
              onChanged={answer.reload}
            />
          </>
        )}
        {plan === null && failure === null && <p class="part-waiting">Going through the year …</p>}
      </div>
    </>
  )
}

export function PlanPage() {
  const [address, setAddress] = useState(() => planAddressIn(location.search))
  const isLoaded = crops.state.value.value !== null
  const { failure } = crops.state.value
  useEffect(() => void crops.reload(), [])
  function change(next: PlanAddress): void {
    setAddress(next)
    history.replaceState(null, '', planPath(next))
  }
  return (
    <>
      <h2>Plan</h2>
      <p>
        When to sow so that it forms in the weather it likes best, counted backwards from the year of this
        garden.
      </p>
      {isLoaded ? (
        <Planned address={address} onChange={change} />
      ) : failure === null ? (
        <p class="waiting">Fetching the crops …</p>
      ) : (
        <Failure failure={failure} onRetry={() => void crops.reload()} />
      )}
    </>
  )
}

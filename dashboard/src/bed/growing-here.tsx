/** What grows in the bed: each planting's stage, how far its degree days have come, and what comes next. */
import { useEffect, useState } from 'preact/hooks'
import type { BedToday, PlantingProgress } from '../../../shared/api/measurements.js'
import { failureText, get, isAborted } from '../api/client.js'
import { dayMonthYear } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import { percent, showDegreeDays } from '../format/units.js'
import { plantingPath } from '../routes.js'
import { inGarden } from '../state/garden.js'
import { tempUnit } from '../state/preferences.js'
import { StageRuler } from './stage-ruler.js'

type PlantingToday = BedToday['plantings'][number]

/** 'head forming since 9 Nov 2026; 640 °C·d since 20 Sep 2026, ready to cut at 819 °C·d.' */
function sentence(progress: PlantingProgress): string {
  const at = progress.stages.findIndex((s) => s.stage === progress.stage)
  const current = progress.stages[at]
  const next = progress.stages[at + 1]
  const since =
    current === undefined || current.reachedOn === null ? '' : ` since ${dayMonthYear(current.reachedOn)}`
  if (progress.degreeDaysC === null || progress.since === null)
    return `${progress.stageName}${since}; its degree days are not known.`
  const sum = `${showDegreeDays(progress.degreeDaysC, tempUnit.value)} since ${dayMonthYear(progress.since)}`
  const coming =
    next === undefined ? '' : `, ${next.stageName} at ${showDegreeDays(next.degreeDaysC, tempUnit.value)}`
  return `${progress.stageName}${since}; ${sum}${coming}.`
}

function Stages({ progress }: { readonly progress: PlantingProgress }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">stage</th>
          <th scope="col">BBCH</th>
          <th scope="col">from</th>
          <th scope="col">reached</th>
        </tr>
      </thead>
      <tbody>
        {progress.stages.map((stage) => (
          <tr key={stage.stage}>
            <th scope="row">{stage.stageName}</th>
            <td>{stage.bbch}</td>
            <td>{showDegreeDays(stage.degreeDaysC, tempUnit.value)}</td>
            <td>{stage.reachedOn === null ? 'not yet' : dayMonthYear(stage.reachedOn)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Planting({ planting }: { readonly planting: PlantingToday }) {
  const [progress, setProgress] = useState<PlantingProgress | null>(null)
  const [trouble, setTrouble] = useState<string | null>(null)
  const { id, stage } = planting

  useEffect(() => {
    const aborter = new AbortController()
    get<PlantingProgress>(inGarden(`/plantings/${encodeURIComponent(id)}/progress`), aborter.signal).then(
      (answer) => {
        setProgress(answer)
        setTrouble(null)
      },
      (error) => {
        if (!isAborted(error)) setTrouble(failureText(error))
      },
    )
    return () => aborter.abort()
  }, [id, stage])

  const name = `${planting.cropName}${planting.variety === null ? '' : ` ‘${planting.variety}’`}`
  const text = progress === null ? `${planting.stageName}.` : sentence(progress)
  return (
    <div class="growing">
      <p>
        <a href={plantingPath(id)}>
          <b>{name}</b>
        </a>
        , {planting.plants} {planting.plants === 1 ? 'plant' : 'plants'}: {text}
      </p>
      {trouble !== null && <p class="hint">Its progress could not be fetched: {trouble}</p>}
      {progress !== null && (
        <>
          <StageRuler progress={progress} label={`${name}: ${text}`} />
          <details>
            <summary>
              Stages<span class="unseen"> of {name}</span>
            </summary>
            <Stages progress={progress} />
            <p class="hint">
              {capital(progress.basis)}; readings cover {percent(progress.coverage)} of the time.
            </p>
          </details>
        </>
      )}
    </div>
  )
}

export function GrowingHere({ plantings }: { readonly plantings: readonly PlantingToday[] }) {
  if (plantings.length === 0) return null
  return (
    <section class="growing-here">
      <h3>Growing here</h3>
      {plantings.map((planting) => (
        <Planting key={planting.id} planting={planting} />
      ))}
    </section>
  )
}

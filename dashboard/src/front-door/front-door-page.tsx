/**
 * The beginning of an almanac, step by step: where the garden is, a bed, a crop, a node, its first reading. Each step is kept
 * by the hub when it is done, has an address of its own, and all but the first can wait.
 */
import type { ComponentChildren } from 'preact'
import { useEffect } from 'preact/hooks'
import { BedForm } from '../garden/bed-form.js'
import { PlantingForm } from '../garden/planting-form.js'
import { Failure } from '../parts/failure.js'
import { go, page, replaceAddress } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName, beds, crops, garden, nodes, placements, plantings, timeZone } from '../state/garden.js'
import { NodeStep } from './node-step.js'
import { PlaceStep } from './place-step.js'
import { ReadingStep } from './reading-step.js'
import {
  firstOpen,
  isDone,
  neighbours,
  type Progress,
  STEP_WORDS,
  STEPS,
  type Step,
  stepPath,
} from './steps.js'

const PARTS = [nodes, placements, plantings, crops] as const

/** null: not all of it is known yet */
function progress(): Progress | null {
  if (garden.value === null) return { hasGarden: false, beds: 0, plantings: 0, nodes: 0, nodesHeard: 0 }
  const known = nodes.state.value.value
  const grown = plantings.state.value.value
  const ground = beds.state.value.value
  if (known === null || grown === null || ground === null) return null
  return {
    hasGarden: true,
    beds: ground.length,
    plantings: grown.length,
    nodes: known.length,
    nodesHeard: known.filter((node) => node.latest.length > 0).length,
  }
}

/** On from a step that is done; a beginner who has left it meanwhile stays where they went. */
function goOn(from: Step, path: string): void {
  const at = page.peek()
  if (at.name === 'begin' && at.step === from) go(path)
}

/** The row of steps: a place to see how far it is, and to go back. */
function StepList({ shown, done }: { readonly shown: Step; readonly done: Progress | null }) {
  const hasGarden = done?.hasGarden ?? false
  return (
    <ol class="begin-steps" aria-label="The steps of the beginning">
      {STEPS.map((step) => {
        const word = step === shown ? 'here' : done !== null && isDone(step, done) ? 'done' : 'to come'
        const isOpen = step !== shown && (hasGarden || step === 'place')
        return (
          <li key={step} aria-current={step === shown ? 'step' : undefined}>
            {isOpen ? <a href={stepPath(step)}>{STEP_WORDS[step]}</a> : STEP_WORDS[step]}{' '}
            <span class="aside">{word}</span>
          </li>
        )
      })}
    </ol>
  )
}

function Ways({ step, done }: { readonly step: Step; readonly done: Progress | null }) {
  const { before, after } = neighbours(step)
  const isReady = done !== null && isDone(step, done)
  const mayLeave = step !== 'place' || (done?.hasGarden ?? false)
  const onward =
    after === null
      ? 'On to today’s page'
      : isReady
        ? `On: ${STEP_WORDS[after].toLowerCase()}`
        : 'Later: go on without'
  return (
    <p class="begin-ways">
      {before !== null && <a href={stepPath(before)}>Back: {STEP_WORDS[before].toLowerCase()}</a>}
      {mayLeave && <a href={after === null ? '/' : stepPath(after)}>{onward}</a>}
    </p>
  )
}

function BedStep() {
  const known = beds.state.value.value ?? []
  return (
    <>
      <p>
        Beds are where plants grow and nodes stand; a large container is one too. Measure the inside: from its
        size follows how many plants have room. A number may have its own unit: 120 cm, 4 ft.
      </p>
      {known.length > 0 && (
        <p>
          {known.length === 1 ? 'There is one already' : 'There are already'}:{' '}
          {known.map((bed) => bed.name).join(', ')}. You can add another, or go on.
        </p>
      )}
      <BedForm
        key={known.length}
        bed={null}
        submitLabel="Add the bed and go on"
        onSaved={() => goOn('bed', stepPath('crop'))}
      />
    </>
  )
}

function CropStep() {
  const grown = plantings.state.value.value ?? []
  if ((beds.state.value.value ?? []).length === 0)
    return (
      <p>
        A crop needs a bed to stand in. <a href={stepPath('bed')}>Add a bed first</a>
      </p>
    )
  return (
    <>
      <p>
        What grows there, or is to grow: a date to come is a plan. From sowing or planting out on, the almanac
        counts the warmth towards each stage. Nothing in the ground yet? <a href="/plan">The plan</a> finds
        good weeks for it, now or later.
      </p>
      {grown.length > 0 && (
        <p>
          Told already: {grown.length === 1 ? 'one planting' : `${grown.length} plantings`} in{' '}
          {[...new Set(grown.map((planting) => bedName(planting.bed)))].join(', ')}.
        </p>
      )}
      <PlantingForm key={grown.length} planting={null} onSaved={() => goOn('crop', stepPath('node'))} />
    </>
  )
}

function StepBody({ step }: { readonly step: Step }): ComponentChildren {
  switch (step) {
    case 'place':
      return <PlaceStep onDone={() => goOn('place', stepPath('bed'))} />
    case 'bed':
      return <BedStep />
    case 'crop':
      return <CropStep />
    case 'node':
      // its first moment is the garden's own time
      return (
        <NodeStep
          key={timeZone.value}
          onDone={(node) => goOn('node', `${stepPath('reading')}?node=${node}`)}
        />
      )
    case 'reading':
      return <ReadingStep />
  }
}

/** @param step null: where the beginner left off */
export function FrontDoorPage({ step }: { readonly step: Step | null }) {
  const hasGarden = garden.value !== null
  useEffect(() => {
    if (hasGarden) for (const part of PARTS) void part.reload()
  }, [hasGarden])
  const done = progress()
  const open = done === null ? null : firstOpen(done)
  const shown: Step | null = hasGarden ? (step ?? open) : 'place'
  useEffect(() => {
    if (shown !== null && shown !== step) replaceAddress(stepPath(shown))
  }, [shown, step])

  if (!mayChange.value)
    return (
      <section class="invitation">
        <h2>Not yet begun</h2>
        <p>This almanac is begun by its owner, signed in; then there will be something to look at.</p>
      </section>
    )
  const failed = PARTS.find((part) => part.state.value.failure !== null)
  if (failed !== undefined && hasGarden)
    return <Failure failure={failed.state.value.failure} onRetry={() => void failed.reload()} />
  if (shown === null)
    return done === null ? (
      <p class="waiting">Looking how far it has come …</p>
    ) : (
      <section class="invitation">
        <h2>The almanac has begun</h2>
        <p>
          Garden, bed, crop and node are all there. <a href="/">Today’s page</a> ·{' '}
          <a href="/garden">the garden</a> · <a href={stepPath('node')}>add another node</a>
        </p>
      </section>
    )
  return (
    <div class="front-door">
      <h2>{shown === 'place' && !hasGarden ? 'Welcome' : STEP_WORDS[shown]}</h2>
      <StepList shown={shown} done={done} />
      {shown === 'place' && !hasGarden && (
        <p>
          This almanac keeps the sun, the warmth and the soil of your beds, and says what is to be done in
          them. It begins with five short steps; all but the first can wait. A node may publish already:{' '}
          <a href="/nodes">its page</a> shows what has arrived.
        </p>
      )}
      {done === null ? <p class="waiting">One moment …</p> : <StepBody step={shown} />}
      <Ways step={shown} done={done} />
    </div>
  )
}

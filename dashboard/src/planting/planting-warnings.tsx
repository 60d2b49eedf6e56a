/** A planting's warnings: those that stand, with reasons; those that are over; and which kinds to say nothing of. */
import { useState } from 'preact/hooks'
import type { Mutes, Warning, WarningKind } from '../../../shared/api/warnings.js'
import { KIND_WORDS } from '../../../shared/warning-kind-words.js'
import { call, failureText } from '../api/client.js'
import { dateAndClock } from '../format/local-clock.js'
import { Trouble } from '../parts/trouble.js'
import { mayChange } from '../state/access.js'
import { timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { toldHere } from '../state/told-here.js'
import { bySeverity, WarningItem } from '../today/warnings.js'
import { plantingApi } from './planting-data.js'

/** Kinds that are about a planting rather than a bed or a node. */
const OF_PLANTINGS: readonly WarningKind[] = [
  'warm-spell',
  'loose-heads',
  'heat-bolting',
  'cold-bolting',
  'frost',
  'cold-soil',
]

function Past({ warnings }: { readonly warnings: readonly Warning[] }) {
  const moment = (iso: string): string => dateAndClock(Date.parse(iso), timeZone.value, clockStyle.value)
  return (
    <details class="past-warnings">
      <summary>
        {warnings.length === 1 ? 'One warning that is over' : `${warnings.length} warnings that are over`}
      </summary>
      <ul>
        {warnings.map((w) => (
          <li key={w.id}>
            <b>{toldHere(w.headline)}</b>, {moment(w.raisedAt)}
            {w.clearedAt !== null && ` to ${moment(w.clearedAt)}`}. {toldHere(w.why)}
          </li>
        ))}
      </ul>
    </details>
  )
}

interface MutingProps {
  readonly planting: string
  readonly mutes: Mutes
  onChanged(): Promise<void>
}

function Muting({ planting, mutes, onChanged }: MutingProps) {
  const [trouble, setTrouble] = useState<string | null>(null)
  // as ticked, until the hub has answered: a box must not spring back under the finger
  const [ticked, setTicked] = useState<readonly WarningKind[] | null>(null)
  const muted = ticked ?? mutes.kinds
  const listed = [...OF_PLANTINGS, ...muted.filter((kind) => !OF_PLANTINGS.includes(kind))]

  async function toggle(kind: WarningKind, isMuted: boolean): Promise<void> {
    const kinds = isMuted ? [...muted, kind] : muted.filter((one) => one !== kind)
    setTicked(kinds)
    try {
      await call('PUT', plantingApi(planting, '/mutes'), { kinds })
      setTrouble(null)
    } catch (error) {
      setTrouble(`Not changed: ${failureText(error)}`)
    }
    // also after a refusal: the boxes show what holds
    await onChanged()
    setTicked(null)
  }

  return (
    <details>
      <summary>
        {mutes.kinds.length === 0
          ? 'Which warnings to hear of this planting'
          : `Not to be heard of this planting: ${mutes.kinds.map((kind) => KIND_WORDS[kind].toLowerCase()).join(', ')}`}
      </summary>
      <fieldset class="mutes" disabled={!mayChange.value}>
        <legend>Warn of</legend>
        {listed.map((kind) => (
          <label key={kind}>
            <input
              type="checkbox"
              checked={!muted.includes(kind)}
              onChange={(event) => void toggle(kind, !event.currentTarget.checked)}
            />{' '}
            {KIND_WORDS[kind].toLowerCase()}
          </label>
        ))}
      </fieldset>
      <Trouble text={trouble} />
    </details>
  )
}

interface PlantingWarningsProps {
  readonly planting: string
  readonly warnings: readonly Warning[]
  readonly mutes: Mutes | null
  onChanged(): Promise<void>
}

export function PlantingWarnings({ planting, warnings, mutes, onChanged }: PlantingWarningsProps) {
  const standing = warnings.filter((w) => w.clearedAt === null).sort(bySeverity)
  const over = warnings.filter((w) => w.clearedAt !== null)
  return (
    <section class="planting-part" aria-label="Warnings">
      <h3>Warnings</h3>
      {standing.length === 0 && <p>None stands.</p>}
      {standing.length > 0 && (
        <ul class="warnings">
          {standing.map((w, i) => (
            <WarningItem key={w.id} warning={w} isInFull={i < 1} onNoted={onChanged} />
          ))}
        </ul>
      )}
      {over.length > 0 && <Past warnings={over} />}
      {mutes !== null && <Muting planting={planting} mutes={mutes} onChanged={onChanged} />}
    </section>
  )
}

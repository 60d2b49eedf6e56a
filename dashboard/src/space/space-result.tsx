/** What the hub said of the space: words, the picture, the tape, spacings side by side, and the way to plant them. */
import { useMemo } from 'preact/hooks'
import type { Space, SpaceLayout } from '../../../shared/api/space.js'
import { numberWord } from '../format/durations.js'
import { type LengthUnit, showLength, showWeightRange, spacingText } from '../format/lengths.js'
import { plantingFormPath } from '../garden/planting-prefill.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { mayChange } from '../state/access.js'
import { type Rows, rowsOf } from './rows.js'
import { SpacePicture } from './space-picture.js'
import {
  countSentence,
  headSentence,
  neighbourSentences,
  placesWords,
  plantsWord,
  roomWords,
  sidesOf,
  soilSentence,
  sourceWords,
  spareSentence,
  tapeSentence,
} from './space-words.js'

interface ResultProps {
  readonly space: Space
  readonly layout: SpaceLayout
  readonly forms: string
  readonly unit: LengthUnit
}

const isTight = ({ room }: Space): boolean => room.room === 'too-tight' || room.room === 'wider-than-ground'

/** What the verdict rests on: the crop's usual room with its kind of source, or the trial named. */
const roomNote = ({ room, usual }: Space): string =>
  room.note === usual.note ? `${sourceWords(usual.source)}: ${room.note}` : room.note

interface WordsProps extends ResultProps {
  readonly rows: Rows | null
  /** how many, and in which order */
  readonly count: string
}

function Words({ space, layout, forms, unit, rows, count }: WordsProps) {
  const head = space.head && (layout.pattern === 'offset' ? space.head.offset : space.head.square)
  const extra = [soilSentence(space, layout.plants, unit), ...neighbourSentences(space)]
  return (
    <>
      <p class="say" role="status">
        <b>{count}</b>
      </p>
      <p class={isTight(space) ? 'space-tight' : undefined}>
        {roomWords(space, unit)} <span class="aside">({roomNote(space)})</span>
      </p>
      {head !== null && layout.plants > 0 && (
        <p>
          {headSentence(head, unit)}{' '}
          <span class="aside">
            ({sourceWords(head.source)}: {head.note})
          </span>
        </p>
      )}
      {head === null && forms !== 'leaves' && (
        <p>Closer makes them smaller; no trial is at hand to put a number to it.</p>
      )}
      {rows !== null && (
        <p>
          {tapeSentence(rows, space, unit)} {spareSentence(layout, space, unit)}
        </p>
      )}
      {extra.map((sentence) => sentence !== null && <p key={sentence}>{sentence}</p>)}
    </>
  )
}

interface TapeProps {
  readonly rows: Rows
  readonly shape: Space['shape']
  readonly unit: LengthUnit
}

/** More rows than these nobody reads off a table. */
const MOST_ROWS = 40

function Tape({ rows, shape, unit }: TapeProps) {
  if (rows.rows.length > MOST_ROWS || rows.rows.some((row) => row.alongM.length > MOST_ROWS)) return null
  const isRound = rows.run === 'round'
  const [side, end] = sidesOf(rows, shape)
  const places = placesWords(rows.rows, unit)
  return (
    <section class="space-part">
      <h3>Where each stands</h3>
      <ScrollTable label="Where each plant stands">
        <table>
          <thead>
            <tr>
              <th scope="col">{isRound ? 'ring' : 'row'}</th>
              <th scope="col">from the {isRound ? 'middle' : side}</th>
              <th scope="col">{isRound ? 'plants' : `plants, from the ${end}`}</th>
            </tr>
          </thead>
          <tbody>
            {rows.rows.map((row, i) => (
              <tr key={row.atM}>
                <th scope="row">{i + 1}</th>
                <td>{showLength(row.atM, unit)}</td>
                <td class="space-spots">{isRound ? row.plants : places[i]}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollTable>
    </section>
  )
}

const ROOM_WORDS: Readonly<Record<Space['room']['room'], string>> = {
  'wider-than-ground': 'wider than the bed',
  'too-tight': 'too tight',
  tight: 'tight',
  usual: 'usual',
  roomy: 'roomy',
}

interface ComparedProps {
  readonly space: Space
  readonly unit: LengthUnit
  onChoose(spacingM: number): void
}

function Compared({ space, unit, onChoose }: ComparedProps) {
  const hasHeads = space.compared.some((one) => one.head !== null)
  const isHere = (m: number): boolean => Math.abs(m - space.spacingM) < 0.0005
  return (
    <section class="space-part">
      <h3>Closer or wider</h3>
      <ScrollTable label="Spacings side by side">
        <table>
          <caption>Each plant with its own square within the edge.</caption>
          <thead>
            <tr>
              <th scope="col">apart</th>
              <th scope="col">in square rows</th>
              <th scope="col">at most</th>
              {hasHeads && <th scope="col">head to expect</th>}
              <th scope="col">room</th>
            </tr>
          </thead>
          <tbody>
            {space.compared.map((one) => (
              <tr key={one.spacingM} class={isHere(one.spacingM) ? 'space-here' : undefined}>
                <th scope="row">
                  <button
                    type="button"
                    class="plain"
                    aria-pressed={isHere(one.spacingM)}
                    onClick={() => onChoose(one.spacingM)}
                  >
                    {showLength(one.spacingM, unit)}
                  </button>
                </th>
                <td>{one.square}</td>
                <td>{one.fullest}</td>
                {hasHeads && (
                  <td>{one.head === null ? '' : showWeightRange(one.head.lowKg, one.head.highKg, unit)}</td>
                )}
                <td>{ROOM_WORDS[one.room.room]}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollTable>
    </section>
  )
}

function PlantThese({ space, layout, forms }: Omit<ResultProps, 'unit'>) {
  const plants = space.neighbours.length > 0 ? Math.min(layout.plants, space.roomBeside) : layout.plants
  if (!mayChange.value || plants === 0) return null
  if (space.bed === null) {
    return (
      <p class="space-go">
        This bed is not in the almanac yet: <a href="/garden">add it on the Garden page</a>, then plant it.
      </p>
    )
  }
  const { bed, crop, spacingM } = space
  return (
    <p class="space-go">
      <a href={plantingFormPath({ bed, crop, spacingM, plants })}>
        Plant{' '}
        {plants === layout.plants
          ? 'these'
          : `the ${numberWord(plants)} that ${plants === 1 ? 'has' : 'have'} room`}
      </a>{' '}
      <span class="aside">
        ({plants} {plantsWord(forms, plants)}: bed, crop and spacing are put into the form)
      </span>
    </p>
  )
}

export function SpaceResult(props: ResultProps & { onSpacing(text: string): void }) {
  const { space, layout, forms, unit, onSpacing } = props
  const rows = useMemo(() => rowsOf(layout, space), [layout, space])
  const count = countSentence(space, layout, rows, forms, unit)
  return (
    <>
      <Words {...props} rows={rows} count={count} />
      <PlantThese {...props} />
      <SpacePicture space={space} layout={layout} rows={rows} unit={unit} label={count} />
      <div class="space-tables">
        {space.compared.length > 0 && (
          <Compared space={space} unit={unit} onChoose={(m) => onSpacing(spacingText(m, unit))} />
        )}
        {rows !== null && <Tape rows={rows} shape={space.shape} unit={unit} />}
      </div>
    </>
  )
}

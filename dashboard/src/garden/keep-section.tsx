/** The grower's data: to take away in files, and measured history to bring in. */
import { useEffect, useId, useRef, useState } from 'preact/hooks'
import { failureText, isAborted } from '../api/client.js'
import { figure, percent } from '../format/units.js'
import { Trouble } from '../parts/trouble.js'
import { mayChange } from '../state/access.js'
import { beds, inGarden, nodes } from '../state/garden.js'
import { NOTHING_SENT, type Sent, sendTable } from './send-table.js'

const exportAddress = (path: string): string => `/api/v1${inGarden(path)}`
const count = (n: number): string => figure(n, 0)

const FILES = [
  {
    path: '/export.json',
    name: 'The garden',
    holds:
      'beds, nodes, plantings, the journal with its photos, your own crops and skylines, settings and past warnings, as one JSON',
  },
  { path: '/export.csv?what=readings', name: 'All readings', holds: 'every value that a node sent, as CSV' },
  {
    path: '/export.csv?what=days',
    name: 'All day records',
    holds: 'sun hours, temperatures, degree days and the rest of each bed and day, as CSV for a spreadsheet',
  },
] as const

/** Files of one bed, for those who want no more. */
function BedFiles() {
  const [bed, setBed] = useState('')
  const id = useId()
  const all = beds.state.value.value ?? []
  const chosen = all.some((one) => one.id === bed) ? bed : (all[0]?.id ?? '')
  if (all.length === 0) return null
  return (
    <p>
      <label for={id}>Of one bed only: </label>
      <select id={id} value={chosen} onChange={(event) => setBed(event.currentTarget.value)}>
        {all.map((one) => (
          <option key={one.id} value={one.id}>
            {one.name}
          </option>
        ))}
      </select>{' '}
      <a href={exportAddress(`/export.csv?what=days&bed=${chosen}`)} download>
        its day records
      </a>
      {', '}
      <a href={exportAddress(`/export.csv?what=readings&bed=${chosen}`)} download>
        its readings
      </a>
    </p>
  )
}

interface Sending {
  readonly state: 'idle' | 'sending' | 'done' | 'stopped' | 'failed'
  readonly sent: Sent
  readonly trouble: string | null
}

function ImportForm() {
  const [sending, setSending] = useState<Sending>({ state: 'idle', sent: NOTHING_SENT, trouble: null })
  const [node, setNode] = useState('')
  const [problem, setProblem] = useState<{ field: 'file' | 'node'; words: string } | null>(null)
  const fileInput = useRef<HTMLInputElement>(null)
  const stop = useRef<AbortController | null>(null)
  const fileId = useId()
  const nodeId = useId()
  const isSending = sending.state === 'sending'
  // one who leaves the page stops the sending: what is stored stays, and the rest can be sent again
  useEffect(() => () => stop.current?.abort(), [])

  const send = async (): Promise<void> => {
    const file = fileInput.current?.files?.[0]
    if (file === undefined) return setProblem({ field: 'file', words: 'choose a file first' })
    if (!/^[a-z0-9][a-z0-9-]{0,62}$/.test(node)) {
      return setProblem({ field: 'node', words: 'use small letters, digits or hyphens, e.g. old-station' })
    }
    setProblem(null)
    stop.current = new AbortController()
    let sent = NOTHING_SENT
    const show = (state: Sending['state'], trouble: string | null = null): void =>
      setSending({ state, sent, trouble })
    show('sending')
    try {
      sent = await sendTable(
        file,
        node,
        (soFar) => {
          sent = soFar
          show('sending')
        },
        stop.current.signal,
      )
      show('done')
      void nodes.reload()
    } catch (error) {
      if (isAborted(error)) show('stopped')
      else if (error instanceof TypeError) {
        show('failed', 'The file is not UTF-8 text, or not packed as its name says. Save it as CSV in UTF-8.')
      } else show('failed', failureText(error))
    }
  }

  return (
    <form
      class="entry"
      aria-label="Measured history"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        void send()
      }}
    >
      <div class="field">
        <label for={fileId}>CSV file, or packed as .csv.gz</label>
        <input
          id={fileId}
          ref={fileInput}
          type="file"
          accept=".csv,.gz,text/csv"
          disabled={isSending}
          aria-invalid={problem?.field === 'file'}
          aria-describedby={problem?.field === 'file' ? `${fileId}-problem` : undefined}
        />
        {problem?.field === 'file' && (
          <p class="problem" id={`${fileId}-problem`}>
            {problem.words}
          </p>
        )}
      </div>
      <div class="field">
        <label for={nodeId}>The node that measured it</label>
        <input
          id={nodeId}
          list={`${nodeId}-list`}
          value={node}
          autocomplete="off"
          disabled={isSending}
          aria-invalid={problem?.field === 'node'}
          aria-describedby={`${nodeId}-hint${problem?.field === 'node' ? ` ${nodeId}-problem` : ''}`}
          onInput={(event) => setNode(event.currentTarget.value.trim())}
        />
        <datalist id={`${nodeId}-list`}>
          {(nodes.state.value.value ?? []).map(({ id }) => (
            <option key={id} value={id} />
          ))}
        </datalist>
        <p class="hint" id={`${nodeId}-hint`}>
          Its short name. Of another station, make up a new one. For a bed’s figures say above, under
          placements, in which bed it stood, and when.
        </p>
        {problem?.field === 'node' && (
          <p class="problem" id={`${nodeId}-problem`}>
            {problem.words}
          </p>
        )}
      </div>
      <div class="form-foot">
        <button type="submit" disabled={isSending}>
          {isSending ? 'Sending …' : 'Bring it in'}
        </button>
        {isSending && (
          <button type="button" class="plain" onClick={() => stop.current?.abort()}>
            Stop
          </button>
        )}
      </div>
      <Outcome {...sending} />
    </form>
  )
}

const AFTERWARDS = {
  idle: '',
  sending: '',
  done: 'All of the file is through.',
  stopped: 'Stopped. What is stored stays; send the file again to go on, nothing is doubled.',
  failed: 'What is stored stays; send the file again when this is mended, nothing is doubled.',
} as const

function Outcome({ state, sent, trouble }: Sending) {
  if (state === 'idle') return <p role="status" class="import-outcome" />
  const { part, stored, repeated, doubted, faultyLines, faults } = sent
  return (
    <>
      <Trouble text={trouble} />
      <p role="status" class="import-outcome">
        {state === 'sending' && (
          <>
            <progress max={1} value={part} aria-label="Part of the file that is through" /> {percent(part)}.{' '}
          </>
        )}
        {count(stored)} readings stored, {count(repeated)} were there already.
        {doubted > 0 &&
          ` ${count(doubted)} are kept but left out of figures: beyond what can be outdoors, or from the future.`}{' '}
        {AFTERWARDS[state]}
      </p>
      {faultyLines > 0 && (
        <>
          <p class="problem">
            {count(faultyLines)} {faultyLines === 1 ? 'line was' : 'lines were'} left out. Correct{' '}
            {faultyLines === 1 ? 'it' : 'them'} and send the file again: only what is new is stored.
          </p>
          <ul class="faulty-lines">
            {faults.map(({ line, message }) => (
              <li key={line}>
                Line {line}: {message}
              </li>
            ))}
            {faultyLines > faults.length && <li>… and {count(faultyLines - faults.length)} more</li>}
          </ul>
        </>
      )}
    </>
  )
}

export function KeepSection() {
  return (
    <section aria-labelledby="keep-heading">
      <h3 id="keep-heading">Your data</h3>
      <p>
        It is yours. These files open in other programs, and a hub takes them in again. No passphrase, token
        or node’s password is in them; for a copy of the hub with all of that, run{' '}
        <code>hearting backup</code> on its own machine.
      </p>
      <ul class="keep-files">
        {FILES.map(({ path, name, holds }) => (
          <li key={path}>
            <a href={exportAddress(path)} download>
              {name}
            </a>
            : {holds}
          </li>
        ))}
      </ul>
      <BedFiles />
      {mayChange.value && (
        <details class="item">
          <summary>Bring in measured history</summary>
          <p>
            A table with a column <code>time</code> (e.g. 2027-05-06T14:10:00+02:00) and any of{' '}
            <code>air_temp_c</code>, <code>soil_temp_c</code>, <code>light_lx</code>,{' '}
            <code>irradiance_w_m2</code>, <code>humidity_pct</code>; empty cells are missing readings. Where
            rows bear the time of the end of what they cover, say so above the header:{' '}
            <code># stamp: end</code> and <code># step_seconds: 1800</code>.
          </p>
          <ImportForm />
        </details>
      )}
    </section>
  )
}

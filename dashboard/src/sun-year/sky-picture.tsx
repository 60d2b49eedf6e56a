/** The bed's sky as the grower sees it facing the noon sun: what stands around it, and the sun's way on a date. */
import { useRef } from 'preact/hooks'
import type { BedSkyline, SunPath } from '../../../shared/api/sun.js'
import { compassPoint } from '../../../shared/compass.js'
import { hoursInWords, listInWords } from '../format/durations.js'
import { clockTime, dayMonthYear, wallClock } from '../format/local-clock.js'
import { percent } from '../format/units.js'
import { useWidth } from '../parts/use-width.js'
import { garden, timeZone } from '../state/garden.js'
import { clockStyle } from '../state/preferences.js'
import { COMPASS } from './compass.js'
import {
  doubtBand,
  hourMarks,
  knownAlong,
  type SkyFrame,
  silhouettes,
  sunWay,
  topOf,
  xOf,
  yOf,
} from './sky-geometry.js'

const LEFT = 30
const AXIS = 22
const PHONE_PX = 560

interface SkyPictureProps {
  readonly skyline: BedSkyline
  readonly path: SunPath | null
  readonly bedName: string
}

const clock = (iso: string): string => clockTime(Date.parse(iso), timeZone.value, clockStyle.value)

/** 'from 14:10 to 16:30 towards the west-south-west' */
export function lostWords(path: SunPath): string[] {
  return path.lost.map((lost) => {
    const [a, b] = [compassPoint(lost.fromAzimuthDeg), compassPoint(lost.toAzimuthDeg)]
    return `from ${clock(lost.from)} to ${clock(lost.to)} towards the ${a === b ? a : `${a} to ${b}`}`
  })
}

/** What the picture shows, in a sentence. */
export function skySentence(skyline: BedSkyline, path: SunPath | null): string {
  if (path === null) return ''
  const date = dayMonthYear(path.date)
  if (path.sunrise === null || path.sunset === null) return `On ${date} the sun does not rise and set.`
  const lost = lostWords(path)
  const hidden = lost.length === 0 ? 'nothing hides it' : `it is hidden ${listInWords(lost)}`
  return (
    `On ${date} the sun is up from ${clock(path.sunrise)} to ${clock(path.sunset)}; ${hidden}: ` +
    `${hoursInWords(path.possibleSunHours)} of sun under a clear sky. ` +
    `The skyline is known along ${percent(knownAlong(skyline, path))} of that way.`
  )
}

function Ground({ skyline, frame }: { readonly skyline: BedSkyline; readonly frame: SkyFrame }) {
  const { known, guessed } = silhouettes(skyline, frame)
  return (
    <>
      <path d={doubtBand(skyline, frame)} class="sky-doubt" />
      <path d={guessed} fill="url(#state-unknown)" class="sky-guessed" />
      <path d={known} fill="url(#state-shade)" />
    </>
  )
}

function Way({ path, frame }: { readonly path: SunPath; readonly frame: SkyFrame }) {
  const { shining, lost } = sunWay(path, frame)
  const marks = hourMarks(
    path,
    frame,
    (timeS) => wallClock(timeS * 1000, timeZone.value).getUTCMinutes() === 0,
  )
  const every = frame.width < PHONE_PX ? 3 : 1
  return (
    <>
      <path d={lost} class="sky-lost" />
      <path d={shining} class="sky-shining" />
      {marks.map((mark) => {
        const hour = wallClock(mark.timeS * 1000, timeZone.value).getUTCHours()
        return (
          <g key={mark.timeS}>
            <circle cx={mark.x} cy={mark.y} r="2.5" class="sky-hour" />
            {hour % every === 0 && (
              <text x={mark.x} y={mark.y - 8} text-anchor="middle" class="tick haloed">
                {hour}
              </text>
            )}
          </g>
        )
      })}
    </>
  )
}

function Axes({ frame }: { readonly frame: SkyFrame }) {
  const points = COMPASS.filter((_, i) => i % (frame.width < PHONE_PX ? 4 : 2) === 0)
  const heights: number[] = []
  for (let deg = 0; deg < frame.topDeg; deg += frame.topDeg > 60 ? 20 : 10) heights.push(deg)
  return (
    <>
      {heights.map((deg) => (
        <g key={deg}>
          <line x1={0} x2={frame.width} y1={yOf(deg, frame)} y2={yOf(deg, frame)} class="sky-rule" />
          <text x={-5} y={Math.min(frame.height, yOf(deg, frame) + 4)} text-anchor="end" class="tick">
            {deg}°
          </text>
        </g>
      ))}
      {points.map((point) => {
        const x = xOf(point.azimuthDeg, frame)
        const letters = point.name
          .split('-')
          .map((word) => word.charAt(0).toUpperCase())
          .join('')
        return (
          <text key={point.name} x={Math.max(6, x)} y={frame.height + 16} text-anchor="middle" class="tick">
            {letters}
          </text>
        )
      })}
    </>
  )
}

/** The skyline by direction, as a table. */
function SkylineTable({ skyline }: { readonly skyline: BedSkyline }) {
  const nearest = (azimuthDeg: number): number =>
    Math.round((azimuthDeg / 360) * skyline.azimuthDeg.length - 0.5 + 1e-9) % skyline.azimuthDeg.length
  return (
    <details>
      <summary>The skyline as a table</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">towards the</th>
            <th scope="col">height</th>
            <th scope="col">between</th>
            <th scope="col">known</th>
          </tr>
        </thead>
        <tbody>
          {COMPASS.map((point) => {
            const i = nearest(point.azimuthDeg)
            const deg = (column: readonly number[]): string => `${Math.round(column[i] ?? 0)}°`
            return (
              <tr key={point.name}>
                <th scope="row">{point.name}</th>
                <td>{deg(skyline.elevationDeg)}</td>
                <td>
                  {deg(skyline.lowDeg)} and {deg(skyline.highDeg)}
                </td>
                <td>{skyline.known[i] === true ? 'yes' : 'not yet'}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </details>
  )
}

export function SkyPicture({ skyline, path, bedName }: SkyPictureProps) {
  const element = useRef<HTMLDivElement>(null)
  const width = Math.max(0, useWidth(element) - LEFT)
  const latitudeDeg = garden.value?.latitudeDeg ?? 0
  const frame: SkyFrame = {
    width,
    height: width < PHONE_PX ? 190 : 250,
    latitudeDeg,
    topDeg: topOf(latitudeDeg, skyline),
  }
  const sentence = skySentence(skyline, path)
  return (
    <div class="sky">
      <p>{sentence}</p>
      <div class="sky-frame" ref={element}>
        {width > 0 && (
          <svg
            width={width + LEFT}
            height={frame.height + AXIS}
            viewBox={`${-LEFT} 0 ${width + LEFT} ${frame.height + AXIS}`}
            role="img"
            aria-label={`Sky of ${bedName}, all round the compass. ${sentence}`}
          >
            <Axes frame={frame} />
            <Ground skyline={skyline} frame={frame} />
            {path !== null && <Way path={path} frame={frame} />}
            <line x1={0} x2={width} y1={frame.height} y2={frame.height} stroke="var(--ink)" />
          </svg>
        )}
      </div>
      <ul class="key" aria-label="Key to the sky">
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <rect width="26" height="12" fill="url(#state-shade)" />
          </svg>
          what stands there
        </li>
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <rect
              x="0.5"
              y="0.5"
              width="25"
              height="11"
              fill="url(#state-unknown)"
              stroke="var(--rule-strong)"
            />
          </svg>
          not yet known
        </li>
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <path d="M1 9Q13 -2 25 9" class="sky-shining" />
          </svg>
          the sun’s way
        </li>
        <li>
          <svg width="26" height="12" aria-hidden="true">
            <path d="M1 6H25" class="sky-lost" />
          </svg>
          hidden
        </li>
      </ul>
      <SkylineTable skyline={skyline} />
    </div>
  )
}

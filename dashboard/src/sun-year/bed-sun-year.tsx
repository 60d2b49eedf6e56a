/** One bed's sun through the year: carpet, sky and outlook, each said in words first. */
import type { ReadonlySignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import { useEffect, useMemo } from 'preact/hooks'
import { Failure } from '../parts/failure.js'
import { bedName } from '../state/garden.js'
import type { Loaded } from '../state/resource.js'
import { Carpet } from './carpet.js'
import { Outlook } from './outlook.js'
import { SkyPicture } from './sky-picture.js'
import { SkylineForm } from './skyline-form.js'
import { bedSunYear } from './sun-year-data.js'
import { TemperatureCarpetPicture } from './temperature-carpet.js'

interface PartProps<T> {
  readonly title: string
  readonly state: ReadonlySignal<Loaded<T>>
  /** its place is kept while it loads, px */
  readonly height: number
  reload(): Promise<void>
  children(value: T): ComponentChildren
}

/** A part of the page that loads, shows, or says why it cannot. */
function Part<T>({ title, state, height, reload, children }: PartProps<T>) {
  const { value, failure } = state.value
  return (
    <section class="sun-part">
      <h3>{title}</h3>
      {failure !== null && <Failure failure={failure} onRetry={() => void reload()} />}
      {value === null && failure === null && (
        <p class="part-waiting" style={{ minHeight: `${height}px` }}>
          Working it out …
        </p>
      )}
      {value !== null && children(value)}
    </section>
  )
}

interface BedSunYearProps {
  readonly bed: string
  /** local date of today */
  readonly today: string
  /** date whose way of the sun is drawn */
  readonly date: string
}

export function BedSunYear({ bed, today, date }: BedSunYearProps) {
  const data = useMemo(() => bedSunYear(bed, today), [bed, today])
  const path = useMemo(() => data.path(date), [data, date])
  const name = bedName(bed)

  useEffect(() => {
    void data.carpet.reload()
    void data.warmth.reload()
    void data.skyline.reload()
    void data.outlook.reload()
  }, [data])
  useEffect(() => void path.reload(), [path])

  async function changed(): Promise<void> {
    await Promise.all([data.skyline.reload(), data.outlook.reload(), data.carpet.reload(), path.reload()])
  }

  return (
    <div class="bed-sun-year">
      <Part title="The season, day by day" {...data.carpet} height={380}>
        {(carpet) => <Carpet carpet={carpet} bedName={name} />}
      </Part>
      <Part title="Its warmth, day by day" {...data.warmth} height={440}>
        {(carpet) => <TemperatureCarpetPicture carpet={carpet} bed={bed} bedName={name} />}
      </Part>
      <Part title="Its sky" {...data.skyline} height={330}>
        {(skyline) => (
          <>
            <SkyPicture skyline={skyline} path={path.state.value.value} bedName={name} />
            <SkylineForm skyline={skyline} onChanged={changed} />
          </>
        )}
      </Part>
      <Part title="The year’s outlook" {...data.outlook} height={330}>
        {(outlook) => <Outlook outlook={outlook} bedName={name} today={today} />}
      </Part>
    </div>
  )
}

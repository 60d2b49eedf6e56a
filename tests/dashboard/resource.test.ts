import { expect, it } from 'vitest'
import { resource } from '../../dashboard/src/state/resource.js'

/** Answers that are given when the test says so; each asker's request can be broken off. */
function slowHub() {
  const asked: { answer(value: string): void; readonly signal: AbortSignal }[] = []
  const load = (signal: AbortSignal): Promise<string> =>
    new Promise((answer, refuse) => {
      asked.push({ answer, signal })
      signal.addEventListener('abort', () => refuse(signal.reason))
    })
  return { asked, load }
}

const settled = async (promise: Promise<void>): Promise<boolean> =>
  Promise.race([promise.then(() => true), new Promise<boolean>((no) => setTimeout(() => no(false), 5))])

it('a fetch that is overtaken has settled only when the newer one has', async () => {
  const { asked, load } = slowHub()
  const figures = resource(load)
  const first = figures.reload()
  const second = figures.reload()
  expect(asked[0]!.signal.aborted).toBe(true)
  expect(await settled(first)).toBe(false)
  asked[1]!.answer('newer')
  await Promise.all([first, second])
  expect(figures.state.value).toEqual({ value: 'newer', failure: null, isLoading: false })
})

it('a fetch that is called off by a clearing settles, and leaves nothing', async () => {
  const { load } = slowHub()
  const figures = resource(load)
  const fetching = figures.reload()
  figures.clear()
  await fetching
  expect(figures.state.value).toEqual({ value: null, failure: null, isLoading: false })
})

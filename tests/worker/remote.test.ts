import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type RemoteHandle, type SerialisedError, startRemote } from '../../hub/worker/remote.js'

interface Counting {
  add(a: number, b: number): number
  column(n: number): { values: Float64Array; label: string }
  later(name: string): string[]
  note(name: string): string[]
  fail(): void
  failOddly(): void
  hang(): void
  crash(): void
  missing(): void
}

const url = new URL('./counting-worker.js', import.meta.url)

describe('an object in another thread', () => {
  let handle: RemoteHandle<Counting>
  const crashes: Error[] = []
  beforeEach(() => {
    crashes.length = 0
    handle = startRemote<Counting>(url, null, undefined, (error) => crashes.push(error))
  })
  afterEach(() => handle.terminate())

  it('answers many calls, each with its own answer', async () => {
    const answers = await Promise.all(Array.from({ length: 100 }, (_, i) => handle.remote.add(i, 1)))
    expect(answers).toEqual(Array.from({ length: 100 }, (_, i) => i + 1))
  })

  it('does one call after the other, in order', async () => {
    const [, last] = await Promise.all([handle.remote.later('slow'), handle.remote.note('quick')])
    expect(last).toEqual(['slow', 'quick'])
  })

  it('hands columns over', async () => {
    const { values, label } = await handle.remote.column(1000)
    expect(values).toBeInstanceOf(Float64Array)
    expect([values.length, values[999], label]).toEqual([1000, 999, 'x'])
  })

  it('passes on what went wrong, and goes on', async () => {
    await expect(handle.remote.fail()).rejects.toMatchObject({
      name: 'RangeError',
      message: 'too far',
      code: 'FAR',
      retryable: true,
    })
    await expect(handle.remote.failOddly()).rejects.toThrow('a bare word')
    await expect(handle.remote.missing()).rejects.toThrow('no such method: missing')
    expect(await handle.remote.add(1, 2)).toBe(3)
  })

  it('gives errors the class that the caller wants', async () => {
    class Ours extends Error {}
    const other = startRemote<Counting>(url, null, (error: SerialisedError) => new Ours(error.message))
    await expect(other.remote.fail()).rejects.toBeInstanceOf(Ours)
    await other.terminate()
  })

  it('fails a call whose argument cannot be sent, and no other', async () => {
    await expect(handle.remote.add((() => 1) as unknown as number, 2)).rejects.toThrow(/could not be cloned/)
    expect(await handle.remote.add(1, 2)).toBe(3)
  })

  it('fails what is under way, and all later calls, when the thread falls over, and says so once', async () => {
    const hanging = handle.remote.hang()
    const falling = handle.remote.crash()
    // one call at a time: the crash waits behind the hanging one, so let a fresh thread fall over
    const other = startRemote<Counting>(url, null, undefined, (error) => crashes.push(error))
    await expect(other.remote.crash()).rejects.toThrow('the thread fell over')
    await expect(other.remote.add(1, 2)).rejects.toThrow('the thread fell over')
    expect(crashes).toHaveLength(1)
    await handle.terminate()
    await expect(hanging).rejects.toThrow(/ended/)
    await expect(falling).rejects.toThrow(/ended/)
    expect(crashes).toHaveLength(1)
  })
})

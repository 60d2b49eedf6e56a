/** A worker to be called in tests. */
import { serveObject } from '../../hub/worker/served.js'

const order: string[] = []
serveObject({
  add: (a: number, b: number) => a + b,
  column: (n: number) => ({ values: Float64Array.from({ length: n }, (_, i) => i), label: 'x' }),
  async later(name: string) {
    for (let i = 0; i < 3; i++) await new Promise((resolve) => setImmediate(resolve))
    order.push(name)
    return [...order]
  },
  note: (name: string) => {
    order.push(name)
    return [...order]
  },
  fail() {
    throw Object.assign(new RangeError('too far'), { code: 'FAR', retryable: true })
  },
  failOddly() {
    throw 'a bare word'
  },
  hang: () => new Promise(() => {}),
  crash() {
    setImmediate(() => {
      throw new Error('the thread fell over')
    })
    return new Promise(() => {})
  },
})

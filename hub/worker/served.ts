/** The worker's side of remote.ts: answers calls with an object's methods. */
import { parentPort, type TransferListItem } from 'node:worker_threads'
import type { SerialisedError, WorkerAnswer, WorkerCall } from './remote.js'

const TypedArray = Object.getPrototypeOf(Uint8Array) as new () => Uint8Array

export interface ServeOptions {
  /**
   * Calls wait for what is outside: a slow one must not hold up the others, and answers come in any order.
   * Without it calls are answered one at a time, in order.
   */
  readonly atOnce?: boolean
}

/** Serves an object's methods to the thread that started this worker. */
export function serveObject(target: object, { atOnce = false }: ServeOptions = {}): void {
  if (!parentPort) throw new Error('serveObject works in a worker thread only')
  const port = parentPort
  const methods = target as Record<string, ((...args: readonly unknown[]) => unknown) | undefined>
  let last: Promise<void> = Promise.resolve()
  port.on('message', (call: WorkerCall) => {
    const answerCall = async (): Promise<void> => {
      let answer: WorkerAnswer
      try {
        const method = methods[call.method]
        if (typeof method !== 'function') throw new TypeError(`no such method: ${call.method}`)
        answer = { id: call.id, ok: true, value: await method.apply(target, [...call.args]) }
      } catch (error) {
        answer = { id: call.id, ok: false, error: serialise(error) }
      }
      port.postMessage(answer, answer.ok ? transferable(answer.value) : [])
    }
    if (atOnce) void answerCall()
    else last = last.then(answerCall)
  })
}

/** Buffers of typed arrays at the top level of the answer move instead of being copied. */
function transferable(value: unknown): TransferListItem[] {
  if (typeof value !== 'object' || value === null) return []
  const buffers = new Set<ArrayBuffer>()
  for (const item of Object.values(value)) {
    if (item instanceof TypedArray && item.buffer instanceof ArrayBuffer && !(item instanceof Buffer)) {
      buffers.add(item.buffer)
    }
  }
  return [...buffers]
}

function serialise(error: unknown): SerialisedError {
  const cause = error instanceof Error ? error : new Error(String(error))
  const { code, field, retryable } = cause as Error & { code?: unknown; field?: unknown; retryable?: unknown }
  return {
    name: cause.name,
    message: cause.message,
    code: typeof code === 'string' ? code : null,
    field: typeof field === 'string' ? field : null,
    retryable: retryable === true,
    stack: cause.stack,
  }
}

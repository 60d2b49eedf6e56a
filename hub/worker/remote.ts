/**
 * Calling an object that lives in a worker thread as if it were here, its methods made asynchronous.
 * The databases live in workers so that a slow disk (an SD card whose sync takes 200 ms) never holds up
 * MQTT or HTTP. No dependency on what the object does.
 */
import { Worker } from 'node:worker_threads'

/** What a worker answers to one call. */
export type WorkerAnswer =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly error: SerialisedError }

export interface SerialisedError {
  readonly name: string
  readonly message: string
  readonly code: string | null
  /** the input field at fault, where the error is about one */
  readonly field: string | null
  readonly retryable: boolean
  readonly stack: string | undefined
}

export interface WorkerCall {
  readonly id: number
  readonly method: string
  readonly args: readonly unknown[]
}

type Method = (...args: never[]) => unknown

/** The same methods as T, each answering with a promise. */
export type Remote<T> = {
  [K in keyof T as T[K] extends Method ? K : never]: T[K] extends (...args: infer A) => infer R
    ? (...args: A) => Promise<Awaited<R>>
    : never
}

export interface RemoteHandle<T> {
  readonly remote: Remote<T>
  /** Ends the worker; calls still under way fail. Close what it holds through `remote` first. */
  terminate(): Promise<void>
}

/** Makes an error again out of what crossed the thread boundary; the caller may give it its own class. */
export type Reviver = (error: SerialisedError) => Error

const plainError: Reviver = (error) => {
  const made = new Error(error.message)
  made.name = error.name
  return Object.assign(made, { code: error.code, field: error.field, retryable: error.retryable })
}

/**
 * Starts a worker module (one that calls `serveObject`, see served.ts) and gives its object back.
 *
 * @param moduleUrl   new URL('./thing-worker.js', import.meta.url); run from source, the .ts beside it is taken
 * @param workerData  handed to the module
 * @param revive      turns a serialised error into the error class that callers expect
 * @param onCrash     told when the worker ends without being asked to (it cannot be used any more)
 */
export function startRemote<T extends object>(
  moduleUrl: URL,
  workerData: unknown,
  revive: Reviver = plainError,
  onCrash: (error: Error) => void = () => {},
): RemoteHandle<T> {
  const worker = spawn(moduleUrl, workerData)
  const pending = new Map<number, { resolve(value: unknown): void; reject(error: Error): void }>()
  let nextId = 0
  let ended: Error | null = null

  const end = (error: Error): void => {
    if (ended) return
    ended = error
    for (const call of pending.values()) call.reject(error)
    pending.clear()
  }
  worker.on('message', (answer: WorkerAnswer) => {
    const call = pending.get(answer.id)
    if (!call) return
    pending.delete(answer.id)
    if (answer.ok) call.resolve(answer.value)
    else call.reject(revive(answer.error))
  })
  let terminating = false
  const crash = (error: Error): void => {
    const first = ended === null
    end(error)
    if (first && !terminating) onCrash(error)
  }
  worker.on('error', crash)
  worker.on('exit', (code) => crash(new Error(`worker ${moduleUrl.pathname} ended with code ${code}`)))

  const call = (method: string, args: readonly unknown[]): Promise<unknown> =>
    new Promise((resolve, reject) => {
      if (ended) return reject(ended)
      const id = nextId++
      // first: an argument that cannot be sent throws, and then there is no answer to wait for
      worker.postMessage({ id, method, args } satisfies WorkerCall)
      pending.set(id, { resolve, reject })
    })

  const remote = new Proxy({} as Remote<T>, {
    get: (_target, method) =>
      // a proxy must not look like a promise, or `await handle.remote` would call `then` in the worker
      typeof method === 'string' && method !== 'then'
        ? (...args: unknown[]) => call(method, args)
        : undefined,
  })
  return {
    remote,
    async terminate() {
      terminating = true
      await worker.terminate()
    },
  }
}

/** Built code loads the .js; run from source (tests), Node 20 needs tsx registered inside the worker. */
function spawn(moduleUrl: URL, workerData: unknown): Worker {
  if (!import.meta.url.endsWith('.ts')) return new Worker(moduleUrl, { workerData })
  const source = moduleUrl.href.replace(/\.js$/, '.ts')
  const bootstrap = `import('tsx/esm/api').then(({ register }) => { register(); return import(${JSON.stringify(source)}) })`
  return new Worker(bootstrap, { eval: true, workerData })
}

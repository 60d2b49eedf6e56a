/** How many readings wait for the database: one number that the threads which take, forward and tell share. */
export interface WaitingCount {
  get(): number
  set(count: number): void
  add(count: number): void
}

export const newWaitingCount = (): SharedArrayBuffer => new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)

/** The same number seen from any thread that was given the buffer. */
export function waitingCount(shared: SharedArrayBuffer): WaitingCount {
  const cell = new Int32Array(shared)
  return {
    get: () => Atomics.load(cell, 0),
    set: (count) => void Atomics.store(cell, 0, count),
    add: (count) => void Atomics.add(cell, 0, count),
  }
}

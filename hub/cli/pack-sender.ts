/** Sending packs with a few under way at a time, counting what is acknowledged. */
import { setTimeout as delay } from 'node:timers/promises'
import type { Publisher } from './publisher.js'
import { type PackReading, senmlPack } from './senml-pack.js'

export interface ReplayProgress {
  readonly sentReadings: number
  readonly acknowledgedReadings: number
  /** time stamp of the newest row sent, UTC ms */
  readonly atMs: number
  readonly isConnected: boolean
}

const PACKS_IN_FLIGHT = 8
/** once stopped, how long acknowledgements of what is under way are waited for */
const LAST_WAIT_MS = 5_000

/** Keeps a few packs under way and counts what is acknowledged. */
export class PackSender {
  counts = { sentReadings: 0, acknowledgedReadings: 0, packs: 0, acknowledgedPacks: 0 }
  private readonly underWay = new Set<Promise<void>>()
  private readonly stopped: Promise<void>
  private failure: unknown = null

  constructor(
    private readonly publisher: Publisher,
    private readonly topic: string,
    private readonly options: {
      readonly signal?: AbortSignal
      readonly onProgress?: (progress: ReplayProgress) => void
    },
  ) {
    const { signal } = options
    this.stopped = new Promise((resolve) => {
      if (signal?.aborted) resolve()
      signal?.addEventListener('abort', () => resolve(), { once: true })
    })
  }

  /** Sends when there is room. @returns false when stopped instead */
  async send(pack: readonly PackReading[]): Promise<boolean> {
    while (this.underWay.size >= PACKS_IN_FLIGHT && !this.options.signal?.aborted) {
      await Promise.race([this.stopped, ...this.underWay])
    }
    if (this.failure) throw this.failure
    if (this.options.signal?.aborted) return false
    this.counts.packs++
    this.counts.sentReadings += pack.length
    const atMs = pack.at(-1)!.timeMs
    const sent = this.publisher
      .publish(this.topic, senmlPack(pack))
      .then(() => {
        this.counts.acknowledgedPacks++
        this.counts.acknowledgedReadings += pack.length
        this.report(atMs)
      })
      .catch((error: unknown) => {
        this.failure ??= error
      })
      .finally(() => this.underWay.delete(sent))
    this.underWay.add(sent)
    return true
  }

  /** Waits for what is under way; once stopped, only a moment longer. */
  async settled(): Promise<void> {
    const tooLate = this.stopped.then(() => delay(LAST_WAIT_MS, undefined, { ref: false }))
    await Promise.race([Promise.all(this.underWay), tooLate])
    if (this.failure) throw this.failure
  }

  private report(atMs: number): void {
    const { sentReadings, acknowledgedReadings } = this.counts
    const { isConnected } = this.publisher
    this.options.onProgress?.({ sentReadings, acknowledgedReadings, atMs, isConnected })
  }
}

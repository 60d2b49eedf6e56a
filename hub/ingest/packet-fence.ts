/**
 * A fence in front of the MQTT parser, which has no limit of its own: it reads each packet's announced length
 * (MQTT 3.1.1 §2.2.3) and lets no packet through that is too large, before any of it is kept in memory.
 */
import type { Socket } from 'node:net'
import { Duplex } from 'node:stream'

export interface FenceLimits {
  readonly maxPacketBytes: number
  /** the first packet of a connection (CONNECT, its sender not yet known) */
  readonly maxFirstPacketBytes: number
}

export interface TooLarge {
  readonly bytes: number
  /** of a PUBLISH; null for other packets, or when the topic did not come */
  readonly topic: string | null
}

const PUBLISH = 3
/** Longest topic that is read for the report. */
const MOST_TOPIC_BYTES = 512
/** After a packet that is too large its topic may take this long to come. */
const TOPIC_PATIENCE_MS = 2_000

type State =
  | { readonly at: 'type' }
  | { readonly at: 'length'; readonly type: number; length: number; bytes: number }
  | { readonly at: 'body'; left: number }
  | { readonly at: 'too-large'; readonly bytes: number; readonly type: number; head: Buffer }

/** A socket as the broker sees it: the same bytes, up to the first packet that is too large. */
export class FencedSocket extends Duplex {
  private state: State = { at: 'type' }
  private isFirst = true
  private patience: NodeJS.Timeout | null = null

  constructor(
    private readonly socket: Socket,
    private readonly limits: FenceLimits,
    private readonly onTooLarge: (packet: TooLarge) => void,
  ) {
    super({ allowHalfOpen: false })
    socket.on('data', (chunk: Buffer) => this.inspect(chunk))
    socket.on('end', () => this.push(null))
    socket.on('error', (error) => this.destroy(error))
    socket.on('close', () => this.destroy())
  }

  override _read(): void {
    this.socket.resume()
  }

  override _write(chunk: Buffer, _encoding: BufferEncoding, done: (error?: Error | null) => void): void {
    this.socket.write(chunk, done)
  }

  override _writev(
    chunks: { chunk: Buffer; encoding: BufferEncoding }[],
    done: (error?: Error | null) => void,
  ): void {
    this.socket.write(Buffer.concat(chunks.map(({ chunk }) => chunk)), done)
  }

  override _final(done: (error?: Error | null) => void): void {
    this.socket.end(done)
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    if (this.patience) clearTimeout(this.patience)
    this.socket.destroy()
    done(error)
  }

  private inspect(chunk: Buffer): void {
    if (this.destroyed) return
    const good = this.goodPart(chunk)
    if (good > 0 && !this.push(good === chunk.length ? chunk : chunk.subarray(0, good))) this.socket.pause()
  }

  /** How many bytes of the chunk belong to packets that may pass. */
  private goodPart(chunk: Buffer): number {
    let i = 0
    while (i < chunk.length) {
      const { state } = this
      switch (state.at) {
        case 'type':
          this.state = { at: 'length', type: chunk[i]! >> 4, length: 0, bytes: 0 }
          i++
          break
        case 'length': {
          const byte = chunk[i]!
          state.length += (byte & 0x7f) * 128 ** state.bytes
          state.bytes++
          i++
          // a fifth length byte breaks the standard; the parser says so
          if ((byte & 0x80) !== 0 && state.bytes < 4) break
          const most = this.isFirst ? this.limits.maxFirstPacketBytes : this.limits.maxPacketBytes
          if (state.length > most) {
            // the type and length bytes already passed are harmless: the parser waits for a body that never comes
            this.state = { at: 'too-large', bytes: state.length, type: state.type, head: Buffer.alloc(0) }
            this.patience = setTimeout(() => this.report(null), TOPIC_PATIENCE_MS)
            const passed = i
            this.lookForTopic(chunk.subarray(i))
            return passed
          }
          this.isFirst = false
          this.state = state.length === 0 ? { at: 'type' } : { at: 'body', left: state.length }
          break
        }
        case 'body': {
          const step = Math.min(state.left, chunk.length - i)
          state.left -= step
          i += step
          if (state.left === 0) this.state = { at: 'type' }
          break
        }
        case 'too-large':
          this.lookForTopic(chunk)
          return 0
      }
    }
    return i
  }

  /** MQTT 3.1.1 §3.3.2.1: a PUBLISH starts with its topic, two bytes of length before it. */
  private lookForTopic(chunk: Buffer): void {
    const { state } = this
    if (state.at !== 'too-large') return
    if (state.type !== PUBLISH) {
      this.report(null)
      return
    }
    state.head = Buffer.concat([state.head, chunk.subarray(0, MOST_TOPIC_BYTES + 2)])
    if (state.head.length < 2) return
    const length = state.head.readUInt16BE(0)
    if (length > MOST_TOPIC_BYTES) this.report(null)
    else if (state.head.length >= length + 2) this.report(state.head.subarray(2, length + 2).toString('utf8'))
  }

  private report(topic: string | null): void {
    if (this.state.at !== 'too-large' || this.destroyed) return
    const { bytes } = this.state
    this.destroy()
    this.onTooLarge({ bytes, topic })
  }
}

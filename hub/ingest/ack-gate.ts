/**
 * A stream between an MQTT client and its socket that lets a PUBACK out only when its message is durable.
 *
 * The client library acknowledges when its handler is done, and calls the handler for one message at a time: to wait
 * for the disk there would cost a commit a message. Here the handler is done at once, the next message comes, and
 * the acknowledgements wait in line, so that many messages share a commit. They leave in the order of the messages
 * (MQTT 3.1.1 and 5.0 §4.6). A gate lives as long as its connection: what it holds when that breaks is never sent,
 * and the broker delivers those messages again.
 */
import type { Socket } from 'node:net'
import { Duplex } from 'node:stream'

/** MQTT 3.1.1 §2.2.1: packet type 4 in the upper half of the first byte */
const PUBACK = 4

interface Held {
  readonly messageId: number
  isDurable: boolean
}

export class AckGate extends Duplex {
  /** bytes of a packet that the client has not finished writing */
  private unfinished: Buffer = Buffer.alloc(0)
  /** messages whose acknowledgement the client has not written yet, in order */
  private readonly expected: Held[] = []
  private readonly line: { readonly message: Held; readonly packet: Buffer }[] = []

  constructor(private readonly wire: Socket) {
    super({ allowHalfOpen: false })
    wire.on('data', (chunk: Buffer) => {
      if (!this.push(chunk)) wire.pause()
    })
    wire.on('end', () => this.push(null))
    wire.on('error', (error) => this.destroy(error))
    wire.on('close', () => {
      // what came before the end is still to be read: it may say why
      if (!wire.readableEnded) this.destroy()
    })
  }

  /** The acknowledgement of this message may leave when `durable` resolves; if it rejects, never. */
  hold(messageId: number, durable: Promise<unknown>): void {
    // not by its identifier alone: a broker may deliver one twice before it is acknowledged
    const message: Held = { messageId, isDurable: false }
    this.expected.push(message)
    durable.then(
      () => {
        message.isDurable = true
        this.letOut()
      },
      // who handed the promise in deals with its failure
      () => {},
    )
  }

  /** acknowledgements that wait */
  held(): number {
    return this.line.length
  }

  /** Closes when what was let out is on its way. */
  closeSoon(): void {
    this.wire.destroySoon()
  }

  private letOut(): void {
    const out: Buffer[] = []
    for (let first = this.line[0]; first?.message.isDurable; first = this.line[0]) {
      out.push(first.packet)
      this.line.shift()
    }
    if (out.length > 0 && this.wire.writable) this.wire.write(Buffer.concat(out))
  }

  override _write(chunk: Buffer, _encoding: BufferEncoding, done: (error?: Error | null) => void): void {
    let bytes = this.unfinished.length === 0 ? chunk : Buffer.concat([this.unfinished, chunk])
    const out: Buffer[] = []
    for (let length = packetLength(bytes); length !== null && length <= bytes.length; ) {
      const packet = bytes.subarray(0, length)
      bytes = bytes.subarray(length)
      if (packet[0]! >> 4 === PUBACK) this.queue(packet)
      else out.push(packet)
      length = packetLength(bytes)
    }
    this.unfinished = bytes
    this.letOut()
    if (out.length === 0) done()
    else this.wire.write(Buffer.concat(out), done)
  }

  private queue(packet: Buffer): void {
    const messageId = packet.readUInt16BE(2)
    const at = this.expected.findIndex((held) => held.messageId === messageId)
    const [message] = at === -1 ? [] : this.expected.splice(at, 1)
    // one that did not come through this gate came by an earlier connection, where the client was held up: its
    // identifier means nothing here, and the broker delivers it again
    if (message) this.line.push({ message, packet })
  }

  override _read(): void {
    this.wire.resume()
  }

  override _final(done: (error?: Error | null) => void): void {
    this.wire.end()
    done()
  }

  override _destroy(error: Error | null, done: (error?: Error | null) => void): void {
    this.line.length = 0
    this.expected.length = 0
    this.wire.destroy()
    done(error)
  }
}

/** Whole length of the packet that starts here; null while its length is not all there. MQTT 3.1.1 §2.2.3 */
function packetLength(bytes: Buffer): number | null {
  let remaining = 0
  for (let i = 1; i <= 4; i++) {
    const byte = bytes[i]
    if (byte === undefined) return null
    remaining += (byte & 0x7f) * 128 ** (i - 1)
    if (byte < 0x80) return 1 + i + remaining
  }
  throw new RangeError('a packet length of more than four bytes')
}

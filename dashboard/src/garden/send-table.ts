/** Sending a file of measured history to the hub, part by part; what is stored so far is told after each. */
import type { ImportFault, ImportReport } from '../../../shared/api/export.js'
import { call } from '../api/client.js'
import { inGarden } from '../state/garden.js'
import { tableParts } from './table-parts.js'

const LINES_A_PART = 4_000
/** as many as the page can show usefully; the number of all is told beside them */
const MOST_FAULTS = 30

export interface Sent {
  /** 0 to 1, of the file */
  readonly part: number
  readonly stored: number
  readonly repeated: number
  readonly doubted: number
  readonly faultyLines: number
  readonly faults: readonly ImportFault[]
}

export const NOTHING_SENT: Sent = {
  part: 0,
  stored: 0,
  repeated: 0,
  doubted: 0,
  faultyLines: 0,
  faults: [],
}

/**
 * @param onSent  told after each part
 * @throws ApiFailure  the hub refuses the file, or is not there; what was stored stays, and is not doubled next time
 * @throws TypeError   the file is not UTF-8, or not packed as its name says
 */
export async function sendTable(
  file: File,
  node: string,
  onSent: (sent: Sent) => void,
  signal: AbortSignal,
): Promise<Sent> {
  let bytesRead = 0
  const counted = file.stream().pipeThrough(
    new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
      transform(chunk, controller) {
        bytesRead += chunk.byteLength
        controller.enqueue(chunk)
      },
    }),
  )
  const bytes = /\.gz$/i.test(file.name) ? counted.pipeThrough(new DecompressionStream('gzip')) : counted
  const text = bytes.pipeThrough(new TextDecoderStream('utf-8', { fatal: true }))
  const path = inGarden(`/readings-import?node=${encodeURIComponent(node)}`)
  let sent = NOTHING_SENT
  for await (const { csv, lineOffset } of tableParts(piecesOf(text), LINES_A_PART)) {
    const body = new Blob([csv], { type: 'text/csv' })
    const report = await call<ImportReport>('POST', path, body, signal)
    const faults = report.faults.map(({ line, message }) => ({ line: line + lineOffset, message }))
    sent = {
      part: file.size === 0 ? 1 : bytesRead / file.size,
      stored: sent.stored + report.stored,
      repeated: sent.repeated + report.repeated,
      doubted: sent.doubted + report.doubted,
      faultyLines: sent.faultyLines + report.faultyLines,
      faults: [...sent.faults, ...faults].slice(0, MOST_FAULTS),
    }
    onSent(sent)
  }
  return sent
}

/** Not every browser lets a stream be walked through by itself. */
async function* piecesOf(stream: ReadableStream<string>): AsyncGenerator<string, void> {
  const reader = stream.getReader()
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      yield value
    }
  } finally {
    await reader.cancel()
  }
}

import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type TablePart, tableParts } from '../../dashboard/src/garden/table-parts.js'

async function* pieces(...texts: string[]): AsyncGenerator<string, void> {
  yield* texts
}
async function partsOf(linesAPart: number, ...texts: string[]): Promise<TablePart[]> {
  const parts: TablePart[] = []
  for await (const part of tableParts(pieces(...texts), linesAPart)) parts.push(part)
  return parts
}

describe('a table cut into parts', () => {
  it('gives each part the head of the file, and where its lines were', async () => {
    const parts = await partsOf(2, '# stamp: end\ntime,a\n1,1\n2,', '2\r\n3,3')
    expect(parts).toEqual([
      { csv: '# stamp: end\ntime,a\n1,1\n2,2\n', lineOffset: 0 },
      { csv: '# stamp: end\ntime,a\n3,3\n', lineOffset: 2 },
    ])
    // line 3 of the second part is line 5 of the file
    expect(parts[1]!.csv.split('\n')[3 - 1]).toBe('3,3')
  })

  it('hands on a file without rows, so that the hub can say what is wrong', async () => {
    expect(await partsOf(10, '')).toEqual([{ csv: '', lineOffset: 0 }])
    expect(await partsOf(10, 'time,a\n')).toEqual([{ csv: 'time,a\n', lineOffset: 0 }])
    expect((await partsOf(10, '<html>'))[0]?.csv).toBe('<html>\n')
  })

  it('loses no line and doubles none, however the file arrives', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.stringMatching(/^[a-z0-9,]{1,8}$/), { minLength: 1, maxLength: 40 }),
        fc.integer({ min: 1, max: 7 }),
        fc.integer({ min: 1, max: 9 }),
        async (lines, linesAPart, pieceLength) => {
          const text = `time\n${lines.join('\n')}\n`
          const cut = text.match(new RegExp(`[\\s\\S]{1,${pieceLength}}`, 'g')) ?? []
          const parts = await partsOf(linesAPart, ...cut)
          expect(parts.flatMap(({ csv }) => csv.split('\n').slice(1, -1))).toEqual(lines)
        },
      ),
    )
  })
})

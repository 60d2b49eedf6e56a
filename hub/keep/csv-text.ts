/**
 * CSV after RFC 4180: CRLF, quotes where they are needed. Nothing that a grower typed goes into these files: ids, dates and
 * numbers only, so that no cell can be taken for a formula by a spreadsheet.
 */

/** Shortest text that reads back as the same number; −0 keeps its sign. */
export const numberText = (value: number): string => (Object.is(value, -0) ? '-0' : String(value))

export const csvCell = (text: string): string =>
  /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text

export const csvLine = (cells: readonly string[]): string => `${cells.map(csvCell).join(',')}\r\n`

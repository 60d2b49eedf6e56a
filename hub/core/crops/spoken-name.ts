/** What a grower calls a planting. */

/** Names of places keep their capital within a sentence. */
const PLACES: ReadonlySet<string> = new Set(['Brussels', 'Chinese'])

/** As one says it, the variety in single quotes as the trade writes it: "early cabbage ‘Pointed’" for "Cabbage, early". */
export function plantingName(cropName: string, variety: string | null): string {
  const spoken = cropName
    .split(', ')
    .reverse()
    .join(' ')
    .replace(/(?<=^| )[A-Z][^ ]*/g, (word) => (PLACES.has(word) ? word : lowerFirst(word)))
  return variety ? `${spoken} ‘${variety}’` : spoken
}

const lowerFirst = (word: string): string => word.charAt(0).toLowerCase() + word.slice(1)

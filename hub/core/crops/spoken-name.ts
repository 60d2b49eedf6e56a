/** What a grower calls a planting. */

/** As one says it, the variety in single quotes as the trade writes it: "early cabbage ‘Pointed’" for "Cabbage, early". */
export function plantingName(cropName: string, variety: string | null): string {
  const spoken = cropName
    .split(', ')
    .reverse()
    .join(' ')
    .replace(/^[A-Z]/, (letter) => letter.toLowerCase())
    .replace(/ [A-Z]/g, (letters) => letters.toLowerCase())
  return variety ? `${spoken} ‘${variety}’` : spoken
}

/** Which day a column of pixels shows. Pure. */
export const dayAt = (x: number, width: number, days: number): number =>
  Math.min(days - 1, Math.max(0, Math.floor((x / width) * days)))

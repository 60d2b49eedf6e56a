/** How large a bed is drawn: the same number of pixels for a metre both ways, so that the picture is to scale. */
import { FOOT_M, type LengthUnit } from '../format/lengths.js'

export interface PictureFrame {
  /** of the whole picture, px */
  readonly width: number
  readonly height: number
  readonly pxPerM: number
  /** of the bed's upper left corner */
  readonly left: number
  readonly top: number
}

/** Room for lengths written beside and under the bed, px. */
export const MARGIN = { left: 62, right: 14, top: 14, bottom: 74 }
const TALLEST_PX = 460

/**
 * @param overhangM  how far leaves hang over the edge
 */
export function pictureFrame(
  width: number,
  lengthM: number,
  widthM: number,
  overhangM: number,
): PictureFrame {
  const across = Math.max(40, width - MARGIN.left - MARGIN.right)
  const pxPerM = Math.min(across / (lengthM + 2 * overhangM), TALLEST_PX / (widthM + 2 * overhangM))
  const overhang = overhangM * pxPerM
  return {
    width,
    height: Math.ceil(MARGIN.top + MARGIN.bottom + widthM * pxPerM + 2 * overhang),
    pxPerM,
    left: MARGIN.left + overhang,
    top: MARGIN.top + overhang,
  }
}

const METRE_BARS = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50]
const FOOT_BARS = [0.25, 0.5, 1, 2, 5, 10, 20, 50, 100].map((ft) => ft * FOOT_M)
/** About so wide, px, is easy to measure by eye. */
const BAR_PX = 140

/** The length of the scale bar, m: a round one of the reader's tape, at most some way across. */
export function scaleBarM(pxPerM: number, unit: LengthUnit): number {
  const bars = unit === 'm' ? METRE_BARS : FOOT_BARS
  return bars.findLast((m) => m * pxPerM <= BAR_PX) ?? bars[0]!
}

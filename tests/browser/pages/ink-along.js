/**
 * Runs in the page: for each of `slots` equal parts of a canvas between two margins, how many pixels have the colour
 * of a CSS variable.
 */
;(canvas, { variable, slots, left, right }) => {
  const hex = getComputedStyle(document.documentElement).getPropertyValue(variable).trim()
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(hex.slice(i, i + 2), 16))
  const scale = canvas.width / canvas.clientWidth
  const from = Math.round(left * scale)
  const width = Math.round(canvas.width - (left + right) * scale)
  const { data, height } = canvas.getContext('2d').getImageData(from, 0, width, canvas.height)
  const counts = new Array(slots).fill(0)
  for (let x = 0; x < width; x++) {
    const slot = Math.min(slots - 1, Math.floor((x / width) * slots))
    for (let y = 0; y < height; y++) {
      const i = (y * width + x) * 4
      const off = Math.abs(data[i] - r) + Math.abs(data[i + 1] - g) + Math.abs(data[i + 2] - b)
      if (data[i + 3] > 200 && off < 40) counts[slot]++
    }
  }
  return counts
}

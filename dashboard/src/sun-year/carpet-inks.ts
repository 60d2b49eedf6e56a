/** The style sheet's colours for the carpet's pixels; read anew when the scheme changes. */
import { type CarpetInks, rgbOf } from './carpet-pixels.js'

export function readInks(): CarpetInks {
  const style = getComputedStyle(document.documentElement)
  const of = (name: string) => rgbOf(style.getPropertyValue(`--${name}`).trim())
  return {
    paper: of('paper'),
    ground: {
      sun: of('sun'),
      cloud: of('cloud'),
      shade: of('shade'),
      night: of('night'),
      unknown: of('paper'),
    },
    texture: {
      sun: of('sun'),
      cloud: of('cloud-ink'),
      shade: of('shade-ink'),
      night: of('night'),
      unknown: of('faint'),
    },
  }
}

/** The style sheet's colours for the carpet's pixels; read anew when the scheme changes. */
import { type CarpetInks, type Rgb, rgbOf } from './carpet-pixels.js'
import { mixed, type StepInk, type StepInks } from './temperature-steps.js'

export function readInks(): CarpetInks {
  const of = inkReader()
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

function inkReader(): (name: string) => Rgb {
  const style = getComputedStyle(document.documentElement)
  return (name) => rgbOf(style.getPropertyValue(`--${name}`).trim())
}

/** From slate by leaf to madder; the textures are the ground's own colour towards ink or paper. */
export function readStepInks(): StepInks {
  const of = inkReader()
  const [paper, ink, slate, leaf] = [of('paper'), of('ink'), of('line-air'), of('line-other')]
  const [sun, madder] = [of('sun'), of('heat')]
  const ground: Readonly<Record<StepInk, Rgb>> = {
    frost: slate,
    cold: mixed(slate, paper, 0.45),
    cool: mixed(mixed(slate, leaf, 0.5), paper, 0.62),
    best: mixed(leaf, paper, 0.35),
    warm: mixed(sun, paper, 0.3),
    hot: madder,
  }
  const inked = (name: StepInk): Rgb => mixed(ground[name], ink, 0.4)
  const texture: Readonly<Record<StepInk, Rgb>> = {
    frost: mixed(slate, paper, 0.5),
    cold: inked('cold'),
    cool: inked('cool'),
    best: inked('best'),
    warm: inked('warm'),
    hot: mixed(madder, paper, 0.5),
  }
  return { paper, ground, texture }
}

/**
 * Chance that can be repeated: each number depends on the seed, a stream's name and an index only, never on what
 * was drawn before. So the weather of a minute is the same however often the demo is started.
 */

/** One sort of chance of one demo: the numbers of different streams have nothing to do with each other. */
export class Noise {
  private readonly key: number

  constructor(seed: number, stream: string) {
    let key = mix(seed | 0)
    for (const letter of stream) key = mix(key ^ letter.codePointAt(0)!)
    this.key = key
  }

  /** Evenly spread over 0 (included) to 1 (not). */
  uniform(index: number): number {
    const low = mix((index | 0) ^ this.key)
    // minutes since 1970 fit in 32 bits; what lies above still counts
    return mix(low ^ Math.floor(index / 2 ** 32)) / 2 ** 32
  }

  /** Standard normal (Box & Muller 1958). */
  normal(index: number): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform(2 * index)))
    return radius * Math.cos(2 * Math.PI * this.uniform(2 * index + 1))
  }
}

/** Finaliser of MurmurHash3 (A. Appleby, public domain): every bit of the input moves half of the output. */
function mix(value: number): number {
  let x = value >>> 0
  x = Math.imul(x ^ (x >>> 16), 0x85ebca6b)
  x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35)
  return (x ^ (x >>> 16)) >>> 0
}

/** Waiting for something, but not for ever. */

/** What a promise resolves to, or null when that takes longer; it goes on all the same. Rejects as it does. */
export async function withPatience<T>(promise: Promise<T>, patienceMs: number): Promise<T | null> {
  let timer: NodeJS.Timeout | undefined
  const enough = new Promise<null>((resolve) => {
    timer = setTimeout(() => resolve(null), patienceMs)
    timer.unref()
  })
  try {
    return await Promise.race([promise, enough])
  } finally {
    clearTimeout(timer)
  }
}

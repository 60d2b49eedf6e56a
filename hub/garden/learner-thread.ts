/** A thread to learn in, there only while something is being learned. One job at a time: each holds months of minutes. */
import type { Place } from '../core/readings.js'
import type { LearnedSun } from '../core/sun/learned-sun.js'
import { type RemoteHandle, startRemote } from '../worker/remote.js'
import type { LearnerInput, SunLearner } from './sun-learner.js'

/** A SunLearner that may be elsewhere. */
export interface Learner {
  nextJob(): number
  add(job: number, place: Place, input: LearnerInput): Promise<void>
  learn(job: number, placement: string, monthStartMs: number, monthEndMs: number): Promise<LearnedSun>
  drop(job: number): Promise<void>
}

export interface LearnerThread {
  use<T>(work: (learner: Learner) => Promise<T>): Promise<T>
}

export function createLearnerThread(): LearnerThread {
  let waiting = 0
  let last: Promise<unknown> = Promise.resolve()
  let handle: RemoteHandle<SunLearner> | null = null
  let jobs = 0

  const start = (): RemoteHandle<SunLearner> =>
    startRemote<SunLearner>(new URL('./sun-learning-worker.js', import.meta.url), null, undefined, () => {
      // calls under way have failed and say so to who waits; the next job starts a new thread
      handle = null
    })

  const run = async <T>(work: (learner: Learner) => Promise<T>): Promise<T> => {
    handle ??= start()
    const { remote } = handle
    return work({
      nextJob: () => jobs++,
      add: (...args) => remote.add(...args),
      learn: (...args) => remote.learn(...args),
      drop: (job) => remote.drop(job),
    })
  }

  return {
    use(work) {
      waiting++
      const mine = last.then(() => run(work))
      last = mine
        .catch(() => {
          // told to who asked for it
        })
        .then(async () => {
          waiting--
          if (waiting > 0 || handle === null) return
          const ended = handle
          handle = null
          await ended.terminate()
        })
      return mine
    },
  }
}

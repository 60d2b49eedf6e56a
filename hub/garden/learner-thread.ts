/** A thread to learn in, there only while something is being learned and a moment longer. One job at a time: each holds months of minutes. */
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

/** Months follow each other: the thread is kept so long for the next job, since starting one takes longer than many a job. */
const LINGER_MS = 2_000

export function createLearnerThread(): LearnerThread {
  let waiting = 0
  let last: Promise<unknown> = Promise.resolve()
  let handle: RemoteHandle<SunLearner> | null = null
  let jobs = 0
  let leaving: NodeJS.Timeout | undefined

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
      clearTimeout(leaving)
      const mine = last.then(() => run(work))
      last = mine
        .catch(() => {
          // told to who asked for it
        })
        .then(() => {
          waiting--
          if (waiting > 0) return
          leaving = setTimeout(() => {
            const ended = handle
            handle = null
            void ended?.terminate()
          }, LINGER_MS)
        })
      return mine
    },
  }
}

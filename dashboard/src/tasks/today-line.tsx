/** One line of the Today page: what is to be done now. Its room is kept while the hub is asked. */
import { useEffect } from 'preact/hooks'
import { gardenChanges } from '../state/live-garden.js'
import { dueWords, things } from './task-words.js'
import { notDone, tasks } from './tasks-data.js'

export function TodayLine() {
  const changes = gardenChanges.value
  useEffect(() => {
    void tasks.reload()
  }, [changes])
  const { value: list, failure } = tasks.state.value
  const due = list === null ? null : dueWords(notDone(list.tasks), list.today)
  return (
    <p class="todo-line">
      {list === null ? (
        failure === null ? (
          '\u00a0'
        ) : (
          <>
            <a href="/to-do">What there is to do</a> could not be asked for just now.
          </>
        )
      ) : due === null ? (
        <>
          Nothing to do today. <a href="/to-do">What comes next</a>
        </>
      ) : (
        <>
          <a href="/to-do">{things(due.count)} to do</a>: {due.names}
        </>
      )}
    </p>
  )
}

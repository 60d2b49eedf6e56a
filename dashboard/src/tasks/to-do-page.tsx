/** To do: what is due first, each with its reason, done with one tap. */
import { useEffect, useState } from 'preact/hooks'
import type { Task, TaskList } from '../../../shared/api/tasks.js'
import { failureText } from '../api/client.js'
import { takenCount } from '../outbox/outbox.js'
import { Failure } from '../parts/failure.js'
import { Trouble } from '../parts/trouble.js'
import { mayChange } from '../state/access.js'
import { beds, plantings } from '../state/garden.js'
import { gardenChanges } from '../state/live-garden.js'
import { CalendarFold } from './calendar-fold.js'
import { AnsweredItem, TaskItem } from './task-item.js'
import { byPressure, GROUP_WORDS, GROUPS, type Group, groupOf, summaryWords } from './task-words.js'
import { answered, notDone, settled, tasks, wantAgain } from './tasks-data.js'

function GroupSection({ group, list }: { readonly group: Group; readonly list: TaskList }) {
  const { today } = list
  const said = settled.value
  const open = list.tasks.filter((task) => groupOf(task, today) === group && !said.has(task.id))
  const gone = [...said.values()].filter(({ task }) => groupOf(task, today) === group)
  // what was answered keeps the place it had
  const rows = [
    ...open.map((task) => ({ task, one: null })),
    ...gone.map((one) => ({ task: one.task, one })),
  ].sort((a, b) => byPressure(a.task, b.task))
  if (rows.length === 0) return null
  return (
    <section aria-labelledby={`tasks-${group}`} class="task-group">
      <h3 id={`tasks-${group}`}>{GROUP_WORDS[group]}</h3>
      <ul class="tasks">
        {rows.map(({ task, one }) =>
          one === null ? (
            <TaskItem key={task.id} task={task} today={today} isShort={group === 'later'} />
          ) : (
            <AnsweredItem key={task.id} one={one} today={today} />
          ),
        )}
      </ul>
    </section>
  )
}

function NotWanted({ list }: { readonly list: readonly Task[] }) {
  const [trouble, setTrouble] = useState<string | null>(null)
  // what was said just now stands in its place above
  const shown = list.filter(({ id }) => !settled.value.has(id))
  if (shown.length === 0) return null
  const want = async (task: Task): Promise<void> => {
    try {
      await wantAgain(task)
      setTrouble(null)
    } catch (error) {
      setTrouble(`Not brought back: ${failureText(error)}`)
    }
  }
  return (
    <details class="item">
      <summary>
        {shown.length === 1
          ? 'One task that you did not want'
          : `${shown.length} tasks that you did not want`}
      </summary>
      <ul class="history">
        {shown.map((task) => (
          <li key={task.id}>
            {task.what}{' '}
            {mayChange.value && (
              <button type="button" class="plain" onClick={() => void want(task)}>
                Want it after all<span class="unseen">: {task.what}</span>
              </button>
            )}
          </li>
        ))}
      </ul>
      <Trouble text={trouble} />
    </details>
  )
}

function NothingToDo() {
  const hasBeds = (beds.state.value.value ?? []).length > 0
  const hasPlantings = (plantings.state.value.value ?? []).length > 0
  if (!hasBeds)
    return (
      <p class="invitation">
        There are no beds yet, so there is nothing to do in them. <a href="/garden">Add a bed</a>
      </p>
    )
  if (!hasPlantings)
    return (
      <p class="invitation">
        Nothing grows here yet. Choose when to sow on the page <a href="/plan">Plan</a>, or say under{' '}
        <a href="/garden">Garden</a> what grows already: what there is to do then appears here.
      </p>
    )
  return <p class="invitation">Nothing for the next two months. What comes appears here by itself.</p>
}

export function ToDoPage() {
  const changes = gardenChanges.value
  const taken = takenCount.value
  useEffect(() => {
    void tasks.reload()
    void plantings.reload()
  }, [changes, taken])
  // what was answered stands in its place until the page is left
  useEffect(
    () => () => {
      answered.value = new Map()
    },
    [],
  )
  const { value: list, failure } = tasks.state.value
  return (
    <section class="to-do">
      <h2>To do</h2>
      {failure !== null && <Failure failure={failure} onRetry={() => void tasks.reload()} />}
      {list === null ? (
        failure === null && <p class="waiting">Looking at what there is to do …</p>
      ) : (
        <>
          {list.tasks.length === 0 && settled.value.size === 0 ? (
            <NothingToDo />
          ) : (
            <p class="say">{summaryWords(notDone(list.tasks), list.today)}</p>
          )}
          {GROUPS.map((group) => (
            <GroupSection key={group} group={group} list={list} />
          ))}
          <NotWanted list={list.notWanted} />
          <CalendarFold />
        </>
      )}
    </section>
  )
}

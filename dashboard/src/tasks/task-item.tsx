/** One task: what, when, why, how; and once answered, what was said, with the way back. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { Task } from '../../../shared/api/tasks.js'
import { failureText } from '../api/client.js'
import { shortDate } from '../format/local-clock.js'
import { Trouble } from '../parts/trouble.js'
import { bedPath, plantingPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { bedName } from '../state/garden.js'
import { toldHere } from '../state/told-here.js'
import { TaskActs } from './task-acts.js'
import { PUT_OFF_LONGER_DAYS, whenWords } from './task-words.js'
import { type AnsweredTask, isWaiting, sayLater, takeBack } from './tasks-data.js'

interface TaskItemProps {
  readonly task: Task
  readonly today: string
  /** those far off are told in a line, the rest on demand */
  readonly isShort: boolean
}

export function TaskItem({ task, today, isShort }: TaskItemProps) {
  const head = (
    <>
      <b>{task.what}</b>
      <span class="task-when">
        {' '}
        {task.what.includes(bedName(task.bed)) ? '' : `${bedName(task.bed)}, `}
        {whenWords(task, today)}
      </span>
    </>
  )
  const how = (
    <>
      <p>{toldHere(task.how)}</p>
      <p class="task-where">
        <a href={bedPath(task.bed)}>{bedName(task.bed)}</a>
        {task.planting !== null && (
          <a href={plantingPath(task.planting)}>
            how it grows<span class="unseen">: what “{task.what}” is about</span>
          </a>
        )}
      </p>
    </>
  )
  return (
    <li class="task" data-rule={task.rule} data-state={task.state}>
      {isShort ? (
        <details>
          <summary>{head}</summary>
          <p>{toldHere(task.why)}</p>
          {how}
          {mayChange.value && <TaskActs task={task} today={today} />}
        </details>
      ) : (
        <div class="task-columns">
          <div>
            <p class="task-what">{head}</p>
            <p>{toldHere(task.why)}</p>
            <details>
              <summary>
                How<span class="unseen">: {task.what}</span>
              </summary>
              {how}
            </details>
          </div>
          {mayChange.value && (
            <div>
              <TaskActs task={task} today={today} />
            </div>
          )}
        </div>
      )}
    </li>
  )
}

interface AnsweredItemProps {
  readonly one: AnsweredTask
  readonly today: string
}

/** Stands where the task stood, so that nothing below it moves under the finger more than it must. */
export function AnsweredItem({ one, today }: AnsweredItemProps) {
  const { task, answer } = one
  const [trouble, setTrouble] = useState<string | null>(null)
  const undo = useRef<HTMLButtonElement>(null)
  useEffect(() => {
    // the button that was pressed is gone: whoever works by keyboard goes on from here
    if (document.activeElement === document.body) undo.current?.focus({ preventScroll: true })
  }, [])
  const attempt = async (act: () => Promise<void>): Promise<void> => {
    try {
      await act()
    } catch (error) {
      setTrouble(`Not taken back: ${failureText(error)}`)
    }
  }
  return (
    <li class="task answered" data-answer={answer.said}>
      <p class="task-what" role="status">
        {answer.said === 'done' && (
          <>
            <b>Done:</b> {task.what}.{' '}
            {isWaiting(answer.entry) ? 'The hub cannot be reached: it is kept here for the' : 'It is in the'}{' '}
            <a href="/journal">journal</a>, on {shortDate(answer.on)}.
          </>
        )}
        {answer.said === 'later' && (
          <>
            <b>Put off</b> to {shortDate(answer.untilOn)}: {task.what}.
          </>
        )}
        {answer.said === 'never' && (
          <>
            <b>Not wanted:</b> {task.what}.
          </>
        )}
      </p>
      <div class="task-acts">
        <button type="button" ref={undo} onClick={() => void attempt(() => takeBack(one))}>
          Undo<span class="unseen">: {task.what}</span>
        </button>
        {answer.said === 'later' && (
          <button
            type="button"
            class="plain"
            onClick={() => void attempt(() => sayLater(task, today, PUT_OFF_LONGER_DAYS))}
          >
            A week instead
          </button>
        )}
      </div>
      <Trouble text={trouble} />
    </li>
  )
}

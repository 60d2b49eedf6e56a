/** What one can say to a task: done (with what must be asked), not yet, not this. */
import { useState } from 'preact/hooks'
import type { Task, TaskDone } from '../../../shared/api/tasks.js'
import { failureText } from '../api/client.js'
import { shortDate } from '../format/local-clock.js'
import { Trouble } from '../parts/trouble.js'
import { HarvestForm, PestsForm } from './done-forms.js'
import { firmnessChoices, PUT_OFF_DAYS } from './task-words.js'
import { sayDone, sayLater, sayNever } from './tasks-data.js'

interface TaskActsProps {
  readonly task: Task
  readonly today: string
}

interface DoneButtonProps {
  readonly task: Task
  readonly label: string
  readonly isBusy: boolean
  readonly said?: Partial<TaskDone>
  act(said: Partial<TaskDone>): void
}

function DoneButton({ task, label, isBusy, said = {}, act }: DoneButtonProps) {
  return (
    <button type="button" class="task-done" disabled={isBusy} onClick={() => act(said)}>
      {label}
      <span class="unseen">: {task.what}</span>
    </button>
  )
}

export function TaskActs({ task, today }: TaskActsProps) {
  const [isBusy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<string | null>(null)
  const [isAsking, setAsking] = useState(false)

  const attempt = async (act: () => Promise<void>): Promise<void> => {
    setBusy(true)
    try {
      await act()
      setTrouble(null)
    } catch (error) {
      setTrouble(`Not written: ${failureText(error)}`)
    } finally {
      setBusy(false)
    }
  }
  const done = (said: Partial<TaskDone>): void => void attempt(() => sayDone(task, today, said))
  const button = { task, isBusy, act: done }
  // on the day it was planned for, where that is past
  const planned = task.asks === 'day' && task.putOffTo === null && task.from < today ? task.from : null

  return (
    <>
      {task.asks === 'firmness' && (
        <p class="task-ask">{task.what.startsWith('Feel') ? 'How does it feel?' : 'How far is it?'}</p>
      )}
      <div class="task-acts">
        {task.asks === 'firmness' &&
          firmnessChoices(task.what).map(({ value, label }) => (
            <DoneButton key={value} {...button} label={label} said={{ firmness: value }} />
          ))}
        {task.asks === 'pests' && <DoneButton {...button} label="Looked, nothing there" />}
        {task.asks === 'harvest' && <DoneButton {...button} label="All cut" />}
        {(task.asks === null || task.asks === 'day') && (
          <DoneButton {...button} label={planned === null ? 'Done' : 'Done today'} />
        )}
        {planned !== null && (
          <DoneButton {...button} label={`Done on ${shortDate(planned)}`} said={{ on: planned }} />
        )}
        {(task.asks === 'pests' || task.asks === 'harvest') && (
          <button type="button" aria-expanded={isAsking} onClick={() => setAsking(!isAsking)}>
            {task.asks === 'pests' ? 'Seen …' : 'Cut, with figures …'}
            <span class="unseen">: {task.what}</span>
          </button>
        )}
        <button
          type="button"
          class="plain"
          disabled={isBusy}
          onClick={() => void attempt(() => sayLater(task, today, PUT_OFF_DAYS))}
        >
          Not yet<span class="unseen">: {task.what}, ask again in three days</span>
        </button>
        <button
          type="button"
          class="plain"
          disabled={isBusy}
          onClick={() => void attempt(() => sayNever(task))}
        >
          Not this<span class="unseen">: {task.what}</span>
        </button>
      </div>
      {isAsking && task.asks === 'pests' && <PestsForm task={task} today={today} />}
      {isAsking && task.asks === 'harvest' && <HarvestForm task={task} today={today} />}
      <Trouble text={trouble} />
    </>
  )
}

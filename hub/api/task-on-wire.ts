/** Tasks as they are on the wire. */
import type { TaskList as TaskListOnWire, Task as TaskOnWire } from '../../shared/api/tasks.js'
import type { Answered } from '../core/tasks/all-tasks.js'
import { taskState } from '../core/tasks/task.js'
import type { TaskList } from '../garden/tasks-port.js'

/**
 * @param until   tasks that begin later are left out
 * @param stemOf  what the ids of a task's journal entries begin with
 */
export function taskListOnWire(
  { today, open, never }: TaskList,
  until: string,
  stemOf: (task: string) => string,
): TaskListOnWire {
  const onWire = ({ task, putOffTo }: Answered): TaskOnWire => ({
    ...task,
    state: taskState(task, today),
    putOffTo,
    entryStem: stemOf(task.id),
  })
  return {
    today,
    tasks: open.filter(({ task }) => task.from <= until).map(onWire),
    notWanted: never.map((task) => onWire({ task, putOffTo: null })),
  }
}

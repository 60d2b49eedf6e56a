/** Tasks as they are on the wire. */
import type { TaskList as TaskListOnWire, Task as TaskOnWire } from '../../shared/api/tasks.js'
import type { Answered } from '../core/tasks/all-tasks.js'
import { taskState } from '../core/tasks/task.js'
import type { TaskList } from '../garden/tasks-port.js'

const onWire = ({ task, putOffTo }: Answered, today: string): TaskOnWire => ({
  ...task,
  state: taskState(task, today),
  putOffTo,
})

/** @param until  tasks that begin later are left out */
export const taskListOnWire = ({ today, open, never }: TaskList, until: string): TaskListOnWire => ({
  today,
  tasks: open.filter(({ task }) => task.from <= until).map((one) => onWire(one, today)),
  notWanted: never.map((task) => onWire({ task, putOffTo: null }, today)),
})

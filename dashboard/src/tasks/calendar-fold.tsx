/** Following the to-do list in a calendar program: addresses that are made, copied and taken back here. */
import { useEffect, useState } from 'preact/hooks'
import type { NewCalendarLink } from '../../../shared/api/tasks.js'
import { dayMonthYear } from '../format/local-clock.js'
import { FormFrame, TextField } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import { textIn, useForm, type Values } from '../garden/use-form.js'
import { CopyButton } from '../parts/copy-button.js'
import { mayChange } from '../state/access.js'
import { calendarLinks, makeCalendarLink, removeCalendarLink } from './tasks-data.js'

/** Told once: the hub keeps only what proves it. */
function FreshLink({ link }: { readonly link: NewCalendarLink }) {
  const address = `${location.origin}${link.path}`
  return (
    <div class="told-once" role="status">
      <p>
        The address for {link.name}. It is shown this once; whoever has it can read the list, and nothing
        else:
      </p>
      <pre>{address}</pre>
      <div class="task-acts">
        <CopyButton text={address} what="the address" />
        <a href={address.replace(/^https?:/, 'webcal:')}>Open it in this device’s calendar</a>
      </div>
    </div>
  )
}

export function CalendarFold() {
  const [fresh, setFresh] = useState<NewCalendarLink | null>(null)
  const form = useForm('calendar-link.new', { name: '' })
  useEffect(() => {
    if (mayChange.value) void calendarLinks.reload()
  }, [])
  if (!mayChange.value) return null

  const send = async (values: Values): Promise<void> => {
    setFresh(await makeCalendarLink(textIn(values, 'name')))
    await calendarLinks.reload()
  }
  const links = calendarLinks.state.value.value ?? []
  return (
    <details class="item calendar-fold">
      <summary>Follow this list in a calendar</summary>
      <p>
        Make an address here and give it to the calendar program of your phone or computer: look there for
        adding a calendar “by address”, “from a URL” or “by subscription”, and paste it. Tasks then stand in
        it as all-day entries, move when their dates move, and go when they are done.
      </p>
      <p class="hint">
        The device must be able to reach this hub: at home it does so over your own network. A calendar on the
        internet fetches from there, and needs an address that is open to all. Programs look again when they
        like, most of them every few hours.
      </p>
      {links.length > 0 && (
        <ul class="history">
          {links.map((link) => (
            <li key={link.id}>
              {link.name}, made on {dayMonthYear(link.createdAt.slice(0, 10))}{' '}
              <RemoveButton
                what={`the address for ${link.name}`}
                onRemove={async () => {
                  await removeCalendarLink(link.id)
                  if (fresh?.id === link.id) setFresh(null)
                  await calendarLinks.reload()
                }}
              />
            </li>
          ))}
        </ul>
      )}
      {fresh !== null && <FreshLink link={fresh} />}
      <FormFrame
        form={form}
        label="A new address"
        submitLabel="Make an address"
        onSubmit={() => void form.submit(send)}
      >
        <TextField form={form} name="name" label="For what, or whom" hint="e.g. my phone" isRequired />
      </FormFrame>
    </details>
  )
}

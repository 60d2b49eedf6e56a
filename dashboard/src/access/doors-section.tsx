/** The owner's keys: links for helpers who may look, where somebody is signed in, the passphrase. */
import { useEffect, useState } from 'preact/hooks'
import type { Link, NewLink, Session } from '../../../shared/api/access.js'
import { call, get } from '../api/client.js'
import { ageInWords } from '../format/durations.js'
import { dayMonthYear } from '../format/local-clock.js'
import { FormFrame, PassphraseField, TextField } from '../garden/fields.js'
import { RemoveButton } from '../garden/remove-button.js'
import { FieldProblem, numberIn, textIn, useForm } from '../garden/use-form.js'
import { access } from '../state/access.js'
import { nowMs } from '../state/present.js'
import { resource } from '../state/resource.js'
import { deviceName } from './device-name.js'

const links = resource<Link[]>((signal) => get('/access/links', signal))
const sessions = resource<Session[]>((signal) => get('/access/sessions', signal))

const day = (iso: string): string => dayMonthYear(iso.slice(0, 10))

/** The new link's address: shown once, since the hub keeps only what proves it. */
function FreshLink({ link }: { readonly link: NewLink }) {
  const address = `${location.origin}/look#${link.secret}`
  return (
    <div class="told-once" role="status">
      <p>
        Give this address to {link.name}. It is shown this once, and opens the almanac to look at until{' '}
        {day(link.endsAt)}:
      </p>
      <pre>{address}</pre>
    </div>
  )
}

function Links() {
  const [fresh, setFresh] = useState<NewLink | null>(null)
  const form = useForm('link.new', { name: '', days: '30' })

  async function send(values: Readonly<Record<string, string>>): Promise<void> {
    const made = await call<NewLink>('POST', '/access/links', {
      name: textIn(values, 'name'),
      days: numberIn(values, 'days'),
    })
    setFresh(made)
    await links.reload()
  }

  return (
    <details class="item">
      <summary>Links for helpers, who may look and change nothing</summary>
      <ul class="history">
        {(links.state.value.value ?? []).map((link) => (
          <li key={link.id}>
            {link.name}, until {day(link.endsAt)}{' '}
            <RemoveButton
              what={`the link of ${link.name}`}
              onRemove={async () => {
                await call('DELETE', `/access/links/${link.id}`)
                await Promise.all([links.reload(), sessions.reload()])
              }}
            />
          </li>
        ))}
      </ul>
      {fresh !== null && <FreshLink link={fresh} />}
      <FormFrame
        form={form}
        label="A new link"
        submitLabel="Make a link"
        onSubmit={() => void form.submit(send)}
      >
        <div class="pair">
          <TextField form={form} name="name" label="For whom" isRequired />
          <TextField form={form} name="days" label="For how many days" isNumber size={5} isRequired />
        </div>
      </FormFrame>
    </details>
  )
}

function Sessions() {
  return (
    <details class="item">
      <summary>Where somebody is signed in</summary>
      <ul class="history">
        {(sessions.state.value.value ?? []).map((session) => (
          <li key={session.id}>
            {session.link === null ? 'the owner' : `by the link of ${session.link}`},{' '}
            {deviceName(session.device)}, last seen {ageInWords(nowMs.value - Date.parse(session.lastSeenAt))}
            {session.isThis ? ' (this one)' : ' '}
            {!session.isThis && (
              <RemoveButton
                what="this session"
                onRemove={async () => {
                  await call('DELETE', `/access/sessions/${session.id}`)
                  await sessions.reload()
                }}
              />
            )}
          </li>
        ))}
      </ul>
    </details>
  )
}

function Passphrase() {
  const form = useForm('passphrase', { passphrase: '', newPassphrase: '', again: '' }, { isSecret: true })

  async function send(values: Readonly<Record<string, string>>): Promise<void> {
    if (values.newPassphrase !== values.again)
      throw new FieldProblem('again', 'this differs from the new passphrase')
    await call('PUT', '/access/passphrase', {
      passphrase: values.passphrase ?? '',
      newPassphrase: values.newPassphrase ?? '',
    })
    await sessions.reload()
  }

  return (
    <details class="item">
      <summary>Another passphrase</summary>
      <FormFrame
        form={form}
        label="Another passphrase"
        submitLabel="Change the passphrase"
        onSubmit={() => void form.submit(send)}
      >
        <PassphraseField
          form={form}
          name="passphrase"
          label="The passphrase now"
          autocomplete="current-password"
          isRequired
        />
        <PassphraseField
          form={form}
          name="newPassphrase"
          label="The new one"
          hint="Changing it signs you out everywhere else."
          autocomplete="new-password"
          isRequired
        />
        <PassphraseField
          form={form}
          name="again"
          label="The new one once more"
          autocomplete="new-password"
          isRequired
        />
      </FormFrame>
    </details>
  )
}

export async function signOut(): Promise<void> {
  await call('POST', '/access/sign-out')
  await access.reload()
}

export function DoorsSection() {
  useEffect(() => {
    void links.reload()
    void sessions.reload()
  }, [])
  return (
    <section aria-labelledby="doors-heading">
      <h3 id="doors-heading">Who may open the almanac</h3>
      <Links />
      <Sessions />
      <Passphrase />
    </section>
  )
}

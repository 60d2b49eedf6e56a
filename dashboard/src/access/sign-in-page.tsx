/** The door: the owner's passphrase, or on the very first visit the choice of one. */
import { call } from '../api/client.js'
import { FormFrame, PassphraseField, TextField } from '../garden/fields.js'
import { FieldProblem, textIn, useForm } from '../garden/use-form.js'

interface DoorProps {
  /** let in: now there is something to show */
  onEntered(): Promise<void>
}

export function SignInPage({ onEntered }: DoorProps) {
  const form = useForm('sign-in', { passphrase: '' }, { isSecret: true })
  return (
    <main class="door" id="page">
      <h1>Garden almanac</h1>
      <p>This garden’s almanac opens with its owner’s passphrase.</p>
      <FormFrame
        form={form}
        label="Sign in"
        isOwnersOnly={false}
        submitLabel="Open the almanac"
        onSubmit={() =>
          void form.submit(async (values) => {
            await call('POST', '/access/sign-in', { passphrase: values.passphrase ?? '' })
            await onEntered()
          })
        }
      >
        <PassphraseField
          form={form}
          name="passphrase"
          label="Passphrase"
          autocomplete="current-password"
          isRequired
        />
      </FormFrame>
      <p class="hint">
        Forgotten? On the hub’s own machine, <code>hearting owner reset</code> lets you choose another;
        nothing measured is lost.
      </p>
    </main>
  )
}

export function SetUpPage({ onEntered }: DoorProps) {
  const form = useForm('set-up', { code: '', passphrase: '', again: '' }, { isSecret: true })

  async function send(values: Readonly<Record<string, string>>): Promise<void> {
    if (values.passphrase !== values.again)
      throw new FieldProblem('again', 'this differs from the passphrase above')
    await call('POST', '/access/set-up', {
      code: textIn(values, 'code'),
      passphrase: values.passphrase ?? '',
    })
    await onEntered()
  }

  return (
    <main class="door" id="page">
      <h1>A new almanac</h1>
      <p>
        Nobody owns this hub yet. Whoever chooses the passphrase now is its owner; the code on the hub’s
        console shows that it is you who stands beside it.
      </p>
      <FormFrame
        form={form}
        label="Become the owner"
        isOwnersOnly={false}
        submitLabel="Choose this passphrase"
        onSubmit={() => void form.submit(send)}
      >
        <TextField
          form={form}
          name="code"
          label="Set-up code"
          hint="The hub shows it where it was started; each is good for an hour."
          autocomplete="one-time-code"
          isRequired
        />
        <PassphraseField
          form={form}
          name="passphrase"
          label="Passphrase"
          hint="Several words are easier to remember than one hard one."
          autocomplete="new-password"
          isRequired
        />
        <PassphraseField
          form={form}
          name="again"
          label="The same once more"
          autocomplete="new-password"
          isRequired
        />
      </FormFrame>
    </main>
  )
}

/** Where warnings go besides this page: mail, a program of the owner's, a feed; and what became of each sending. */
import { useEffect } from 'preact/hooks'
import type { Delivery } from '../../../shared/api/delivery.js'
import { KIND_WORDS } from '../../../shared/warning-kind-words.js'
import { ChoiceField, FormFrame, TextField } from '../garden/fields.js'
import { optionalTextIn, useForm, type Values } from '../garden/use-form.js'
import { Failure } from '../parts/failure.js'
import { inGarden } from '../state/garden.js'
import {
  delivery,
  HOURS,
  KIND_FIELDS,
  mailSettings,
  mailValues,
  outbox,
  saveDelivery,
} from './delivery-data.js'
import { OutboxList } from './outbox-list.js'
import { TestButton } from './test-button.js'

const WAYS = [
  { value: 'at-once', label: 'at once' },
  { value: 'letter', label: 'in the daily letter' },
  { value: 'never', label: 'not at all' },
] as const

function MailForm({ known }: { readonly known: Delivery }) {
  const form = useForm('delivery.mail', mailValues(known))
  const send = (values: Values): Promise<void> => saveDelivery(known, mailSettings(values))
  return (
    <FormFrame
      form={form}
      label="Warnings by mail"
      submitLabel="Save"
      aside={known.mailTo.length > 0 && <TestButton channel="mail" />}
      onSubmit={() => void form.submit(send)}
    >
      {!known.canMail && (
        <p class="invitation">
          The hub knows no mail server yet: its settings HEARTING_MAIL_URL and HEARTING_MAIL_FROM name one.
          What is set here holds from then on.
        </p>
      )}
      <TextField form={form} name="mailTo" label="Mail to" hint="Addresses, with commas between them." />
      <div class="pair">
        <ChoiceField form={form} name="digestAtHour" label="The daily letter" options={HOURS} isRequired />
        <TextField
          form={form}
          name="quietFrom"
          label="Quiet from"
          hint="By the garden’s clock, e.g. 22:00."
        />
        <TextField form={form} name="quietTo" label="Quiet until" hint="What came meanwhile is sent then." />
      </div>
      <p class="hint">
        In quiet hours only what is extreme, or severe and immediate, gets through: a killing frost does, a
        mild one waits. Grave warnings are never left for the daily letter.
      </p>
      <fieldset class="kinds">
        <legend>What to hear of, and when</legend>
        <div class="pair">
          {KIND_FIELDS.map(({ kind, field }) => (
            <ChoiceField
              key={kind}
              form={form}
              name={field}
              label={KIND_WORDS[kind]}
              options={WAYS}
              isRequired
            />
          ))}
        </div>
      </fieldset>
    </FormFrame>
  )
}

function WebhookForm({ known }: { readonly known: Delivery }) {
  const form = useForm(
    'delivery.webhook',
    { webhookUrl: known.webhookUrl ?? '', webhookSecret: '' },
    { isSecret: true },
  )
  const send = async (values: Values): Promise<void> => {
    const webhookSecret = optionalTextIn(values, 'webhookSecret')
    await saveDelivery(known, {
      webhookUrl: optionalTextIn(values, 'webhookUrl'),
      ...(webhookSecret === null ? {} : { webhookSecret }),
    })
  }
  return (
    <FormFrame
      form={form}
      label="Warnings to a program"
      submitLabel="Save"
      aside={known.webhookUrl !== null && <TestButton channel="webhook" />}
      onSubmit={() => void form.submit(send)}
    >
      <TextField
        form={form}
        name="webhookUrl"
        label="Post news to"
        hint="An address on the network, e.g. http://192.168.1.20:9000/garden. Gets JSON, except in quiet hours and about what is muted."
      />
      <TextField
        form={form}
        name="webhookSecret"
        label="Secret shared with it"
        hint={
          known.hasWebhookSecret
            ? 'One is kept; a new one takes its place.'
            : 'At least 16 characters; it signs what is posted, so that the program can tell who sent it.'
        }
      />
    </FormFrame>
  )
}

export function DeliverySection() {
  useEffect(() => {
    void delivery.reload()
    void outbox.reload()
  }, [])
  const { value: known, failure } = delivery.state.value
  const entries = outbox.state.value.value ?? []
  return (
    <section aria-labelledby="delivery-heading">
      <h3 id="delivery-heading">Where warnings go</h3>
      {failure !== null && <Failure failure={failure} onRetry={() => void delivery.reload()} />}
      <p>
        They stand on this page and on MQTT, and a feed reader can follow{' '}
        <a href={`/api/v1${inGarden('/warnings.atom')}`}>the feed</a>.
      </p>
      {known !== null && (
        <>
          <details class="item">
            <summary>
              <b>By mail</b>
              {known.mailTo.length === 0 ? (
                ', to nobody yet'
              ) : (
                <>
                  , to <span class="address">{known.mailTo.join(', ')}</span>
                </>
              )}
            </summary>
            <MailForm known={known} />
          </details>
          <details class="item">
            <summary>
              <b>To a program</b>
              {known.webhookUrl === null ? (
                ', to none yet'
              ) : (
                <>
                  , at <span class="address">{known.webhookUrl}</span>
                </>
              )}
            </summary>
            <WebhookForm known={known} />
          </details>
          <details class="item">
            <summary>What was sent</summary>
            <OutboxList entries={entries} />
          </details>
        </>
      )}
    </section>
  )
}

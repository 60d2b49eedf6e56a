/** A choice of a few, all in sight: the one chosen is marked, each a touch away. */
import { useId } from 'preact/hooks'

interface SwitchProps<T extends string> {
  readonly legend: string
  readonly options: readonly { readonly value: T; readonly label: string }[]
  /** null: none of them */
  readonly chosen: T | null
  onChoose(value: T): void
}

export function Switch<T extends string>({ legend, options, chosen, onChoose }: SwitchProps<T>) {
  const name = useId()
  return (
    <fieldset class="switch">
      <legend>{legend}</legend>
      {options.map(({ value, label }) => (
        <label key={value}>
          <input type="radio" name={name} checked={value === chosen} onChange={() => onChoose(value)} />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  )
}

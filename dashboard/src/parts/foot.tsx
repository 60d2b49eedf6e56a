/** The foot of every page: how the reader likes temperatures, lengths and clocks, and whose time this is. */
import { signOut } from '../access/doors-section.js'
import { hasDoors } from '../state/access.js'
import { garden } from '../state/garden.js'
import {
  chooseClock,
  chooseLengthUnit,
  chooseTempUnit,
  clockStyle,
  lengthUnit,
  tempUnit,
} from '../state/preferences.js'
import { Switch } from './switch.js'

export function Foot() {
  const zone = garden.value?.timeZone
  return (
    <footer class="foot">
      <Switch
        legend="Temperatures in"
        options={[
          { value: 'C', label: '°C' },
          { value: 'F', label: '°F' },
        ]}
        chosen={tempUnit.value}
        onChoose={chooseTempUnit}
      />
      <Switch
        legend="Lengths in"
        options={[
          { value: 'm', label: 'metres' },
          { value: 'ft', label: 'feet' },
        ]}
        chosen={lengthUnit.value}
        onChoose={chooseLengthUnit}
      />
      <Switch
        legend="Clock"
        options={[
          { value: '24', label: '24 h' },
          { value: '12', label: '12 h' },
        ]}
        chosen={clockStyle.value}
        onChoose={chooseClock}
      />
      {zone !== undefined && <p>All times are the garden’s own ({zone.replaceAll('_', ' ')}).</p>}
      {hasDoors.value && (
        <button type="button" class="plain" onClick={() => void signOut()}>
          Sign out
        </button>
      )}
    </footer>
  )
}

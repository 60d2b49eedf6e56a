/** Which crop, which bed: the two choices at the head of the plan. */
import type { GardenCrop } from '../../../shared/api/crops.js'
import type { Bed } from '../../../shared/api/garden.js'

interface PlanChoiceProps {
  readonly crops: readonly GardenCrop[]
  readonly beds: readonly Bed[]
  readonly crop: string
  readonly bed: string | null
  onCrop(crop: string): void
  onBed(bed: string | null): void
}

/** By the genus, the first word of the botanical name, in the words of a seed list. */
const GROUPS: readonly { readonly label: string; readonly genera: readonly string[] }[] = [
  { label: 'Cabbage and its relatives', genera: ['Brassica', 'Raphanus'] },
  { label: 'Lettuces', genera: ['Lactuca'] },
  { label: 'Spinach', genera: ['Spinacia', 'Beta'] },
  { label: 'Peas', genera: ['Pisum'] },
  { label: 'Celery and its relatives', genera: ['Apium', 'Coriandrum', 'Daucus'] },
]

interface Group {
  readonly label: string
  readonly crops: readonly GardenCrop[]
}

/** Own crops first, then the library's by family; a family without a group of its own comes last. */
function grouped(crops: readonly GardenCrop[]): Group[] {
  const genus = (crop: GardenCrop): string => crop.botanical.split(' ')[0] ?? ''
  const library = crops.filter(({ by }) => by !== 'own')
  const isPlaced = (crop: GardenCrop): boolean => GROUPS.some(({ genera }) => genera.includes(genus(crop)))
  const groups = [
    { label: 'Your own', crops: crops.filter(({ by }) => by === 'own') },
    ...GROUPS.map(({ label, genera }) => ({
      label,
      crops: library.filter((crop) => genera.includes(genus(crop))),
    })),
    { label: 'Others', crops: library.filter((crop) => !isPlaced(crop)) },
  ]
  return groups.filter((group) => group.crops.length > 0)
}

const NO_BED = ''

export function PlanChoice({ crops, beds, crop, bed, onCrop, onBed }: PlanChoiceProps) {
  return (
    <div class="plan-choice">
      <div class="field">
        <label for="plan-crop">Crop</label>
        <select id="plan-crop" value={crop} onChange={(event) => onCrop(event.currentTarget.value)}>
          {grouped(crops).map((group) => (
            <optgroup key={group.label} label={group.label}>
              {group.crops.map((one) => (
                <option key={one.id} value={one.id}>
                  {one.name}
                </option>
              ))}
            </optgroup>
          ))}
        </select>
      </div>
      <div class="field">
        <label for="plan-bed">Bed</label>
        <select
          id="plan-bed"
          value={bed ?? NO_BED}
          onChange={(event) => onBed(event.currentTarget.value === NO_BED ? null : event.currentTarget.value)}
        >
          <option value={NO_BED}>not decided</option>
          {beds.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}
            </option>
          ))}
        </select>
      </div>
    </div>
  )
}

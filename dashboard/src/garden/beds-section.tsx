/** Beds: where plants grow. */
import { bedSizeText } from '../format/lengths.js'
import { bedPath } from '../routes.js'
import { mayChange } from '../state/access.js'
import { beds } from '../state/garden.js'
import { lengthUnit } from '../state/preferences.js'
import { BedForm, kindWord } from './bed-form.js'
import { FoldedItem } from './folded-item.js'

export function BedsSection() {
  const known = beds.state.value.value ?? []
  return (
    <section aria-labelledby="beds-heading">
      <h3 id="beds-heading">Beds</h3>
      {known.length === 0 && !mayChange.value && <p>No bed has been told yet.</p>}
      {known.map((bed) => (
        <FoldedItem
          key={bed.id}
          summary={
            <>
              <b>{bed.name}</b>, {kindWord(bed.kind)}, {bedSizeText(bed, lengthUnit.value)}
            </>
          }
        >
          <p class="beside">
            <a href={bedPath(bed.id)}>Its charts and days</a>
          </p>
          <BedForm bed={bed} />
        </FoldedItem>
      ))}
      {mayChange.value && (
        <FoldedItem summary="Add a bed" isOpen={known.length === 0}>
          <BedForm key={known.length} bed={null} />
        </FoldedItem>
      )}
    </section>
  )
}

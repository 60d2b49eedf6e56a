/** The Garden page: what the grower tells the hub. The first visit is led through it by front-door/. */
import { useEffect } from 'preact/hooks'
import { DoorsSection } from '../access/doors-section.js'
import { DeliverySection } from '../delivery/delivery-section.js'
import { Failure } from '../parts/failure.js'
import { hasDoors, mayChange } from '../state/access.js'
import { beds, crops, garden, nodes, placements, plantings } from '../state/garden.js'
import { BedsSection } from './beds-section.js'
import { CropsSection } from './crops-section.js'
import { GardenForm } from './garden-form.js'
import { KeepSection } from './keep-section.js'
import { NormalsSection } from './normals-section.js'
import { PlacementsSection } from './placements-section.js'
import { PlantingsSection } from './plantings-section.js'

const PARTS = [nodes, placements, plantings, crops] as const

export function GardenPage() {
  const isSetUp = garden.value !== null
  useEffect(() => {
    if (isSetUp) for (const part of PARTS) void part.reload()
  }, [isSetUp])

  const isKnown = PARTS.every((part) => part.state.value.value !== null)
  const failed = [beds, ...PARTS].find((part) => part.state.value.failure !== null)
  // set whole: a part that came after the others would push them about
  if (isSetUp && !isKnown && failed === undefined)
    return (
      <>
        <h2>The garden</h2>
        <p class="waiting">One moment …</p>
      </>
    )
  return (
    <>
      <h2>The garden</h2>
      {failed !== undefined && (
        <Failure failure={failed.state.value.failure} onRetry={() => void failed.reload()} />
      )}
      {!mayChange.value && (
        <p class="invitation">You may look at this garden; its owner, signed in, may change it.</p>
      )}
      <BedsSection />
      <PlacementsSection />
      <PlantingsSection />
      <CropsSection />
      {mayChange.value && <NormalsSection />}
      {mayChange.value && <DeliverySection />}
      {mayChange.value && (
        <section aria-labelledby="place-heading">
          <h3 id="place-heading">Place and clock</h3>
          <GardenForm />
        </section>
      )}
      <KeepSection />
      {hasDoors.value && mayChange.value && <DoorsSection />}
    </>
  )
}

/** Plan. */
export function PlanPage() {
  return (
    <section>
      <h2>Plan</h2>
    </section>
  )
}

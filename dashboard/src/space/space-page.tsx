/** Room for plants. */
export function SpacePage() {
  return (
    <section>
      <h2>Room for plants</h2>
    </section>
  )
}

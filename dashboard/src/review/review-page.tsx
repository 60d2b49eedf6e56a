/** Look back. */
export function ReviewPage() {
  return (
    <section>
      <h2>Look back</h2>
    </section>
  )
}

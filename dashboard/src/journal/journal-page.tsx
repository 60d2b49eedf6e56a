/** Journal. */
export function JournalPage() {
  return (
    <section>
      <h2>Journal</h2>
    </section>
  )
}

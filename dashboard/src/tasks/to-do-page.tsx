/** To do. */
export function ToDoPage() {
  return (
    <section>
      <h2>To do</h2>
    </section>
  )
}

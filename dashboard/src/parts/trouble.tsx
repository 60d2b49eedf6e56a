/** What went wrong with something just tried, told at once to whoever listens. */
export function Trouble({ text }: { readonly text: string | null }) {
  if (text === null) return null
  return (
    <p class="problem" role="alert">
      {text}
    </p>
  )
}

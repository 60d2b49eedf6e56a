/** 'Fed, 6 May. Undo · Edit': what was just done, and the way back. The room for it is there before it comes. */
import { told } from './open-form.js'

export function ToldLine() {
  const shown = told.value
  return (
    <div class="told" role="status">
      {shown !== null && (
        <p class={shown.isTrouble ? 'problem' : undefined}>
          {shown.text}{' '}
          {shown.ways.map(({ label, run }, i) => (
            <span key={label}>
              {i > 0 && ' · '}
              <button type="button" class="plain" onClick={run}>
                {label}
              </button>
            </span>
          ))}
        </p>
      )}
    </div>
  )
}

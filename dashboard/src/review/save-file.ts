/**
 * The page's review as one file that needs nothing else: no script, no style sheet or font of elsewhere, no picture that must be
 * fetched. It opens from a disk, years later, and prints like the page.
 */

/** Left out: what only works on the page. */
const ONLY_ON_PAGE =
  'button, input, select, form, script, .not-in-file, .readout, .comparison-choices, .carpet-cursor'

const escaped = (text: string): string =>
  text.replace(
    /[&<>"]/g,
    (glyph) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[glyph] ?? glyph,
  )

/** Rules of this page's own style sheets, but fonts and whatever is fetched. */
function styleText(): string {
  const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules])
  return rules
    .filter((rule) => !(rule instanceof CSSFontFaceRule) && !(rule instanceof CSSImportRule))
    .map((rule) => rule.cssText)
    .filter((text) => !/url\(["']?(?!#)/.test(text))
    .join('\n')
}

/** A copy of the review with links as words, folded parts open, and nothing to press. */
function stillCopy(page: HTMLElement): HTMLElement {
  const copy = page.cloneNode(true)
  if (!(copy instanceof HTMLElement)) throw new TypeError('the review is no element')
  for (const part of copy.querySelectorAll(ONLY_ON_PAGE)) part.remove()
  for (const link of copy.querySelectorAll('a')) {
    const words = document.createElement('span')
    words.append(...link.childNodes)
    link.replaceWith(words)
  }
  for (const folded of copy.querySelectorAll('details')) folded.open = true
  for (const stop of copy.querySelectorAll('[tabindex]')) stop.removeAttribute('tabindex')
  for (const drawn of copy.querySelectorAll('svg')) {
    drawn.setAttribute('xmlns', 'http://www.w3.org/2000/svg')
  }
  return copy
}

/** @param page  the element that holds the review */
export function reviewFile(page: HTMLElement, title: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>
${styleText().replaceAll('</', '<\\/')}
</style>
</head>
<body>
<div id="almanac" class="saved-review">
<header class="masthead"><div class="masthead-title"><h1>${escaped(title)}</h1></div></header>
<main>
${stillCopy(page).outerHTML}
</main>
</div>
</body>
</html>
`
}

/** Hands a file to the reader. */
export function offerFile(text: string, name: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'text/html' }))
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  // the browser has taken hold of it by the next turn
  setTimeout(() => URL.revokeObjectURL(address), 10_000)
}

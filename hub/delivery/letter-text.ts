/** A letter as plain text and as simple HTML; both say the same. Pure. */
import { create } from 'xmlbuilder2'
import type { Letter } from './letter.js'
import { literal } from './xml-text.js'

export function letterText(letter: Letter): string {
  const items = letter.items.map((item) =>
    [item.headline, ...item.lines.map(({ label, text }) => `${label}: ${text}`)].join('\n'),
  )
  return `${[letter.intro, ...items, `-- \n${letter.foot.join('\n')}`].filter((part) => part !== null).join('\n\n')}\n`
}

export function letterHtml(letter: Letter): string {
  const html = create({ invalidCharReplacement: '\uFFFD' }).ele('html', { lang: 'en' })
  const head = html.ele('head')
  head.ele('meta', { charset: 'utf-8' })
  head.ele('title').txt(literal(letter.subject))
  const body = html.ele('body')
  if (letter.intro !== null) body.ele('p').txt(literal(letter.intro))
  for (const item of letter.items) {
    body.ele('h2').txt(literal(item.headline))
    for (const { label, text } of item.lines) {
      const paragraph = body.ele('p')
      paragraph.ele('b').txt(`${label}:`)
      paragraph.txt(literal(` ${text}`))
    }
  }
  body.ele('hr')
  for (const line of letter.foot) {
    const paragraph = body.ele('p')
    if (/^https?:\/\//.test(line)) paragraph.ele('a', { href: literal(line) }).txt(literal(line))
    else paragraph.txt(literal(line))
  }
  return `<!doctype html>${html.end({ headless: true })}`
}

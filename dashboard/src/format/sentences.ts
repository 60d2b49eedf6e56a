/** The first letter of a sentence made of words that began in its middle. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** The other way: a sentence's words in the middle of another. */
export const small = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)

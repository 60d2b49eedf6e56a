/** Text for the XML builder exactly as it is. */

/**
 * The builder takes `&amp;` and its like in what it is given for escapes and resolves them: a grower who typed
 * "&lt;" would find "<". Escaping the ampersands first makes it give back every character as it was typed.
 */
export const literal = (text: string): string => text.replaceAll('&', '&amp;')

/** Tells the page that it is about to be printed the moment its first part is there: how many parts were there, and are then. */
;(part) =>
  new Promise((resolve) => {
    const count = () => document.querySelectorAll(part).length
    new MutationObserver((_, observer) => {
      const atFirst = count()
      if (atFirst === 0) return
      observer.disconnect()
      dispatchEvent(new Event('beforeprint'))
      queueMicrotask(() => resolve([atFirst, count()]))
    }).observe(document.body, { childList: true, subtree: true })
  })
